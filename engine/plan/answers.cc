// See answers.h.
#include "engine/plan/answers.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/check/mentions.h"

namespace stringline {
namespace {

constexpr double player_repeat_cents = 2.0;
constexpr double noise = 1e-9;

bool contains(const std::vector<JobId>& jobs, JobId job) { return std::count(jobs.begin(), jobs.end(), job) > 0; }

// Whether an expression hangs on what was seen or on what the instrument is, rather than on numbers alone.
bool hangs_on_states(const Program& program, const Typed& expr, std::set<PointId>& seen) {
  for (const FactId fact : facts_in(expr)) {
    if (program.facts[fact].type.kind != Kind::number) return true;
  }
  for (const PointId point : mentioned_in(program, expr)) {
    const ReadingInfo& reading = program.reading_of(point);
    if (reading.type.kind != Kind::number && reading.source != ReadingInfo::Source::computed) return true;
    if (reading.formula && seen.insert(point).second && hangs_on_states(program, *reading.formula, seen)) return true;
  }
  return false;
}

}  // namespace

bool Answers::is_done(JobId job) const {
  return contains(judgement_.done, job) && !contains(judgement_.called_again, job);
}
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
  if (turn + 1 < static_cast<int>(program_.phases.size())) return turn;
  const auto named = phases_of(program_, job);
  return named.empty() ? turn : named.front();
}

std::optional<JobId> Answers::answer(const std::optional<JobChoice>& choice, PointId point) const {
  if (!choice) return std::nullopt;
  const auto rows = evaluator_.possible(*choice, program_.points[point].at);
  const auto row = rows.leaves.size() == 1 ? *rows.leaves.front() : std::nullopt;
  if (!row || judgement_.agreed.empty()) return row;
  std::vector<JobId> graded{*row};
  collect(*choice, program_.points[point].at, graded);
  const auto last = last_agreed(graded);
  return last && !is_done(*last) && !is_declined(*last) ? last : row;
}

std::optional<JobId> Answers::last_agreed(const std::vector<JobId>& jobs) const {
  const auto& agreed = judgement_.agreed;
  const auto found = std::find_if(agreed.rbegin(), agreed.rend(), [&](JobId job) { return contains(jobs, job); });
  return found == agreed.rend() ? std::nullopt : std::optional(*found);
}

std::optional<JobId> Answers::chosen_instead(JobId job) const {
  for (const TargetInfo& target : program_.targets) {
    const Verdict verdict = judgement_.targets[static_cast<std::size_t>(program_.target_of[target.point])].verdict;
    const auto& choice = verdict == Verdict::high ? target.high : target.low;
    if ((verdict != Verdict::high && verdict != Verdict::low) || !choice) continue;
    std::vector<JobId> graded;
    collect(*choice, program_.points[target.point].at, graded);
    const auto last = contains(graded, job) ? last_agreed(graded) : std::nullopt;
    if (last && *last != job) return last;
  }
  return std::nullopt;
}

std::vector<JobId> Answers::alternatives(const std::optional<JobChoice>& choice, PointId point, JobId to) const {
  std::vector<JobId> jobs;
  if (choice) collect(*choice, program_.points[point].at, jobs);
  if (!contains(jobs, to)) return {};
  const auto is_out = [&](JobId job) { return job == to || is_done(job) || is_declined(job); };
  jobs.erase(std::remove_if(jobs.begin(), jobs.end(), is_out), jobs.end());
  return jobs;
}

void Answers::collect(const JobChoice& choice, const Hand& hand, std::vector<JobId>& into) const {
  if (const auto* leaf = std::get_if<std::optional<JobId>>(&choice.node)) {
    if (*leaf && !contains(into, **leaf)) into.push_back(**leaf);
    return;
  }
  const auto& table = *std::get<std::shared_ptr<const TypedTable<std::optional<JobId>>>>(choice.node);
  std::set<PointId> seen;
  if (!hangs_on_states(program_, *table.selector, seen)) {
    for (const auto& row : table.rows) collect(row.second, hand, into);
    return;
  }
  for (const JobChoice* row : evaluator_.rows(table, hand)) collect(*row, hand, into);
}

std::vector<JobId> Answers::possible(const JobChoice& choice, const Hand& hand) const {
  std::vector<JobId> jobs;
  for (const auto* leaf : evaluator_.possible(choice, hand).leaves) {
    if (*leaf && !is_declined(**leaf) && !contains(jobs, **leaf)) jobs.push_back(**leaf);
  }
  return jobs;
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
  if (std::abs(apart) <= step + noise) return std::nullopt;
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
