// What jobs do to readings: the effect of each control of the instrument, and of the truss rod above all.
//
//   nut, saddle, pickup, frets    the coefficient of the reading's own row (string_line.h)
//   truss rod                     r moves by dr, and H_s by 4 phi dr (1/J - 1)
//
// phi = 0 is a neck that sags between held ends, phi = 1 an even arc that leaves the body along its tangent. Both are
// reference shapes; a real neck lies somewhere in between, so an effect is an interval over phi. Per unit of relief AS
// MEASURED (held 1 and the joint, read at 7) the open 12th moves by .44..2.46 with a 14th joint.
//
// Sources: derived. Evidence for both ends: a finite-element run of a bass neck "remarkably similar to a square law"
// (moonbassalpha, 2008) speaks for the arc; "a slight S, never one smooth curve" (R. Bucknall, Fylde Guitars) against
// it.
// Limits: one rod, a body that does not move; no refereed source. `learn_phi` narrows phi from a shop's own readings.
// Tested by tests/unit/model_rod_job_test.cc and tests/property/model_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/model/string_line.h"

namespace stringline::model {

// Everything that can be so, before a shop has learnt better.
inline constexpr Range any_phi{0.0, 1.0};

enum class Control {
  neck_bend,      // per mm of r
  nut_height,     // per mm up
  saddle_height,  // per mm up
  pickup_height,  // per mm up
  fret_plane,     // per mm of metal taken off every fret
};

// How far a reading moves per mm of a control.
[[nodiscard]] PhiLinear effect(const GapRow& row, const NeckGeometry& neck, Control control);
// How far the saddle rises above the neck plane per mm of r.
[[nodiscard]] PhiLinear saddle_lift(const NeckGeometry& neck);

// How far `reading` moves per mm that `relief`, as measured, moves under a rod job. Nothing where some phi leaves that
// relief still, so that it tells nothing of the rod. Exact over the interval: a ratio of two linear forms has its
// extremes at the ends.
[[nodiscard]] std::optional<Range> per_measured(const PhiLinear& reading, const PhiLinear& relief, Range phi);

// One rod job read before and after: by how much the relief and another reading moved, each with the standard
// uncertainty of that difference.
struct RodPair {
  PhiLinear reading;  // effect(row, neck, Control::neck_bend) of either
  PhiLinear relief;
  double reading_change = 0.0;
  double relief_change = 0.0;
  double u_reading = 0.0;
  double u_relief = 0.0;
};

struct LearntPhi {
  double phi = 0.5;
  double u = 0.0;         // of that mean, one sigma; widened where the pairs scatter more than their own u allows
  double scatter = 0.0;   // between pairs, one sigma, beyond what their own u explains
  Range range = any_phi;  // for the next rod job: phi +- 2 sqrt(u^2 + scatter^2), inside 0..1
  int pairs_used = 0;
};

// Weighted least squares over the pairs. Nothing where no pair tells phi: the relief did not move, or the reading moves
// alike for every phi. Where the readings put phi outside 0..1, the range is the nearest end, widened by u.
[[nodiscard]] std::optional<LearntPhi> learn_phi(const std::vector<RodPair>& pairs);

}  // namespace stringline::model
