// The owner's paper, whatever it is printed on: an estimate or a quote, and the bill at the end. Plain words, no gauge needed.
// Tested by tests/golden/estimate.
#pragma once

#include <optional>
#include <vector>

#include "engine/estimate/estimate.h"
#include "engine/paper/page.h"

namespace stringline {

// The head of every paper for the owner: the shop and where it is reached, and what it is about: "jumbo (HL-0211, visit v11)".
void shop_lines(OwnerPage& page, const std::string& shop, const ShopContact& contact);
[[nodiscard]] std::string instrument_line(const std::string& instrument, const std::string& id,
                                          const std::string& visit);

void write_estimate(const Estimate& estimate, OwnerPage& page);
// `told`: what the owner was told before the work began; nothing when the log does not show it.
void write_final(const Estimate& final_bill, const std::optional<Estimate>& told,
                 const std::vector<Difference>& differences, OwnerPage& page);

}  // namespace stringline
