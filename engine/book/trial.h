// A trials file -> each of its trials as a visit of its own, judged and planned; and what came out beside what was expected.
//
// The usual readings and the trial's own are one intake: where both write a point, the trial's counts (also `unknown`: then
// nobody read it). Everything runs in memory; a trial sees the layers, the house and the order of work that a visit would.
// Tested by tests/unit/trial_test.cc and the golden cases of `trial`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/check/check.h"
#include "engine/judge/judge.h"
#include "engine/plan/plan.h"

namespace stringline {

struct Trial {
  const TrialTree* tree = nullptr;
  Program program;                // with what is expected in it
  std::optional<LastVisit> last;  // of the same instrument, where the trial tells of one
};

// The specs under which trials run. All must outlive the trials.
struct TrialSpecs {
  const HouseTree* house =
      nullptr;  // null: the order of work is the file's, nobody is asked for a yes, near a limit is not out
  std::vector<const ProfileTree*> layers;
};

// Reports every mistake; nothing exactly when it, or the reader of the file, reported one.
[[nodiscard]] std::optional<std::vector<Trial>> bind_trials(const TrialsTree& file, const TrialSpecs& specs,
                                                            Diagnostics& out);

struct TrialRun {
  Judgement judgement;
  Plan plan;
  std::vector<std::vector<Verdict>> at_limits;  // as Expected::limits, and the points of each
};
// `program` is the trial's own, or that with a part of it taken away.
[[nodiscard]] TrialRun run_trial(const Trial& trial, const Program& program);

struct Unexpected {
  std::string what;  // "work", "action (bass)", "amount of cut_saddle, action (bass)"
  std::string expected;
  std::string got;
};
// Empty when everything is as expected.
[[nodiscard]] std::vector<Unexpected> unexpected_in(const Program& program, const TrialRun& run);

}  // namespace stringline
