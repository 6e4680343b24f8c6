// See stays.h.
#include "engine/plan/stays.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "engine/plan/answers.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// A job that was done has set it.
bool was_set(const Program& program, const Judgement& judgement, PointId point) {
  return std::any_of(judgement.done.begin(), judgement.done.end(), [&](JobId job) {
    const auto& sets = program.jobs[job].sets;
    return std::any_of(sets.begin(), sets.end(), [&](const JobInfo::Set& set) {
      return std::count(set.points.begin(), set.points.end(), point) > 0;
    });
  });
}

std::optional<model::Range> value_of(const PointState& state) {
  const Interval& number = state.value.number;
  if (state.status != PointState::Status::read || !number.lo || !number.hi) return std::nullopt;
  return model::Range{number.lo->to_double(), number.hi->to_double()};
}

// What the plan works on or reads again.
std::vector<bool> planned_points(const Program& program, const Plan& plan) {
  std::vector<bool> planned(program.points.size());
  const auto mark = [&](const std::vector<PointId>& points) {
    for (const PointId point : points) planned[point] = true;
  };
  for (const PlanLine& line : plan.lines) {
    mark(line.points);
    if (!line.job) continue;
    for (const JobInfo::Set& set : program.jobs[*line.job].sets) mark(set.points);
  }
  return planned;
}

// Out, and no job of the profile has its turn for it.
bool has_no_work(const Program& program, const Judgement& judgement, std::size_t at) {
  const TargetInfo& target = program.targets[at];
  const Verdict verdict = judgement.targets[at].verdict;
  if (target.phase < 0) return true;
  const Answers answers(program, judgement);
  return !answers.asked(at, verdict, value_of(judgement.points[target.point])) &&
         answers.undecided(verdict == Verdict::high ? target.high : target.low, target.point).empty();
}

// Why this target's reading stays; empty where it does not.
std::string why_it_stays(const Program& program, const Judgement& judgement, std::size_t at,
                         const std::vector<bool>& planned) {
  const TargetState& state = judgement.targets[at];
  const PointId point = program.targets[at].point;
  const auto reason = [&] { return reason_of(program, judgement, at); };
  const bool out = state.verdict == Verdict::high || state.verdict == Verdict::low;
  if (state.left && !out) return "the player wants it left as it was";
  if (state.verdict == Verdict::too_close && program.decide != Decide::prove) {
    const bool contact = judgement.points[point].contact;
    return fmt::format(
        "it{}: {}", reason(),
        contact ? "the string touches, so read it with a straightedge" : "too near the limit for this tool");
  }
  if (out && is_as_asked(program, judgement, at))
    return fmt::format("it{}; the player asks for {}, and it is there", reason(),
                       shown(program, judgement, point, *state.aim));
  if (out && Answers(program, judgement).finer_than_a_player(at, value_of(judgement.points[point])))
    return fmt::format("it{}; no player repeats a note that finely", reason());
  if (out && !state.left && !planned[point] && has_no_work(program, judgement, at))
    return fmt::format("it{}; the profile has no work for that", reason());
  const auto& before = judgement.out_before[at];
  if (!before || state.verdict != Verdict::within || was_set(program, judgement, point)) return "";
  return fmt::format("it was {}, {}; now it{}", before->text, to_text(before->verdict), reason());
}

}  // namespace

std::vector<LeftAlone> stays(const Program& program, const Judgement& judgement, const Plan& plan) {
  const std::vector<bool> planned = planned_points(program, plan);
  std::map<std::string, std::vector<PointId>> same;  // members of which the same is to be said
  for (std::size_t at = 0; at < program.targets.size(); ++at) {
    const std::string why = why_it_stays(program, judgement, at, planned);
    if (!why.empty()) same[why].push_back(program.targets[at].point);
  }
  std::vector<LeftAlone> all;
  for (const auto& [why, points] : same)
    all.push_back({points, std::nullopt, name_points(program, points), why, false});
  return all;
}

}  // namespace stringline
