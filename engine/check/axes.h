// The axes of one instrument: its sides, strings, frets and pickups, from the facts that fix them.
// These facts (frets, tuning, pickups, starts, scales) must be written as values, since everything else is laid out along them.
// Tested by tests/unit/axes_test.cc and the golden cases of `work`.
#pragma once

#include "engine/check/layer.h"
#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"

namespace stringline {

// Fills program.axes and program.strings. `house` finds a string set by its name; both may be null.
void lay_out_axes(const LayeredProfile& profile, const HouseTree* house, const VisitTree* visit, Program& program,
                  Diagnostics& out);

}  // namespace stringline
