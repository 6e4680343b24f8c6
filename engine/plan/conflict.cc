// See conflict.h.
#include "engine/plan/conflict.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/check/disturb.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Which way a reading wants a control to go.
struct Pull {
  JobId job;
  PointId point;
  Control control;
  bool up;
};

std::vector<Pull> pulls(const Program& program, const Judgement& judgement, const Forecast& forecast,
                        const Asking& asking) {
  std::vector<Pull> all;
  for (const auto& [job, at] : asking) {
    const JobInfo& info = program.jobs[job];
    const PointId point = program.targets[at].point;
    const auto value = forecast.expected(point);
    const auto& aim = judgement.targets[at].aim;
    const auto effect = info.moves && !info.by
                            ? effect_on(program, point, *info.moves, planned_method(program, judgement, point))
                            : std::nullopt;
    if (!effect || !value || !aim) continue;
    const double per_mm = effect->over(program.neck_shape).middle();
    all.push_back({job, point, *info.moves, (aim->to_double() - value->middle()) * per_mm > 0});
  }
  return all;
}

bool oppose(const Program& program, const Pull& a, const Pull& b) {
  if (a.control != b.control || a.up == b.up || a.job == b.job) return false;
  const auto share = Carrying(program, a.point, a.control).share(b.point);
  return share && (share->lo != 0.0 || share->hi != 0.0);
}

Asking::const_iterator first_of(const Asking& asking, JobId job) {
  return std::lower_bound(asking.begin(), asking.end(), std::pair(job, std::size_t{0}));
}

}  // namespace

bool asks(const Asking& asking, JobId job) {
  const auto first = first_of(asking, job);
  return first != asking.end() && first->first == job;
}

Places places_in(const Asking& asking, JobId job) {
  Places places;
  for (auto at = first_of(asking, job); at != asking.end() && at->first == job; ++at) places.push_back(at->second);
  return places;
}

std::vector<Conflict> conflicts_of(const Program& program, const Judgement& judgement, const Forecast& forecast,
                                   const Asking& asking) {
  std::vector<Conflict> conflicts;
  std::set<std::pair<JobId, JobId>> told;
  const auto all = pulls(program, judgement, forecast, asking);
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t j = i + 1; j < all.size(); ++j) {
      const Pull& a = all[i];
      const Pull& b = all[j];
      if (!oppose(program, a, b) || !told.insert({a.job, b.job}).second) continue;
      conflicts.push_back(
          {a.job,
           b.job,
           {a.point, b.point},
           fmt::format("{} asks for '{}' and {} for '{}', and both turn the same thing; decide which counts",
                       name_points(program, {a.point}), program.jobs[a.job].label, name_points(program, {b.point}),
                       program.jobs[b.job].label)});
    }
  }
  return conflicts;
}

void mind_opposites(const Program& program, const Judgement& judgement, const Forecast& forecast,
                    const std::vector<PlanLine>& lines, const std::pair<JobId, Places>& asked,
                    std::vector<std::string>& warnings) {
  const auto& [job, places] = asked;
  Asking asking;
  for (const std::size_t at : places) asking.emplace_back(job, at);
  const auto all = pulls(program, judgement, forecast, asking);
  for (std::size_t at = 0; at < lines.size(); ++at) {
    const PlanLine& line = lines[at];
    const bool is_job = line.form == PlanLine::Form::job && program.jobs[*line.job].moves;
    for (const Amount& amount : is_job ? line.amounts : std::vector<Amount>()) {
      if (!amount.travel) continue;
      const Pull before{*line.job, amount.point, *program.jobs[*line.job].moves, *amount.travel > 0};
      const auto undoes = [&](const Pull& pull) { return oppose(program, before, pull); };
      if (std::none_of(all.begin(), all.end(), undoes)) continue;
      warnings.push_back(fmt::format("'{}' turns back what '{}' does for {}, line {}; decide which counts",
                                     program.jobs[job].label, program.jobs[before.job].label,
                                     name_points(program, {amount.point}), at + 1));
      break;
    }
  }
}

}  // namespace stringline
