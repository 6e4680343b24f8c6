// What a line of the list is to be minded for: what its job would put out, and what other jobs would do to it.
// Tested by the golden cases of `work` and tests/golden/plan/.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "engine/plan/answers.h"
#include "engine/plan/plan.h"
#include "engine/plan/predict.h"

namespace stringline {

// Within before the job, out after it.
struct PutOut {
  std::vector<PointId> lost;                                               // no job brings them back
  std::vector<PointId> undecided;                                          // which job does hangs on what is not read
  std::map<std::pair<JobId, Verdict>, std::vector<PointId>> brought_back;  // by this job
};

[[nodiscard]] PutOut put_out(const Program& program, const Answers& answers, const Forecast& before,
                             const Forecast& after);

// Why a job that would leave `lost` out is refused.
[[nodiscard]] std::string loss_text(const Program& program, const Judgement& judgement,
                                    const std::vector<PointId>& lost, const Forecast& after);

// A line that takes something off, and whose reading a later job is expected to put out again, says so: what was cut off can not
// be put back.
void warn_what_was_cut(const Program& program, const Judgement& judgement, const Forecast& before,
                       const Forecast& after, JobId later, std::vector<PlanLine>& lines);

// What may follow a reading earlier in the list would move what this line was worked out from.
void mind_followers(const Program& program, const std::vector<PlanLine>& lines, PlanLine& line);

// Where a target's `when:` hangs on what is not read, the job may not be asked for at all.
void mind_conditions(const Program& program, const Forecast& forecast, const std::vector<std::size_t>& targets,
                     PlanLine& line);

}  // namespace stringline
