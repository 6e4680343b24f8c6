// Lines -> a bill: the package dropped where a job includes it, whole steps of bench time, rush, minimum, credit, tax.
//
// Bench time is filled up to whole steps: within the job where it is one alone, on a line of its own where several share it. The
// ends of every line are in order, low, typical, high, and add up to those of the bill.
//
// Rush is a share of work and packages alone. The minimum tops up a bill with work on it; fees stand beside it. A fee that the
// house credits comes off the work as soon as the owner has said yes to some, and never more of it than the work costs. Tax is
// rounded once on the sum of each rate, and its pennies are laid on the lines as the running sum reaches them, so that lines and
// total always agree; with `per_line` each line is rounded alone. Tested by tests/unit/settle_test.cc and
// tests/property/estimate_test.cc.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/estimate/estimate.h"

namespace stringline {

struct Surcharge {
  std::string name;
  std::string label;
  Ratio share;
};

// `lines` are packages, work, parts and fees with their prices; they come back in the order of the paper, with what was added.
[[nodiscard]] Bill settle(std::vector<EstimateLine>& lines, const PriceBook& book,
                          const std::optional<Surcharge>& rush);

}  // namespace stringline
