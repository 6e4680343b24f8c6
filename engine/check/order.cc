// See order.h.
#include "engine/check/order.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <utility>

#include "engine/check/calls.h"
#include "engine/check/disturb.h"
#include "engine/check/mentions.h"

namespace stringline {
namespace {

using Points = std::vector<PointId>;  // sorted

struct Effect {
  Points sets;
  Points disturbs;
  std::vector<int> phases;  // ascending
  bool regular = false;     // routine, or called by a target
};

Points common(const Points& a, const Points& b) {
  Points both;
  std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
  return both;
}

std::vector<Effect> effects(const Program& program) {
  const std::vector<JobCalls> called = calls(program);
  std::vector<Effect> all;
  for (JobId at = 0; at < program.jobs.size(); ++at) {
    const JobInfo& job = program.jobs[at];
    Effect effect{{}, disturbed_by(program, job), phases_of(program, at), job.routine || !called[at].targets.empty()};
    for (const JobInfo::Set& set : job.sets)
      effect.sets.insert(effect.sets.end(), set.points.begin(), set.points.end());
    std::sort(effect.sets.begin(), effect.sets.end());
    all.push_back(std::move(effect));
  }
  return all;
}

// The readings among `points` that have a turn.
std::vector<ReadingId> with_turn(const Program& program, const Points& points) {
  std::vector<ReadingId> readings;
  for (const PointId point : points) {
    const TargetInfo* target = program.target(point);
    if (target != nullptr && target->phase >= 0) readings.push_back(program.points[point].reading);
  }
  readings.erase(std::unique(readings.begin(), readings.end()), readings.end());
  return readings;
}

// 'a', 'b' and 'c'; of many the first three.
std::string quoted(const std::set<std::string>& names) {
  constexpr std::size_t most = 4;
  const std::size_t shown = names.size() > most ? most - 1 : names.size();
  std::vector<std::string> parts;
  for (const std::string& name : names) {
    if (parts.size() < shown) parts.push_back("'" + name + "'");
  }
  if (names.size() > shown) parts.push_back(fmt::format("{} more", names.size() - shown));
  std::string list = parts.front();
  for (std::size_t at = 1; at < parts.size(); ++at) list += (at + 1 == parts.size() ? " and " : ", ") + parts[at];
  return list;
}

// All conflicts of two phases, over the profiles.
struct Clash {
  Span late;
  Span early;
  std::set<std::string> late_jobs;
  std::set<std::string> early_jobs;
  std::set<std::string> readings;
  std::set<std::string> profiles;
};

}  // namespace

std::vector<OrderConflict> prove_order(const Program& program) {
  const std::vector<Effect> all = effects(program);
  std::vector<OrderConflict> conflicts;
  for (JobId late = 0; late < all.size(); ++late) {
    if (!all[late].regular) continue;
    for (JobId early = 0; early < all.size(); ++early) {
      if (late == early || all[late].phases.empty() || all[early].phases.empty()) continue;
      const int late_phase = all[late].phases.back();
      const int early_phase = all[early].phases.front();
      if (late_phase <= early_phase) continue;
      const auto moved = with_turn(program, common(all[late].disturbs, all[early].sets));
      const bool knot = !common(all[early].disturbs, all[late].sets).empty();
      if (!moved.empty() && !knot) conflicts.push_back({late_phase, early_phase, late, early, moved});
    }
  }
  std::sort(conflicts.begin(), conflicts.end(), [](const OrderConflict& a, const OrderConflict& b) {
    return std::tie(a.late_phase, a.early_phase, a.late_job, a.early_job) <
           std::tie(b.late_phase, b.early_phase, b.late_job, b.early_job);
  });
  return conflicts;
}

void report_order(const std::vector<const Program*>& programs, Diagnostics& out) {
  std::map<std::pair<std::string, std::string>, Clash> clashes;  // by the names of the later and the earlier phase
  for (const Program* program : programs) {
    for (const OrderConflict& conflict : prove_order(*program)) {
      const PhaseInfo& late = program->phases[static_cast<std::size_t>(conflict.late_phase)];
      const PhaseInfo& early = program->phases[static_cast<std::size_t>(conflict.early_phase)];
      Clash& clash = clashes[{late.name, early.name}];
      clash.late = late.span;
      clash.early = early.span;
      clash.late_jobs.insert(program->jobs[conflict.late_job].name);
      clash.early_jobs.insert(program->jobs[conflict.early_job].name);
      clash.profiles.insert(program->profile);
      for (const ReadingId reading : conflict.readings) clash.readings.insert(program->readings[reading].name);
    }
  }
  for (const auto& [phases, clash] : clashes) {
    out.report(
        Code::order_undoes, clash.late,
        fmt::format("{} in phase '{}' {} {}, which {} {} in phase '{}' before it; {} read again at the end ({} {})",
                    quoted(clash.late_jobs), phases.first, clash.late_jobs.size() > 1 ? "move" : "moves",
                    quoted(clash.readings), quoted(clash.early_jobs), clash.early_jobs.size() > 1 ? "set" : "sets",
                    phases.second, clash.readings.size() > 1 ? "they are" : "it is",
                    clash.profiles.size() > 1 ? "profiles" : "profile", quoted(clash.profiles)),
        fmt::format("'{}' before '{}' in order: would spare that", phases.first, phases.second),
        {{clash.early, "the earlier phase"}});
  }
}

}  // namespace stringline
