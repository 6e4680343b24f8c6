// See warnings.h.
#include "engine/plan/warnings.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string>

#include "engine/check/disturb.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

bool is_out(const std::optional<Verdict>& verdict) { return verdict == Verdict::high || verdict == Verdict::low; }

// The last line whose job takes something off for this reading.
PlanLine* cut_for(const Program& program, PointId point, std::vector<PlanLine>& lines) {
  const auto found = std::find_if(lines.rbegin(), lines.rend(), [&](const PlanLine& line) {
    return line.form == PlanLine::Form::job && program.jobs[*line.job].removes &&
           std::count(line.points.begin(), line.points.end(), point) > 0;
  });
  return found == lines.rend() ? nullptr : &*found;
}

}  // namespace

PutOut put_out(const Program& program, const Answers& answers, const Forecast& before, const Forecast& after) {
  PutOut out;
  for (std::size_t at = 0; at < program.targets.size(); ++at) {
    const TargetInfo& target = program.targets[at];
    const auto then = before.verdict(at) == Verdict::within ? after.verdict(at) : std::nullopt;
    if (!is_out(then)) continue;
    const auto& choice = *then == Verdict::high ? target.high : target.low;
    const auto back = answers.answer(choice, target.point);
    if (back && !answers.is_declined(*back))
      out.brought_back[{*back, *then}].push_back(target.point);
    else if (!answers.undecided(choice, target.point).empty())
      out.undecided.push_back(target.point);
    else
      out.lost.push_back(target.point);
  }
  return out;
}

std::string loss_text(const Program& program, const Judgement& judgement, const std::vector<PointId>& lost,
                      const Forecast& after) {
  const PointId first = lost.front();
  return fmt::format("it would put {} out, {} expected, {}, and no job brings that back", name_points(program, lost),
                     shown(program, judgement, first, *after.expected(first)),
                     to_text(*after.verdict(static_cast<std::size_t>(program.target_of[first]))));
}

void warn_what_was_cut(const Program& program, const Judgement& judgement, const Forecast& before,
                       const Forecast& after, JobId later, std::vector<PlanLine>& lines) {
  using Values = std::map<std::string, std::vector<PointId>>;  // members at the same value
  std::map<std::pair<PlanLine*, Verdict>, Values> spoiled;
  for (std::size_t at = 0; at < program.targets.size(); ++at) {
    const PointId point = program.targets[at].point;
    const auto now = before.expected_verdict(at);
    const auto then = now == Verdict::within ? after.expected_verdict(at) : std::nullopt;
    PlanLine* cut = is_out(then) ? cut_for(program, point, lines) : nullptr;
    if (cut != nullptr)
      spoiled[{cut, *then}][shown(program, judgement, point, *after.expected(point))].push_back(point);
  }
  for (const auto& [where, values] : spoiled) {
    std::vector<std::string> texts;
    for (const auto& [value, points] : values) texts.push_back(name_points(program, points) + " at " + value);
    where.first->warnings.push_back(fmt::format("take less: '{}' is expected to follow, and would leave {}, {}",
                                                program.jobs[later].label, fmt::join(texts, ", "),
                                                to_text(where.second)));
  }
}

void mind_followers(const Program& program, const std::vector<PlanLine>& lines, PlanLine& line) {
  for (std::size_t at = 0; at < lines.size(); ++at) {
    std::set<JobId> followers;
    if (lines[at].if_low) followers.insert(*lines[at].if_low);
    if (lines[at].if_high) followers.insert(*lines[at].if_high);
    for (const JobId follower : followers) {
      const auto moved = disturbed_by(program, program.jobs[follower]);
      const auto is_moved = [&](PointId point) { return std::binary_search(moved.begin(), moved.end(), point); };
      if (std::none_of(line.points.begin(), line.points.end(), is_moved)) continue;
      line.warnings.push_back(fmt::format("if '{}' follows line {}, make the list again: it moves {}",
                                          program.jobs[follower].label, at + 1, name_readings(program, line.points)));
    }
  }
}

void mind_conditions(const Program& program, const Forecast& forecast, const std::vector<std::size_t>& targets,
                     PlanLine& line) {
  const Scene scene(program, forecast.judgement());
  const Evaluator evaluator(program, scene);
  std::vector<PointId> open;
  for (const std::size_t at : targets) {
    const TargetInfo& target = program.targets[at];
    if (!target.when) continue;
    const Result when = evaluator.evaluate(*target.when, program.points[target.point].at);
    if (when.failure || when.truth() != Truth::unknown) continue;
    for (const Need& need : when.needs) {
      if (!need.fact && std::count(open.begin(), open.end(), need.id) == 0) open.push_back(need.id);
    }
  }
  if (!open.empty())
    line.warnings.push_back(fmt::format("whether it is asked for at all hangs on {}", name_points(program, open)));
}

}  // namespace stringline
