// See rule_readings.h.
#include "engine/plan/rule_readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "engine/check/mentions.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

std::optional<int> first_turn(const RuleInfo& rule, const Answers& answers) {
  std::optional<int> first;
  for (const auto* choices : {&rule.jobs, &rule.offers}) {
    for (const JobChoice& choice : *choices) {
      for (const JobId job : jobs_in(choice)) {
        const int turn = answers.turn_of(job);
        first = first ? std::min(*first, turn) : turn;
      }
    }
  }
  return first;
}

}  // namespace

std::vector<PlanLine> readings_for_rules(const Program& program, const Judgement& judgement, const Answers& answers,
                                         int phase) {
  std::map<PointId, std::vector<std::string>> asked;
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    const RuleInfo& rule = program.rules[i];
    if (judgement.rules[i].state != RuleState::unknown || first_turn(rule, answers) != phase) continue;
    for (const Need& need : judgement.rules[i].needs) {
      if (need.fact || program.target_of[need.id] >= 0) continue;
      if (judgement.points[need.id].status == PointState::Status::not_read)
        asked[need.id].push_back(fmt::format("the rule '{}' hangs on it", plain_name(rule.name)));
    }
  }
  std::map<std::pair<ReadingId, std::vector<std::string>>, PlanLine> lines;
  for (auto& [point, because] : asked) {
    PlanLine& line = lines[{program.points[point].reading, because}];
    line.form = PlanLine::Form::read_again;
    line.points.push_back(point);
    line.because = because;
  }
  std::vector<PlanLine> out;
  for (auto& [what, line] : lines) out.push_back(std::move(line));
  return out;
}

}  // namespace stringline
