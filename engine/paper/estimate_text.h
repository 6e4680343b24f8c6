// The owner's paper, for a telephone's screen or a printer: plain words, no gauge needed, at most 64 columns.
// Tested by tests/golden/estimate.
#pragma once

#include <string>
#include <vector>

#include "engine/estimate/estimate.h"

namespace stringline {

[[nodiscard]] std::string estimate_text(const Estimate& estimate);
// `told`: what the owner was told before the work began; nothing when the log does not show it.
[[nodiscard]] std::string final_text(const Estimate& final_bill, const std::optional<Estimate>& told,
                                     const std::vector<Difference>& differences);

// "the owner agreed to 273.00 USD and this comes to 339.25 USD; ask before you go on", for the bench; empty below the ceiling.
[[nodiscard]] std::string ceiling_note(const Estimate& estimate);

}  // namespace stringline
