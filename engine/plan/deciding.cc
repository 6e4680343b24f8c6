// See deciding.h.
#include "engine/plan/deciding.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <string>

#include "engine/check/mentions.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// The readings that people take, for what is worked out from them.
void add_taken(const Program& program, const Judgement& judgement, PointId point, std::vector<PointId>& into) {
  if (std::count(into.begin(), into.end(), point) > 0) return;
  const PointState& state = judgement.points[point];
  const bool counts = state.status == PointState::Status::read && !state.voided;
  if (counts || state.status == PointState::Status::not_measurable) return;
  const ReadingInfo& info = program.reading_of(point);
  if (!info.formula) {
    into.push_back(point);
    return;
  }
  for (const PointId each : mentioned_in(program, *info.formula, program.points[point].at))
    add_taken(program, judgement, each, into);
}

}  // namespace

std::vector<PlanLine> readings_that_decide(const Program& program, const Judgement& judgement, const Forecast& forecast,
                                           const Answers& answers, int phase) {
  std::map<std::vector<PointId>, PlanLine> lines;                                       // by what is to be read
  std::map<std::vector<PointId>, std::map<std::string, std::vector<PointId>>> reasons;  // members that say the same
  for (std::size_t at = 0; at < program.targets.size(); ++at) {
    const TargetInfo& target = program.targets[at];
    if (target.phase != phase || !forecast.stands(target.point)) continue;
    const auto verdict = forecast.verdict(at);
    if (verdict != Verdict::high && verdict != Verdict::low) continue;
    const auto& choice = verdict == Verdict::high ? target.high : target.low;
    std::vector<PointId> points;
    for (const PointId need : answers.undecided(choice, target.point)) add_taken(program, judgement, need, points);
    if (points.empty()) continue;
    std::sort(points.begin(), points.end());
    PlanLine& line = lines[points];
    line.form = PlanLine::Form::read_again;
    line.points = points;
    reasons[points][reason_of(program, judgement, at)].push_back(target.point);
    for (const JobId job : jobs_in(*choice)) {
      if (std::count(line.may_follow.begin(), line.may_follow.end(), job) == 0) line.may_follow.push_back(job);
    }
  }
  std::vector<PlanLine> out;
  for (auto& [points, line] : lines) {
    for (const auto& [text, asking] : reasons[points])
      line.because.push_back(name_points(program, asking) + text + "; which job answers it hangs on this");
    out.push_back(std::move(line));
  }
  return out;
}

std::string why_read_again(const Program& program, const Judgement& judgement, const Forecast& forecast,
                           PointId point) {
  const PointState& state = judgement.points[point];
  const std::string& by = forecast.moved_by(point);
  if (!by.empty()) return is_job(program, by) ? fmt::format("'{}' moves it", by) : by;
  if (state.status == PointState::Status::stale)
    return is_job(program, state.stale_by) ? fmt::format("'{}' has moved it", state.stale_by)
                                           : "stale since: " + state.stale_by;
  const auto at = static_cast<std::size_t>(program.target_of[point]);
  const std::string stated = stated_by(program, point);
  const bool another = state.method || !stated.empty();
  if (state.status == PointState::Status::read && another && judgement.targets[at].verdict == Verdict::not_read) {
    const auto& possible = judgement.targets[at].possible;
    return fmt::format("it was read {}, and that does not say what {} would show{}",
                       state.method ? state.method->text : program.reading_of(point).gap->text,
                       stated.empty() ? "the house's method" : "the target's," + stated + ",",
                       possible ? fmt::format(" ({})", shown(program, judgement, point, *possible)) : "");
  }
  if (state.status == PointState::Status::read) return "it hangs on a gate that is not known to be open";
  return "it was not read";
}

}  // namespace stringline
