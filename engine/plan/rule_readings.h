// Where nobody read what a rule with jobs hangs on, it is asked for in the turn of the first of those jobs. What has a target is
// asked for in its own turn, and what a gate or a stop hangs on before everything else. Tested by the golden case
// worklist/t11_zero_fret_not_looked_at.
#pragma once

#include <vector>

#include "engine/plan/answers.h"
#include "engine/plan/plan.h"

namespace stringline {

// The lines of one phase, a line for all places of a reading that the same rules hang on.
[[nodiscard]] std::vector<PlanLine> readings_for_rules(const Program& program, const Judgement& judgement,
                                                       const Answers& answers, int phase);

}  // namespace stringline
