// Which notes choke on a later fret at the action that is aimed at, and how low the action can go before any does: as the frets
// are, and after they are levelled.
//
// Asked for only where the profile says `clean_margin` (how far above the next fret a string at rest must lie: the shop's own
// judgement, no accepted number exists) and has a reading `per: fret` that `follows: fret_plane` (how far each fret stands above
// the others). The outermost strings stand for their sides. Limits: those of model/clearance.h, phi in the middle of what the
// shop knows. Tested by tests/unit/sound_test.cc.
#pragma once

#include <vector>

#include "engine/judge/judge.h"
#include "engine/model/clearance.h"

namespace stringline {

struct CleanSide {
  PointId point = 0;                        // the action reading
  double aim = 0;                           // mm, of that reading
  std::vector<model::StoppedNote> stopped;  // at that aim, frets as they are
  std::optional<double> lowest_now;         // of that reading; nothing: the nut or the neck forbids any
  std::optional<double> lowest_levelled;
};

// The frets that were read to stand above or below the others; those at 0 are left out.
[[nodiscard]] std::vector<model::FretRise> fret_rises(const Program& program, const Judgement& judgement);
// One for each side whose aim is known and whose instrument the readings determine.
[[nodiscard]] std::vector<CleanSide> clean_sides(const Program& program, const Judgement& judgement);

}  // namespace stringline
