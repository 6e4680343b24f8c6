// Everything that is known of one name in a visit: a reading, a job, a gate, a stop or a rule; how hard the strings pull; or why one job comes before
// another.
//
//   action.bass   nut_gap.wound   action   tighten_rod   climate   strings   tighten_rod before file_slots
// A reading without a member stands for all of its members. Spaces may stand for _, and a job may be called by its label.
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
  enum class Kind : std::uint8_t { reading, job, gate, stop, rule, strings, order };
  Kind kind = Kind::reading;
  std::size_t at = 0;  // its place in the program: a PointId, a JobId, ..; of an order: the first job's
  std::size_t other = 0;
  std::string title;  // "action (bass)"
  std::vector<WhyFact> facts;
};

struct WhyContext {
  const Program& program;
  const Judgement& judgement;
  const Plan& plan;
  const Sources& sources;
};

struct WhyAnswers {
  std::vector<Why> all;
  std::string unknown;  // when there is none: what is not known, and the nearest name
};
[[nodiscard]] WhyAnswers why(const WhyContext& context, const std::vector<std::string>& words);

}  // namespace stringline
