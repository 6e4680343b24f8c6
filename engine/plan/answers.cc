// See answers.h.
#include "engine/plan/answers.h"

#include <algorithm>
#include <cmath>

namespace stringline {
namespace {

constexpr double player_repeat_cents = 2.0;

bool contains(const std::vector<JobId>& jobs, JobId job) { return std::count(jobs.begin(), jobs.end(), job) > 0; }

}  // namespace

bool Answers::is_done(JobId job) const { return contains(judgement_.done, job); }
bool Answers::is_declined(JobId job) const { return contains(judgement_.declined, job); }
bool Answers::is_agreed(JobId job) const { return contains(judgement_.agreed, job); }

int Answers::turn_of(JobId job) const {
  int turn = program_.jobs[job].phase;
  if (turn >= 0) return turn;
  turn = static_cast<int>(program_.phases.size()) - 1;
  for (const TargetInfo& target : program_.targets) {
    if (target.phase < 0 || target.phase >= turn) continue;
    if (answer(target.low, target.point) == job || answer(target.high, target.point) == job) turn = target.phase;
  }
  return turn;
}

std::optional<JobId> Answers::answer(const std::optional<JobChoice>& choice, PointId point) const {
  if (!choice) return std::nullopt;
  const auto rows = evaluator_.possible(*choice, program_.points[point].at);
  return rows.leaves.size() == 1 ? *rows.leaves.front() : std::nullopt;
}

std::vector<PointId> Answers::undecided(const std::optional<JobChoice>& choice, PointId point) const {
  std::vector<PointId> points;
  if (!choice) return points;
  const auto rows = evaluator_.possible(*choice, program_.points[point].at);
  if (rows.leaves.size() == 1) return points;
  for (const Need& need : rows.needs) {
    if (!need.fact) points.push_back(need.id);
  }
  return points;
}

std::optional<JobId> Answers::toward(std::size_t target, model::Range value) const {
  const TargetInfo& info = program_.targets[target];
  const ReadingInfo& reading = program_.reading_of(info.point);
  const double step = reading.read_to ? reading.read_to->value.to_double() : 0.0;
  const double apart = value.middle() - judgement_.targets[target].aim->to_double();
  if (std::abs(apart) <= step) return std::nullopt;
  return answer(apart > 0 ? info.high : info.low, info.point);
}

std::optional<JobId> Answers::asked(std::size_t target, Verdict verdict, std::optional<model::Range> value) const {
  const TargetInfo& info = program_.targets[target];
  const TargetState& state = judgement_.targets[target];
  if (finer_than_a_player(target, value)) return std::nullopt;
  if (info.want && info.want->form == Want::Form::aim && state.aim && value) return toward(target, *value);
  if (verdict == Verdict::high) return answer(info.high, info.point);
  if (verdict == Verdict::low) return answer(info.low, info.point);
  const bool prove = program_.decide == Decide::prove && verdict == Verdict::too_close;
  if (!prove || !state.aim || !value) return std::nullopt;
  return answer(value->middle() > state.aim->to_double() ? info.high : info.low, info.point);
}

std::optional<JobId> Answers::follows(const std::optional<JobChoice>& choice, PointId point) const {
  const auto job = answer(choice, point);
  const bool free = job && (program_.jobs[*job].covered || program_.package.empty() || is_agreed(*job));
  return free && !is_declined(*job) ? job : std::nullopt;
}

bool Answers::finer_than_a_player(std::size_t target, std::optional<model::Range> value) const {
  const PointId point = program_.targets[target].point;
  const auto& aim = judgement_.targets[target].aim;
  if (!(program_.reading_of(point).type.dimension == dimension::cents) || !aim || !value) return false;
  const double readings = std::max(1, judgement_.points[point].readings);
  return std::abs(value->middle() - aim->to_double()) < player_repeat_cents / std::sqrt(readings);
}

}  // namespace stringline
