// The bench sheet of a kind of instrument, to be filled in with a pencil: what to measure, how, with which tool, to what step, in
// the order of work. The same readings in the same order as sheet_text. Tested by tests/golden/html and tests/unit/page_test.cc.
#pragma once

#include <string>

#include "engine/check/program.h"

namespace stringline {

// `program` of a profile without a visit.
[[nodiscard]] std::string sheet_page(const Program& program);

}  // namespace stringline
