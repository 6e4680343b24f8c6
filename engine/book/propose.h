// A profile -> a file of boundary cases: each row of each target's range at its limits, each value that a gate, a stop or a rule
// holds a reading against, one step of the tool to both sides of them, and each of these readings missing. What must come out
// is left for a person to fill in (`fill_in`), so the file is no file of trials yet.
//
// A row is reached by the facts that its tables ask; where a table asks what is read, a comment says that the row is left. One
// member stands for all that share a row. Tested by the golden case trial/propose.
#pragma once

#include <optional>
#include <string>

#include "engine/book/trial.h"
#include "engine/text/source.h"

namespace stringline {

struct ProposalRequest {
  std::string profile;
  TrialSpecs specs;
  const TrialsTree* file = nullptr;  // the trials that there are: their order and usual readings are kept; null: none
};

// Nothing exactly when a mistake was reported.
[[nodiscard]] std::optional<std::string> propose_trials(const ProposalRequest& asked, Sources& sources,
                                                        Diagnostics& out);

}  // namespace stringline
