// The hand-over sheet, whatever it is printed on: plain words for the owner, no gauge needed.
// Tested by tests/golden/handover.
#pragma once

#include <string>

#include "engine/book/handover.h"
#include "engine/paper/page.h"

namespace stringline {

void write_handover(const Handover& handover, OwnerPage& page);
[[nodiscard]] std::string handover_text(const Handover& handover);

// "right", "above what we want": what a verdict is to an owner.
[[nodiscard]] std::string verdict_for_owner(const Finding& finding);

}  // namespace stringline
