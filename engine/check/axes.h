// The axes of one instrument: its sides, strings, frets and pickups, from the facts that fix them.
// These facts (frets, tuning, pickups, starts) must be written as values, since everything else is laid out along them.
// No test of its own yet; the golden cases of `work` run it.
#pragma once

#include "engine/check/layer.h"
#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"

namespace stringline {

// Fills program.axes and program.strings. `house` finds a string set by its name; both may be null.
void lay_out_axes(const LayeredProfile& profile, const HouseTree* house, const VisitTree* visit, Program& program,
                  Diagnostics& out);

}  // namespace stringline
