// Every clearance of an instrument, from one linear model: the gap under a string at a fret (or a pickup), with the
// string held down at some frets.
//
// Places are shares x of the string's scale, 0 at the nut and 1 at the saddle; J is the body joint. Heights are mm
// above the neck plane, which runs through the fret tops at the nut end and at J:
//   frets before J    y(x) = -4 r x (J - x)/J^2          r: sag at the middle of nut..J, below the plane
//   frets past J      y(x) = +4 phi r (x/J - 1)          phi: one share in 0..1, see rod_job.h
//   nut               its slot stands h_n above the fret line at its own place
//   saddle            H_s above the plane
// The string runs straight from one thing that holds it to the next, so a gap is linear in h_n, H_s and r:
//   open at fret 1    .94387 h_n + .05613 H_s + 4 r x_1 (J - x_1)/J^2
//   open at fret 12   (h_n + H_s)/2 + 2 r (J - 1/2)/J^2
//
// Sources: derived; the straight-neck part agrees with the published 2:1 rule (B. Michael, Acoustic Guitar, July 2013),
// with Anderson & Beausoleil 2024 (linear tilt) and with T. Becker's reading at fret 13 with a capo. No refereed model
// of a bent neck was found: the shape with phi is ours, and phi stays an interval until a shop's own readings narrow
// it.
// Limits: holds while the string touches nothing but what holds it; ignores the string's bending stiffness at its
// supports and the depth of a capo or finger between frets.
// Tested by tests/unit/model_string_line_test.cc and tests/property/model_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/model/range.h"

namespace stringline::model {

// A coefficient that depends on phi: base + phi * extra.
struct PhiLinear {
  double base = 0.0;
  double extra = 0.0;

  [[nodiscard]] double at(double phi) const { return base + phi * extra; }
  [[nodiscard]] Range over(Range phi) const { return ordered(at(phi.lo), at(phi.hi)); }
};

// The neck as one string sees it. With fanned frets each string brings its own `scale_mm`.
struct NeckGeometry {
  double scale_mm = 0.0;
  int frets = 0;
  double joint_fret = 0.0;  // may lie between frets; never the nut
  int first_fret = 0;       // where a short string starts; 0: at the nut
  bool zero_fret = false;   // the nut height is the zero fret's; it is levelled with the others

  [[nodiscard]] double joint() const;  // as a share of the scale
  [[nodiscard]] double start() const;  // likewise
};

enum class Station {
  fret,    // {gap: {at: 12}}      `at` is a fret number; between frets (mid of a span) it may be a fraction
  pickup,  // {gap: {at: pickup}}  `at` is the pickup's place as a share of the scale
};

// How a gap was read.
struct GapMethod {
  Station station = Station::fret;
  double at = 0.0;
  std::vector<double> held = {};  // frets the string is held down at, ascending; empty: open
};

struct FretTerm {
  int fret = 0;
  double coefficient = 0.0;
};

// One reading as a linear form of the state: how far it moves when each height moves by 1 mm upward.
struct GapRow {
  double nut_height = 0.0;
  double saddle_height = 0.0;
  PhiLinear neck_bend;          // per mm of r, H_s kept; a rod job also moves H_s, see rod_job.h
  double pickup_height = 0.0;   // -1 at a pickup, whose height is counted from the fret line carried on over it
  double fret_plane = 0.0;      // per mm that all frets are LOWERED; nut, saddle and pickup stay
  std::vector<FretTerm> rises;  // per mm that one fret stands proud, by fret
};

// Nothing where no such gap exists: held frets out of order or off the neck, a station at or before the string's start,
// under a held fret or past the saddle. Accepted: at 7 held 1, 16; at 17 held 1; at 1 held 3. Refused: at 7 held 7.
[[nodiscard]] std::optional<GapRow> gap_row(const NeckGeometry& neck, const GapMethod& method);

struct FretRise {
  int fret = 0;
  double height_mm = 0.0;
};

struct StringState {
  double nut_height = 0.0;
  double saddle_height = 0.0;
  double neck_bend = 0.0;
  double pickup_height = 0.0;
  std::vector<FretRise> rises = {};  // frets not named lie on the neck's line
};

// What the rises add to a reading; the same for every phi.
[[nodiscard]] double rise_share(const GapRow& row, const std::vector<FretRise>& rises);
[[nodiscard]] double gap(const GapRow& row, const StringState& state, double phi);

// The fret line of a neck bent by r = 1 mm, mm above the neck plane at `x`.
[[nodiscard]] PhiLinear fret_line(double x, double joint);

}  // namespace stringline::model
