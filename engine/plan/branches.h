// What a reading that is taken again may call for, when it turns out low and when it turns out high: the job that the profile's
// table names, whether it needs the owner's yes, and whether the reading is likely to turn out so.
//
// Likely: as it is expected after the jobs before it; else as it was read, even while a gate makes that void. Where a likely
// branch has no job in the table, the jobs that rules which look at the reading may call are named.
// Tested by tests/unit/branches_test.cc.
#pragma once

#include <vector>

#include "engine/plan/answers.h"
#include "engine/plan/plan.h"

namespace stringline {

// Of a line that reads, with its points and what they are expected to show; low before high. What neither has a job nor is
// likely is left out.
[[nodiscard]] std::vector<Branch> branches_of(const Program& program, const Judgement& judgement,
                                              const Answers& answers, const PlanLine& line);

}  // namespace stringline
