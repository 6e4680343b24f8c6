// The hand-over sheet as JSON: the keys of output_owner.def. Absent keys say nothing. Tested by tests/golden/handover and
// tests/schema/output.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "engine/book/handover.h"

namespace stringline {

// Into a document that has its head.
void add_handover(nlohmann::ordered_json& document, const Handover& handover);

}  // namespace stringline
