// A day as the house's papers write it. Tested by tests/unit/dates_test.cc.
#pragma once

#include <string>

#include "engine/syntax/tree.h"
#include "engine/value/date.h"

namespace stringline {

// 2026-08-03 | 3 Aug 2026 | Aug 3, 2026
[[nodiscard]] std::string shown(Date date, DateForm form);

}  // namespace stringline
