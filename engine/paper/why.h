// What `why` found, as text.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/why.h"

namespace stringline {

[[nodiscard]] std::string why_text(const std::vector<Why>& all);

}  // namespace stringline
