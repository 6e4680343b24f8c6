// What the owner is told about a job, in words that need no gauge: why it is wanted, what was measured, what stays without it.
//
// What stays is computed where the model knows it: the notes that stop and the lowest clean height as the frets are and after the
// work; heights and octaves that keep their error. Else, and besides, the job's own `if_left:` is said. Tested by
// tests/unit/estimate_test.cc.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/plan.h"

namespace stringline {

// The reading's own `for_owner:`, else "the strings' height at fret 12", "the curve of the neck", else what it is `of:`.
[[nodiscard]] std::string owner_name(const Program& program, ReadingId reading);

// The job's own `for_owner:`, else what the rules that call it say.
[[nodiscard]] std::vector<std::string> why(const Program& program, const Judgement& judgement, const PlanLine& line);
// One text a reading: its worst value and what would be right.
[[nodiscard]] std::vector<std::string> measured(const Program& program, const Judgement& judgement,
                                                const PlanLine& line);
[[nodiscard]] std::vector<std::string> stays_without(const Program& program, const Judgement& judgement, JobId job);

// How often rules call or offer a job: once for each member they fired at.
[[nodiscard]] int calls(const Program& program, const Judgement& judgement, JobId job);
// The axes over which rules call or offer it.
[[nodiscard]] std::vector<Axis> called_over(const Program& program, const Judgement& judgement, JobId job);
// What the owner is asked to choose between, under a text that he is told.
struct OwnerChoice {
  std::string told;
  std::vector<std::string> ways;
};

// What stops, closed gates and rules tell the owner before the work, and to whom it is sent: their `for_owner:`. A stop, and a gate
// over the visit, without one say what they say to the bench, for a paper that stops can not be silent.
struct Said {
  std::vector<std::string> told;
  std::vector<OwnerChoice> choices;
  std::vector<std::string> refer;
};
[[nodiscard]] Said said_before(const Program& program, const Judgement& judgement);

}  // namespace stringline
