// A small six-string instrument for tests: every kind of gap, a rod, a nut, two sides of a saddle. Invented numbers.
#pragma once

#include <string>

inline const std::string stick_house = R"(house: nook
decide: plain
order: [rod, nut, bridge, last]
)";

inline const std::string stick_profile = R"(profile: stick
facts:
  scale: 648 mm
  frets: 22
  body_joint: 16
  tuning: [E4, B3, G3, D3, A2, E2]
  clean_margin: 0.01 mm
readings:
  relief: {gap: {at: 7, held: [1, 16]}, with: feeler gauges, read_to: 0.01 mm}
  nut_gap: {per: string, gap: {at: first}, with: feeler gauges, read_to: 0.01 mm}
  action: {per: side, gap: {at: 12}, with: rule, read_to: 0.02 mm}
  action_17: {per: side, gap: {at: 17, held: [1]}, with: rule, read_to: 0.02 mm}
  octave_error: {per: string, is: cents, of: octave, with: tuner, read_to: 1 cents}
  rise: {per: fret, is: length, of: height over its neighbours, follows: fret_plane, assume: 0 mm}
targets:
  relief: {phase: rod, range: 0.10 .. 0.30 mm aim 0.20, low: loosen, high: tighten}
  nut_gap: {phase: nut, range: 0.35 .. 0.55 mm aim 0.45, low: shim_nut, high: file_nut}
  action: {phase: bridge, low: raise, high: lower}
  action.bass: {range: 1.4 .. 1.9 mm aim 1.6}
  action.treble: {range: 1.1 .. 1.6 mm aim 1.3}
jobs:
  loosen: {label: loosen the rod, moves: neck_bend, sets: relief}
  tighten: {label: tighten the rod, moves: neck_bend, sets: relief}
  shim_nut: {label: shim the nut, moves: nut_height, sets: nut_gap}
  file_nut: {label: file the nut, moves: nut_height, sets: nut_gap, work_to: 0.01 mm, removes: true}
  raise: {label: raise the saddles, moves: saddle_height, sets: action, work_to: 0.01 mm}
  lower: {label: lower the saddles, moves: saddle_height, sets: action, work_to: 0.01 mm}
  check_all: {label: look it over, phase: last, routine: true}
)";

// A visit of the stick; `read` is the inside of a flow map.
inline std::string stick_visit(const std::string& read, const std::string& more = "") {
  return "visit: v1\nprofile: stick\n" + more +
         "instrument: {id: N-1, strings: [10p, 13p, 17p, 26w, 36w, 46w]}\nlog:\n  - date: 2026-03-01\n    read: {" +
         read + "}\n";
}
