// Readings that decide which job answers another: a target is out, and the row of its table hangs on something nobody read.
//
// They are read before the phase's jobs, each line with the jobs that may follow. What can not be measured is left, and said.
// Tested by tests/golden/worklist/which_job.case.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/answers.h"
#include "engine/plan/plan.h"
#include "engine/plan/predict.h"

namespace stringline {

// For the targets whose turn is `phase`.
[[nodiscard]] std::vector<PlanLine> readings_that_decide(const Program& program, const Judgement& judgement,
                                                         const Forecast& forecast, const Answers& answers, int phase);

// Why a reading does not stand here: what moved it, the method it was read by, a gate; or that nobody read it.
[[nodiscard]] std::string why_read_again(const Program& program, const Judgement& judgement, const Forecast& forecast,
                                         PointId point);

}  // namespace stringline
