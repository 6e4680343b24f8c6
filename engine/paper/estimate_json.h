// An estimate or a bill as JSON, for other programs: the keys of output_owner.def.
//
// Amounts are whole minor units; `currency` says how many make one unit. Names are those of the files. Absent keys say nothing.
// Tested by tests/golden/estimate and tests/schema/output.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <vector>

#include "engine/estimate/estimate.h"

namespace stringline {

// Into a document that has its head.
void add_estimate(nlohmann::ordered_json& document, const Estimate& estimate);
void add_final(nlohmann::ordered_json& document, const Estimate& final_bill, const std::optional<Estimate>& told,
               const std::vector<Difference>& differences);
// Where the shop is reached, as far as the house says it.
void put_contact(nlohmann::ordered_json& document, const ShopContact& contact);

}  // namespace stringline
