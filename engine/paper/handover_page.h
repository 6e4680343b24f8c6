// The hand-over sheet as a page: the same words as handover_text, and the strings as they came in and as they leave.
// Tested by tests/golden/html and tests/pages.
#pragma once

#include <optional>
#include <string>

#include "engine/book/handover.h"

namespace stringline {

[[nodiscard]] std::string handover_page(const Handover& handover, const OpenVisit& visit,
                                        const std::optional<Judgement>& before);

}  // namespace stringline
