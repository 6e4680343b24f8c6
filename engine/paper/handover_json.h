// The hand-over sheet as JSON. After the head: shop, visit, owner, instrument, says, date, finished, next [text], readings [{reading,
// what, members, now, before, wanted, own_range, asked, at_asked, verdict, since, left_because}], done [{date, job}], declined [{label, stays}],
// come_back, warranty_days, warranty_until, good_until [{what, date}], air {now, wanted}, strings, tuning, aftercare, care, told.
// Absent keys say nothing. Dates are ISO 8601. Tested by tests/golden/handover.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "engine/book/handover.h"

namespace stringline {

// Into a document that has its head.
void add_handover(nlohmann::ordered_json& document, const Handover& handover);

}  // namespace stringline
