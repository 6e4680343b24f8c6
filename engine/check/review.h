// What profiles without mistakes still may have wrong: warnings, for the command `check` alone, since a bench that works is not
// told the same at every list.
//
//   W405  a job that nothing calls, in any of the profiles that have it, in use or not
//   W406  a target whose job neither sets, moves nor disturbs the reading that is out, so that it stays out
//   W407  a target with a turn and a range, and no job: the turn is never used
//   W408  a range of width T narrower than its tool can prove: T < 2U, so that nothing in it is ever clearly `within`, or
//         fewer than two multiples of read_to are. U^2 = d^2/3 + 4 rep^2. Not under `decide: plain`, where U is 0.
//   W409  order.h
//   W413  a job that is routine, or that a rule calls or offers, without a phase: it comes in the last one, after everything
//         else. A gate's job is done as late as the gate allows, a stop's at once: neither needs a turn.
//   N402  a fact that a house's own profile brings in and that no profile in reach uses: it changes nothing, whatever it says
//   N401  a table of a house's layer that replaces the whole table of the shipped profile of the same name below it
// Tested by tests/unit/review_test.cc and tests/golden/check/.
#pragma once

#include <vector>

#include "engine/check/house.h"
#include "engine/diag/diagnostic.h"
#include "engine/syntax/tree.h"

namespace stringline {

// The profiles in reach of one house, checked without a visit; what those not in use have wrong is left alone. `ordered`: the phases are
// the house's, so that their order means something.
void review(const std::vector<HouseProfile>& profiles, bool ordered, Diagnostics& out);

// The layers of one profile, the root first.
void review_layers(const std::vector<const ProfileTree*>& layers, Diagnostics& out);

}  // namespace stringline
