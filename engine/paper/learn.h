// What a house's own rod jobs say, and the keys to write.
#pragma once

#include <string>
#include <vector>

#include "engine/book/learn.h"

namespace stringline {

[[nodiscard]] std::string learn_text(const std::vector<Learnt>& all);

}  // namespace stringline
