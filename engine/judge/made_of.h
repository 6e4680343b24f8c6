// Which computed readings are made of what was moved. One that was written counts by its formula again from then on.
// Tested by tests/golden/plan/computed_moved.case and tests/unit/sound_test.cc.
#pragma once

#include <vector>

#include "engine/check/program.h"

namespace stringline {

// In the order of their numbers. Through facts and other computed readings too; those in `moved` itself are left out.
[[nodiscard]] std::vector<PointId> made_of(const Program& program, const std::vector<PointId>& moved);

}  // namespace stringline
