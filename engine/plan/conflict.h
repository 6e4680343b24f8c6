// Opposite requests on one control at one place: one reading wants it up, another down. Neither job is planned; a person decides.
#pragma once

#include <utility>
#include <vector>

#include "engine/plan/plan.h"
#include "engine/plan/predict.h"

namespace stringline {

using Places = std::vector<std::size_t>;                    // indices of targets
using Asking = std::vector<std::pair<JobId, std::size_t>>;  // jobs, each with a target that asks for it; sorted

[[nodiscard]] bool asks(const Asking& asking, JobId job);
[[nodiscard]] Places places_in(const Asking& asking, JobId job);

// `asking`: of one phase.
[[nodiscard]] std::vector<Conflict> conflicts_of(const Program& program, const Judgement& judgement,
                                                 const Forecast& forecast, const Asking& asking);

// The same against jobs of earlier phases, which stand in the list: a warning for each line that the job would turn back.
void mind_opposites(const Program& program, const Judgement& judgement, const Forecast& forecast,
                    const std::vector<PlanLine>& lines, const std::pair<JobId, Places>& asked,
                    std::vector<std::string>& warnings);

}  // namespace stringline
