// See review.h.
#include "engine/check/review.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <tuple>

#include "engine/check/calls.h"
#include "engine/check/disturb.h"
#include "engine/check/evaluate.h"
#include "engine/check/layer.h"
#include "engine/check/mentions.h"
#include "engine/check/order.h"

namespace stringline {
namespace {

using Place = std::tuple<SourceId, std::uint32_t, std::uint32_t>;
Place place_of(Span span) { return {span.source, span.begin, span.end}; }

// A job that one profile leaves alone may well be another's: it is reported where no profile that has it calls it. What a
// profile with mistakes calls is not known, so that it counts as calling all it has.
void uncalled_jobs(const std::vector<HouseProfile>& profiles, const std::set<Place>& meant, Diagnostics& out) {
  std::map<Place, const JobInfo*> uncalled;
  std::set<Place> called;
  for (const HouseProfile& profile : profiles) {
    if (profile.program == nullptr) {
      for (const auto& [name, job] : layer(profile.layers).jobs) called.insert(place_of(job.tree.name.span));
      continue;
    }
    const std::vector<JobCalls> all = calls(*profile.program);
    for (std::size_t at = 0; at < all.size(); ++at) {
      const JobInfo& job = profile.program->jobs[at];
      if (job.routine || all[at].any())
        called.insert(place_of(job.span));
      else if (profile.used)
        uncalled.emplace(place_of(job.span), &job);
    }
  }
  for (const auto& [place, job] : uncalled) {
    if (called.count(place) > 0 || meant.count(place) > 0) continue;
    out.report(
        Code::job_not_called, job->span, fmt::format("nothing calls '{}'", job->name),
        "name it under low: or high: of a target, do: or offer: of a rule, gate or stop, or make it routine: true");
  }
}

// A fact of a house's own may be there for a profile based on it: it is told where no profile that has it uses it.
void idle_facts(const std::vector<HouseProfile>& profiles, Diagnostics& out) {
  std::map<Place, const FactInfo*> idle;
  std::set<Place> used;
  std::set<SourceId> own;
  for (const HouseProfile& profile : profiles) {
    if (profile.own && profile.used) own.insert(profile.layers.back()->source);
    if (profile.program == nullptr) {  // what it would use is not known
      for (const auto& [name, fact] : layer(profile.layers).facts) used.insert(place_of(fact.origin.span));
      continue;
    }
    for (const FactInfo& fact : profile.program->facts) {
      if (fact.used || !fact.origin.overrode.empty())
        used.insert(place_of(fact.origin.span));
      else
        idle.emplace(place_of(fact.origin.span), &fact);
    }
  }
  for (const auto& [place, fact] : idle) {
    if (used.count(place) > 0 || own.count(std::get<0>(place)) == 0) continue;
    out.report(Code::fact_unused, fact->origin.span, fmt::format("nothing uses the fact '{}'", fact->name),
               "a fact counts where an expression, a table or a text names it");
  }
}

bool answers(const Program& program, const JobInfo& job, PointId point) {
  const auto has = [&](const std::vector<PointId>& points) {
    return std::count(points.begin(), points.end(), point) > 0;
  };
  if (std::any_of(job.sets.begin(), job.sets.end(), [&](const JobInfo::Set& set) { return has(set.points); }))
    return true;
  return has(disturbed_by(program, job)) || (job.moves && may_move(program, point, *job.moves));
}

// Jobs that would bring a reading back.
std::vector<const JobInfo*> answering(const Program& program, PointId point) {
  std::vector<const JobInfo*> jobs;
  for (const JobInfo& job : program.jobs) {
    const bool to_aim = std::any_of(job.sets.begin(), job.sets.end(), [&](const JobInfo::Set& set) {
      return std::count(set.points.begin(), set.points.end(), point) > 0;
    });
    if (to_aim) jobs.push_back(&job);
  }
  return jobs;
}

// Jobs that a slip in a target leaves uncalled go into `meant`: they are no second mistake.
void unanswered_targets(const Program& program, std::set<Place>& meant, Diagnostics& out) {
  std::map<std::pair<Place, JobId>, std::pair<const TargetInfo*, Span>> first;
  for (const TargetInfo& target : program.targets) {
    for (const auto* choice : {&target.low, &target.high}) {
      if (!*choice) continue;
      for_each_leaf(**choice, [&](const std::optional<JobId>& job, Span span) {
        if (!job || answers(program, program.jobs[*job], target.point)) return;
        first.emplace(std::pair(place_of(span), *job), std::pair(&target, span));
      });
    }
  }
  for (const auto& [key, found] : first) {
    const JobInfo& job = program.jobs[key.second];
    std::vector<std::string> better;
    for (const JobInfo* other : answering(program, found.first->point)) {
      better.push_back(other->name);
      meant.insert(place_of(other->span));
    }
    out.report(Code::job_answers_not, found.second,
               fmt::format("'{}' is to bring back '{}', and neither sets, moves nor disturbs it", job.name,
                           program.points[found.first->point].name),
               better.empty() ? fmt::format("say so in the job: sets: {}", program.reading_of(found.first->point).name)
                              : fmt::format("a job that does: {}", fmt::join(better, ", ")),
               {{job.span, "the job"}});
  }
}

void idle_turns(const Program& program, Diagnostics& out) {
  for (const TargetInfo& target : program.targets) {
    if (target.phase < 0 || !target.range || target.low || target.high) continue;
    out.report(
        Code::idle_turn, target.span,
        fmt::format("'{}' has its turn in phase '{}' and no job to do in it", program.reading_of(target.point).name,
                    program.phases[static_cast<std::size_t>(target.phase)].name),
        "name the jobs under low: and high:; a target that is only reported has no phase:");
  }
}

void jobs_without_turn(const Program& program, Diagnostics& out) {
  if (program.phases.empty()) return;
  const std::vector<JobCalls> called = calls(program);
  for (JobId at = 0; at < program.jobs.size(); ++at) {
    const JobInfo& job = program.jobs[at];
    if (!phases_of(program, at).empty()) continue;
    const char* how = job.routine           ? "is routine"
                      : called[at].by_rule  ? "is called by a rule"
                      : called[at].by_offer ? "is offered by a rule"
                                            : nullptr;
    if (how == nullptr) continue;
    out.report(Code::job_without_turn, job.span,
               fmt::format("'{}' {} and has no phase:, so it comes in the last one, '{}'", job.name, how,
                           program.phases.back().name),
               "give it a phase:, or let a target that has one call it");
  }
}

// The doubt of one reading, U^2, in base units.
std::optional<Ratio> doubt_squared(const ReadingInfo& reading) {
  const Ratio step = reading.read_to->value;
  const auto square = multiply(step, step);
  const auto graduation = square ? divide(*square, 3) : std::nullopt;
  const Ratio spread = reading.repeat ? reading.repeat->value : Ratio(0);
  const auto twice = multiply(spread, 2);
  const auto scatter = twice ? multiply(*twice, *twice) : std::nullopt;
  return graduation && scatter ? add(*graduation, *scatter) : std::nullopt;
}

// How many multiples of `step`, up to two, lie in the range with both squared distances at least `doubt`.
int provable_steps(Ratio lo, Ratio hi, Ratio step, Ratio doubt) {
  constexpr int most_steps = 4096;  // a repeat: far above read_to asks for no more than that
  auto value = round_to(lo, step);
  int found = 0;
  for (int tried = 0; value && *value <= hi && found < 2 && tried < most_steps; ++tried) {
    const auto below = subtract(*value, lo);
    const auto above = subtract(hi, *value);
    const bool inside = below && above && !below->negative() && !above->negative();
    if (inside && compare_square(*below, doubt) >= 0 && compare_square(*above, doubt) >= 0) ++found;
    value = add(*value, step);
  }
  return found;
}

void narrow_range(const Program& program, const ReadingInfo& reading, const TypedRange& range, const Hand& hand,
                  Diagnostics& out) {
  if (!range.lo || !range.hi) return;
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  const Result lo = evaluator.evaluate(*range.lo, hand);
  const Result hi = evaluator.evaluate(*range.hi, hand);
  if (lo.failure || hi.failure || !lo.value.number.is_exact() || !hi.value.number.is_exact()) return;
  const auto doubt = doubt_squared(reading);
  if (!doubt) return;
  const int steps = provable_steps(*lo.value.number.lo, *hi.value.number.lo, reading.read_to->value, *doubt);
  if (steps >= 2) return;
  const std::string repeat =
      reading.repeat
          ? fmt::format(" and repeats to {}", to_text(reading.repeat->value, reading.repeat->unit, std::nullopt, true))
          : "";
  out.report(Code::range_too_narrow, range.span,
             fmt::format("'{}' is read to {}{}, and {} clearly within this range", reading.name,
                         to_text(reading.read_to->value, reading.read_to->unit, std::nullopt, true), repeat,
                         steps == 0 ? "no such reading is" : "only one such reading is"),
             "widen the range, read it with a finer tool (read_to:), or let the house decide: plain",
             {{reading.span, "the reading"}});
}

void narrow_ranges(const Program& program, Diagnostics& out) {
  if (program.decide == Decide::plain) return;
  for (const TargetInfo& target : program.targets) {
    const ReadingInfo& reading = program.reading_of(target.point);
    const bool measured = reading.read_to && reading.read_to->value > Ratio(0);
    if (!target.range || !measured) continue;
    for_each_leaf(*target.range, [&](const TypedRange& range, Span) {
      narrow_range(program, reading, range, program.points[target.point].at, out);
    });
  }
}

template <class Leaf>
void replaced(const std::optional<Choice<Leaf>>& base, const std::optional<Choice<Leaf>>& over, const std::string& what,
              Diagnostics& out) {
  if (!base || !over || !replaces_table(*base, *over)) return;
  const auto& above = std::get<std::shared_ptr<const TableOf<Leaf>>>(over->node);
  const auto& below = std::get<std::shared_ptr<const TableOf<Leaf>>>(base->node);
  out.report(Code::table_replaced, above->span, fmt::format("this table replaces the whole table of {}", what),
             "rows are laid over one by one where both tables ask the same and their rows are states",
             {{below->span, "the table that is replaced"}});
}

std::string path_of(const KeyPath& key) {
  std::string path = key.name.text;
  for (const Word& member : key.members) path += "." + member.text;
  return path;
}

void replaced_in(const ProfileTree& base, const ProfileTree& over, Diagnostics& out) {
  for (const TargetTree& above : over.targets) {
    for (const TargetTree& below : base.targets) {
      const std::string path = path_of(above.key);
      if (path_of(below.key) != path) continue;
      replaced(below.range, above.range, fmt::format("'{}'", path), out);
      replaced(below.low, above.low, fmt::format("low: of '{}'", path), out);
      replaced(below.high, above.high, fmt::format("high: of '{}'", path), out);
      replaced(below.floor, above.floor, fmt::format("floor: of '{}'", path), out);
    }
  }
  for (const FactTree& above : over.facts) {
    for (const FactTree& below : base.facts) {
      const auto* top = std::get_if<ExprChoice>(&above.value);
      const auto* bottom = std::get_if<ExprChoice>(&below.value);
      if (above.name.text != below.name.text || top == nullptr || bottom == nullptr) continue;
      replaced(std::optional(*bottom), std::optional(*top), fmt::format("the fact '{}'", above.name.text), out);
    }
  }
}

}  // namespace

void review(const std::vector<HouseProfile>& profiles, bool ordered, Diagnostics& out) {
  std::vector<const Program*> programs;
  for (const HouseProfile& profile : profiles) {
    if (profile.program != nullptr && profile.used) programs.push_back(profile.program);
  }
  std::set<Place> meant;
  for (const Program* program : programs) {
    unanswered_targets(*program, meant, out);
    idle_turns(*program, out);
    narrow_ranges(*program, out);
    if (ordered) jobs_without_turn(*program, out);
  }
  uncalled_jobs(profiles, meant, out);
  idle_facts(profiles, out);
  if (ordered) report_order(programs, out);
}

void review_layers(const std::vector<const ProfileTree*>& layers, Diagnostics& out) {
  for (std::size_t at = 1; at < layers.size(); ++at) {
    if (layers[at]->name.text == layers[at - 1]->name.text) replaced_in(*layers[at - 1], *layers[at], out);
  }
}

}  // namespace stringline
