// The owner's paper as a page: the same words in the same order as estimate_text, boxes to tick, a line to sign. The strings and
// frets are drawn only where frets that stop them are the reason for an extra. Tested by tests/golden/html and tests/pages.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/estimate/estimate.h"
#include "engine/judge/clean.h"

namespace stringline {

[[nodiscard]] std::string estimate_page(const Estimate& estimate, const EstimateInput& in,
                                        const std::vector<CleanSide>& clean);
[[nodiscard]] std::string final_page(const Estimate& final_bill, const std::optional<Estimate>& told,
                                     const std::vector<Difference>& differences);

}  // namespace stringline
