// Which notes choke on which later fret, and how low the action can go before any does.
//
// A string pressed at fret n runs straight from that fret's top (x_n, y_n) to the saddle (1, H_s). Fret k further up
// lies
//   clearance(n, k) = y_n + (H_s - y_n)(x_k - x_n)/(1 - x_n) - y_k
// below it; the note is stopped where that is not above the margin. The lowest clean saddle is the largest, over all
// n < k, of the H_s that leaves just the margin; the open string counts as n = 0 and starts at its nut height.
//
// Units: mm; y is the neck's line (string_line.h) plus the fret's own rise. Source: derived geometry.
// Limits: a string at rest. How far above that a vibrating string needs to be depends on the player: no accepted
// numeric limit of buzz exists, so the margin is the shop's own spec and has no default here. Straight across: nothing
// is said of bends over a crown. Tested by tests/unit/model_clearance_test.cc and tests/property/model_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/model/range.h"
#include "engine/model/string_line.h"

namespace stringline::model {

struct ClearanceState {
  NeckGeometry neck;
  double nut_height = 0.0;
  double saddle_height = 0.0;
  double neck_bend = 0.0;
  std::vector<FretRise> rises = {};
};

[[nodiscard]] double fret_top(const ClearanceState& state, int fret, double phi);  // mm above the neck plane
// Under the string pressed at `fretted` (the string's own first fret: open), over the later fret `over`.
[[nodiscard]] double clearance(const ClearanceState& state, int fretted, int over, double phi);

struct StoppedNote {
  int fretted = 0;
  int stopped_at = 0;      // the later fret it touches hardest
  double clearance = 0.0;  // there; negative: the string cannot lie straight
};

// Every note, open string included, with a later fret not more than `margin_mm` below the string.
[[nodiscard]] std::vector<StoppedNote> stopped_notes(const ClearanceState& state, double margin_mm, double phi);

struct LowestClean {
  double saddle_height = 0.0;
  double action = 0.0;  // open string over fret `at`
  int fretted = 0;      // the pair that forbids less
  int stopped_at = 0;
};

// As the frets are now. The nut stays as it is, so nothing is returned where the open string would touch however high
// the saddle stood, or where no fret lies past another.
[[nodiscard]] std::optional<LowestClean> lowest_clean(const ClearanceState& state, double margin_mm, double phi,
                                                      int at = 12);
// The same as an interval of action over phi. The upper end is exact (the limit is a largest of linear forms of phi);
// the lower is found by narrowing to 1e-9.
[[nodiscard]] std::optional<Range> lowest_clean_action(const ClearanceState& state, double margin_mm, Range phi,
                                                       int at = 12);

// After fret work: a full level takes every fret down to the lowest; a spot level takes each named fret down to the
// higher of its nearest neighbours that are not named, and raises none.
[[nodiscard]] ClearanceState after_full_level(ClearanceState state);
[[nodiscard]] ClearanceState after_spot_level(const ClearanceState& state, const std::vector<int>& frets);

}  // namespace stringline::model
