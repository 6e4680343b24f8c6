// What stays as it is, and why: what the player wants left, what is too near a limit to call, what no player could repeat, what is
// out and has neither a job in the profile nor a line of the plan, and what was out at some reading of this visit and came within
// without its own job.
#pragma once

#include <vector>

#include "engine/plan/plan.h"

namespace stringline {

[[nodiscard]] std::vector<LeftAlone> stays(const Program& program, const Judgement& judgement, const Plan& plan);

}  // namespace stringline
