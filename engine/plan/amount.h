// How far a job's control goes, in the tool's terms: file and cut in mm, screws in turns, a saddle along the string.
//
// Travel is worked out from the reading as it is expected at that place of the plan to the target's aim, through the model; it
// is shown at the job's `work_to:` and, where the job `removes:`, rounded toward removing less. A rod's travel hangs on how the
// neck bends, so a rod is turned a little and read again: its amount says what the reading has to come to.
// Tested by the golden cases of `work` and tests/property/plan_replay_test.cc.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/plan.h"
#include "engine/plan/predict.h"

namespace stringline {

// For the readings of `targets`, all of one job; a bridge on two posts (facts `post_span`, `string_span`) is told by its posts,
// and then a side that nothing asks for may have an amount too. Empty where it is not known how far.
[[nodiscard]] std::vector<Amount> amounts_for(const Program& program, const Forecast& forecast, const JobInfo& job,
                                              const std::vector<std::size_t>& targets);
// The targets that a job called by name brings to their aims: those that are out, not read, or asked for.
[[nodiscard]] std::vector<std::size_t> targets_set_by(const Program& program, const Forecast& forecast,
                                                      const JobInfo& job);
// How much of the way to the aim an amount goes as it is told: 1 but for what `work_to:` rounds off; 0 where that is all of it.
[[nodiscard]] std::optional<double> share_told(const Program& program, const Forecast& forecast, const JobInfo& job,
                                               const Amount& amount);
// All of them rounded to nothing at the job's `work_to:`.
[[nodiscard]] bool comes_to_nothing(const Program& program, const Forecast& forecast, const JobInfo& job,
                                    const std::vector<Amount>& amounts);
// Takes out, and gives, the targets at which an amount rounds to nothing; of a bridge on posts, where one hangs on the other, all or
// none.
std::vector<std::size_t> take_too_small(const Program& program, const Forecast& forecast, const JobInfo& job,
                                        std::vector<Amount>& amounts, std::vector<std::size_t>& targets);
// Of the readings that a line's job is for: what they come to when its amounts are carried out as they are told, and what the house
// says of that. A bridge on two posts is expected at its aims, for each post moves both sides.
void expect_as_told(const Program& program, const Forecast& after,
                    const std::vector<std::optional<model::Range>>& before, PlanLine& line);
// "0.05 mm": what a job is worked to.
[[nodiscard]] std::string work_step(const Program& program, const JobInfo& job);
[[nodiscard]] bool has_posts(const Program& program, const JobInfo& job);
[[nodiscard]] std::string posts_text(const Program& program);

}  // namespace stringline
