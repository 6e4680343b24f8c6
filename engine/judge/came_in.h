// The visit as the instrument came in: judged by the entries of its log before the first job that was done.
// Tested by tests/unit/handover_test.cc.
#pragma once

#include <optional>

#include "engine/judge/judge.h"

namespace stringline {

// By the points and targets of `program`. Nothing while no job was done, or where nothing was read before it. `last`: of the same
// instrument, may be null; must outlive the judgement.
[[nodiscard]] std::optional<Judgement> came_in(const Program& program, const LastVisit* last);

}  // namespace stringline
