// Opposite requests on one control at one place: one reading wants it up, another down. Neither job is planned; a person decides.
#pragma once

#include <map>
#include <vector>

#include "engine/plan/plan.h"
#include "engine/plan/predict.h"

namespace stringline {

using Places = std::vector<std::size_t>;  // indices of targets

// `asking`: the jobs of one phase with the targets that ask for them.
[[nodiscard]] std::vector<Conflict> conflicts_of(const Program& program, const Judgement& judgement,
                                                 const Forecast& forecast, const std::map<JobId, Places>& asking);

}  // namespace stringline
