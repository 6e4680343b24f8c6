// The numbers of the fretboard from above: what was read of each fret, with its limits.
//
// A strip is a length read per fret that has a target, says how far the fret stands above the others (`follows: fret_plane`),
// or is computed from others, such as what would be left after a level. Strips that nobody read, and strips of zeros, are left
// out. Computed strips without a target take the house's `fret_min` as their lower limit.
// Units: mm, shares of the scale. Tested by tests/unit/picture_test.cc.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/judge/judge.h"

namespace stringline {

struct FretBar {
  int fret = 0;
  double value = 0;  // mm
  std::string text;  // in the unit it was written in, without it: 0.14
  bool out = false;  // beyond its limits
  bool assumed = false;
};

struct FretStrip {
  ReadingId reading = 0;
  std::string name;    // groove
  std::string of;      // what it is, in words; may be empty
  std::string unit;    // mm
  std::string wanted;  // at most 0.05 mm; empty: nothing
  std::optional<double> low;
  std::optional<double> high;
  bool rises = false;  // how far frets stand above the others
  bool computed = false;
  std::vector<FretBar> bars;  // frets whose value is known, rising
  std::string worst;          // most 0.14 mm at fret 2, 3
};

struct FretMap {
  std::vector<double> places;  // share of fret 0, 1, ..
  std::vector<FretStrip> strips;
  std::vector<int> high;  // frets that stand too high
};

[[nodiscard]] FretMap fret_map(const Program& program, const Judgement& judgement);

}  // namespace stringline
