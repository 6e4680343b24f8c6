// The readings and facts an expression looks at, each once, by number; and the jobs a choice may name.
// What a fact is worked out from counts among the readings, what a computed reading is worked out from does not.
#pragma once

#include <vector>

#include "engine/check/program.h"

namespace stringline {

// At `hand` only its own members are looked at, where it has one; -1: any.
[[nodiscard]] std::vector<PointId> mentioned_in(const Program& program, const Typed& expr,
                                                const std::array<int, axis_count>& hand = {-1, -1, -1, -1});
[[nodiscard]] std::vector<FactId> facts_in(const Typed& expr);
[[nodiscard]] std::vector<JobId> jobs_in(const JobChoice& choice);

// The phases in which a job may stand: its own, else those of the targets that call it.
[[nodiscard]] std::vector<int> phases_of(const Program& program, JobId job);

}  // namespace stringline
