// An estimate or a bill as JSON, for other programs.
//
// Amounts are whole minor units, {"low", "typical", "high"}; `currency` says how many make one unit. Dates are ISO 8601. Names are
// those of the files. Absent keys say nothing. Keys of the document, after its head:
//   kind (estimate, quote, bill), shop, visit, owner, instrument, says, date, valid_until, warranty_days, currency {code,
//   minor_digits}, tax_included, stopped, held (by gates alone), finished (of what is begun), lines [line], bill {net, tax, total,
//   taxes [{rate, net, tax}]}, unpriced, declined [{label, stays}], ceiling {told, leeway, now, passed, may_pass, ask_again};
//   of estimates also told, refer, at_once, rests, offers [line], later [{reading, covered, extra [line], ask [line]}],
//   blocked [{after, jobs}], with_all_offers, afterwards {label, amount}, if_no (a bill), gone_if_no, new_if_no, deposit {share,
//   amount}, timing {bench_minutes, wait_days, due, earliest, latest}, assumed, cautions, shop_says; of bills also told (a bill),
//   differences [{label, told, now, why}]
//   line  kind (package, work, step, rush, part, minimum, fee, credit), name, label, price (flat, each, time, by quote, none), count,
//         amount, net, tax, tax_rate, needs_yes, asked, agreed, done, credited, included_in, listed, covers, covers_done, for_what, why,
//         measured, if_left, instead [{label, amount, total, leaves, includes}], total_with and deposit (of an offer: after a yes)
// Tested by tests/golden/estimate.
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

}  // namespace stringline
