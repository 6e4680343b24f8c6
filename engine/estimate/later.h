// What a reading decides that is taken during the work: what may follow it in the package, what of that costs more, what is asked
// first; and what the whole bill comes to at most, when all that may follow without a yes does.
//
// The last is the bill of the plan with those jobs in it, each at every place that its reading has; where a reading decides between
// several, with the dearest. Tested by tests/unit/estimate_test.cc and the golden cases of `estimate`.
#pragma once

#include <optional>

#include "engine/estimate/estimate.h"
#include "engine/estimate/settle.h"

namespace stringline {

// Into `estimate`, whose lines, offers and bill are made.
void add_later(const EstimateInput& in, const PriceBook& book, const std::optional<Surcharge>& rush,
               Estimate& estimate);

}  // namespace stringline
