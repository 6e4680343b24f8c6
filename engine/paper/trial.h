// What came out of trials beside what was expected, and what of the profile they exercise; as text and for programs.
#pragma once

#include <string>
#include <vector>

#include "engine/book/coverage.h"
#include "engine/book/open_trials.h"
#include "engine/paper/json.h"

namespace stringline {

struct TrialPaper {
  const OpenTrials& open;
  std::vector<std::vector<Unexpected>> unexpected;  // by trial
  Coverage coverage;
};

// `all`: also the trials that came out as expected, and by which trial each part is exercised.
[[nodiscard]] std::string trial_text(const TrialPaper& paper, const Sources& sources, bool all);
void add_trials(Json& document, const TrialPaper& paper, const Sources& sources);

}  // namespace stringline
