// Everything that is known of one name in a visit: a reading, a job, a gate, a stop or a rule; or why one job comes before another.
// Tested by the golden cases of `why`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/plan/plan.h"
#include "engine/text/source.h"

namespace stringline {

struct WhyFact {
  std::string word;  // value, method, target, verdict, ...
  std::string text;
};
struct Why {
  std::string title;  // "action (bass)"
  std::vector<WhyFact> facts;
};

struct WhyContext {
  const Program& program;
  const Judgement& judgement;
  const Plan& plan;
  const Sources& sources;
};

// One for each reading, member or thing of that name; empty when there is none.
[[nodiscard]] std::vector<Why> why(const WhyContext& context, const std::string& name);
// Nothing when either is no job's name.
[[nodiscard]] std::optional<Why> why_before(const WhyContext& context, const std::string& first,
                                            const std::string& second);
// Every name that `why` knows.
[[nodiscard]] std::vector<std::string> why_names(const Program& program);

}  // namespace stringline
