// Jobs that were done, and that what was read since then asks for once more.
//
// A rule, a gate or a stop that named a job which is done is looked at again with all that was read before it left out: when it
// still says the same, the job is due again. What nobody took again does not call a job twice.
// Tested by tests/unit/called_again_test.cc.
#pragma once

#include <vector>

#include "engine/judge/judge.h"

namespace stringline {

// Each once, by number. `judgement` is whole but for `called_again`.
[[nodiscard]] std::vector<JobId> called_again(const Program& program, const Judgement& judgement);

}  // namespace stringline
