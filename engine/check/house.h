// house.yaml against the profiles it is for: packages, prices, phases, parts, shares, and what can not be priced.
//
// A job is known when any profile in reach has it, shipped or the house's own. Tables of prices may ask `profile` and what a
// profile calls a fact, a choice or a reading; those that ask `profile` and `total` alone are checked here, row by row.
// Tested by tests/golden/check/house_*.case.
#pragma once

#include <string>
#include <vector>

#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"
#include "engine/syntax/tree.h"

namespace stringline {

struct HouseProfile {
  std::string name;
  std::vector<const ProfileTree*> layers;  // the root first
  const Program* program = nullptr;        // null: it has mistakes of its own, or phases the house does not order
  bool own = false;                        // its last layer is a file of the house's
  bool used = true;                        // by a visit, or it is the house's own: what can not be priced in it is told
};

// `all_read`: no profile in reach was left out for mistakes in its file; else an unknown name may well be one of its jobs and
// is not reported.
void check_house(const HouseTree& house, const std::vector<HouseProfile>& profiles, bool all_read, Diagnostics& out);

}  // namespace stringline
