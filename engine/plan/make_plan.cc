// See plan.h. A stop, or a gate over the visit that what was read has closed, ends the list before it begins; else the walk
// through the house's phases (walk.cc) makes it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/judge/pull.h"
#include "engine/plan/answers.h"
#include "engine/plan/walk.h"
#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

class Beginning {
 public:
  Beginning(const Program& program, const Judgement& judgement, Plan& plan)
      : program_(program),
        judgement_(judgement),
        scene_(program, judgement),
        evaluator_(program, scene_),
        plan_(plan) {}

  // False when the list has ended.
  bool run() {
    if (judgement_.closed) {
      plan_.told.push_back("this visit is closed");
      return false;
    }
    tell_failures();
    tell_contradictions();
    tell_missing_facts();
    tell_pull();
    tell_wishes();
    if (stopped()) return false;
    read_first();
    return !held();
  }

 private:
  bool is_done(JobId job) const { return Answers(program_, judgement_).is_done(job); }
  bool is_declined(JobId job) const { return Answers(program_, judgement_).is_declined(job); }

  std::vector<JobId> jobs_of(const std::vector<JobChoice>& choices, const Hand& hand = empty_hand) const {
    std::vector<JobId> jobs;
    for (const JobChoice& choice : choices) {
      const auto rows = evaluator_.possible(choice, hand);
      if (rows.leaves.size() == 1 && *rows.leaves.front()) jobs.push_back(**rows.leaves.front());
    }
    return jobs;
  }

  void say(const std::optional<TypedText>& text, const Hand& hand = empty_hand) {
    if (text) plan_.told.push_back(evaluator_.text(*text, hand));
  }

  // What could not be worked out is no answer, and the exit says so too.
  void tell_failures() {
    const auto tell = [&](const char* what, const std::string& name, const std::optional<Failure>& failure) {
      if (failure)
        plan_.told.push_back(
            fmt::format("the {} '{}' could not be worked out: {}", what, plain_name(name), failure->message));
    };
    for (std::size_t i = 0; i < program_.stops.size(); ++i)
      tell("stop", program_.stops[i].name, judgement_.stops[i].failure);
    for (std::size_t i = 0; i < program_.gates.size(); ++i)
      tell("gate", program_.gates[i].name, judgement_.gates[i].failure);
    for (std::size_t i = 0; i < program_.rules.size(); ++i)
      tell("rule", program_.rules[i].name, judgement_.rules[i].failure);
  }

  void tell_contradictions() {
    std::vector<PointId> points;
    for (const Contradicted& each : judgement_.contradicted) points.push_back(each.point);
    if (points.empty()) return;
    plan_.told.push_back(fmt::format("these readings do not fit together, one of them is a slip: {}; take them again",
                                     name_readings(program_, points)));
  }

  void tell_missing_facts() {
    std::vector<std::uint32_t> facts;
    const auto collect = [&](const std::vector<Need>& needs) {
      for (const Need& need : needs) {
        if (need.fact && std::count(facts.begin(), facts.end(), need.id) == 0) facts.push_back(need.id);
      }
    };
    for (const TargetState& target : judgement_.targets) collect(target.needs);
    for (const TruthState& gate : judgement_.gates) collect(gate.needs);
    for (const TruthState& stop : judgement_.stops) collect(stop.needs);
    for (const RuleOutcome& rule : judgement_.rules) collect(rule.needs);
    std::sort(facts.begin(), facts.end());
    for (const std::uint32_t fact : facts) {
      plan_.told.push_back(
          fmt::format("not stated: {}; write it under instrument: or player:", program_.facts[fact].name));
    }
  }

  // Other strings or another tuning than the last time: what is found now was not left so by the neck alone.
  void tell_pull() {
    constexpr double least = 0.02;  // less than the smallest step between two sets; house judgement
    const auto now = judgement_.last != nullptr && judgement_.last->pull ? pull_of(program_).all : std::nullopt;
    if (!now || std::abs(*now / *judgement_.last->pull - 1.0) < least) return;
    plan_.told.push_back("the strings' pull: " + change_of_pull(*judgement_.last->pull, *now,
                                                                "the last visit, " + to_text(judgement_.last->date)));
  }

  // An aim that the house would not choose is done, and told before the work.
  void tell_wishes() {
    std::map<std::string, std::vector<PointId>> told;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const TargetState& state = judgement_.targets[at];
      if (!target.want || target.want->form != Want::Form::aim || !state.aim) continue;
      const auto written = [&](Ratio value) { return to_text(value, program_.reading_of(target.point).unit); };
      if ((state.lo && *state.aim < *state.lo) || (state.hi && *state.aim > *state.hi))
        told[fmt::format("to be {} as the player asks, outside what the house wants: {}", written(*state.aim),
                         wanted_text(program_, judgement_, target.point))]
            .push_back(target.point);
      const auto floor = target.floor
                             ? evaluator_.evaluate(*target.floor, program_.points[target.point].at).value.number
                             : Interval::anything();
      if (floor.lo && *state.aim < *floor.lo)
        told[fmt::format("to be {} as the player asks, under the floor of {}", written(*state.aim), written(*floor.lo))]
            .push_back(target.point);
    }
    for (const auto& [text, points] : told)
      plan_.told.push_back(fmt::format("{} is {}", name_points(program_, points), text));
  }

  // Behind a closed gate it can not be read; its turn comes once the gate is open.
  bool is_void(PointId point) const {
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      const auto& voids = program_.gates[i].voids;
      if (judgement_.gates[i].truth == Truth::no && std::count(voids.begin(), voids.end(), point) > 0) return true;
    }
    return false;
  }

  // What stops and gates hang on.
  struct Open {
    std::vector<PointId> points;
    std::vector<std::string> stops;
    std::vector<std::string> gates;

    void add(PointId point, std::vector<std::string> Open::*kind, const std::string& name) {
      if (std::count(points.begin(), points.end(), point) == 0) points.push_back(point);
      auto& names = this->*kind;
      if (std::count(names.begin(), names.end(), name) == 0) names.push_back(name);
    }
  };

  // What a stop or a gate hangs on and nobody read comes before everything else; to ask again for what can not be measured
  // would not help.
  void read_first() {
    Open unread;
    Open unreadable;
    const auto collect = [&](const TruthState& state, std::vector<std::string> Open::*kind, const std::string& name) {
      for (const Need& need : state.needs) {
        if (need.fact || is_void(need.id)) continue;
        const bool possible = judgement_.points[need.id].status != PointState::Status::not_measurable;
        (possible ? unread : unreadable).add(need.id, kind, name);
      }
    };
    for (std::size_t i = 0; i < program_.stops.size(); ++i)
      collect(judgement_.stops[i], &Open::stops, plain_name(program_.stops[i].name));
    for (std::size_t i = 0; i < program_.gates.size(); ++i)
      collect(judgement_.gates[i], &Open::gates, plain_name(program_.gates[i].name));
    tell_unreadable(unreadable);
    tell_untold();
    ask_first(unread);
  }

  void tell_unreadable(const Open& open) {
    if (open.points.empty()) return;
    std::vector<std::string> names;
    for (const auto& kind : {open.stops, open.gates}) {
      for (const std::string& name : kind) names.push_back(fmt::format("'{}'", name));
    }
    plan_.told.push_back(fmt::format("{} can not be measured, so {} is for you to judge",
                                     name_readings(program_, open.points), fmt::join(names, ", ")));
  }

  // What hangs on the last visit, which did not read it, or on what can not be measured: no reading of today decides it.
  void tell_untold() {
    std::vector<std::string> names;
    const auto collect = [&](const TruthState& state, const std::string& name) {
      const bool untold = state.truth == Truth::unknown && !state.failure && state.needs.empty();
      if (untold) names.push_back(fmt::format("'{}'", plain_name(name)));
    };
    for (std::size_t i = 0; i < program_.stops.size(); ++i) collect(judgement_.stops[i], program_.stops[i].name);
    for (std::size_t i = 0; i < program_.gates.size(); ++i) collect(judgement_.gates[i], program_.gates[i].name);
    if (names.empty()) return;
    plan_.told.push_back(
        fmt::format("no reading that can be taken now decides {}, so it is for you to judge", fmt::join(names, ", ")));
  }

  void ask_first(const Open& open) {
    if (open.points.empty()) return;
    PlanLine line;
    line.form = PlanLine::Form::read_first;
    line.points = open.points;
    if (!open.stops.empty()) line.because.push_back(fmt::format("not ruled out: {}", fmt::join(open.stops, ", ")));
    if (!open.gates.empty())
      line.because.push_back(fmt::format("not known to be open: {}", fmt::join(open.gates, ", ")));
    line.why_here = open.stops.empty() ? "a gate hangs on it" : "nothing that loads the instrument is done before";
    plan_.lines.push_back(std::move(line));
  }

  void add(JobId job, std::string because, std::string why_here, PlanLine::Form form = PlanLine::Form::job) {
    if (is_declined(job)) {
      const auto& stays = program_.jobs[job].if_left;
      plan_.left.push_back(
          {{},
           job,
           program_.jobs[job].label,
           fmt::format("declined by the owner, though {}{}", because, stays ? "; " + evaluator_.text(*stays) : ""),
           false});
      return;
    }
    PlanLine line;
    const bool agreed = Answers(program_, judgement_).is_agreed(job);
    line.form = agreed ? PlanLine::Form::job : form;
    line.job = job;
    line.because = {std::move(because)};
    if (agreed && line.because.front() != "the owner agreed") line.because.push_back("the owner agreed");
    line.why_here = agreed && form == PlanLine::Form::offer ? "it alone is released" : std::move(why_here);
    line.waits_for_yes = !agreed && (form == PlanLine::Form::offer || program_.jobs[job].needs_yes);
    plan_.lines.push_back(std::move(line));
  }

  bool stopped() {
    for (std::size_t i = 0; i < program_.stops.size(); ++i) {
      if (judgement_.stops[i].truth != Truth::yes) continue;
      const StopInfo& stop = program_.stops[i];
      const std::string because = fmt::format("the stop '{}' is true", plain_name(stop.name));
      plan_.ended_early = true;
      if (plan_.charge.empty()) plan_.charge = stop.charge;
      say(stop.say);
      if (stop.refer) plan_.told.push_back("refer it to " + evaluator_.text(*stop.refer));
      for (const JobId job : jobs_of(stop.jobs)) {
        if (!is_done(job) && !listed(job)) add(job, because, "before anything else");
      }
      for (const JobId job : jobs_of(stop.offers)) {
        if (!is_done(job) && !listed(job)) add(job, because, "for a yes", PlanLine::Form::offer);
      }
    }
    return plan_.ended_early;
  }

  bool listed(JobId job) const {
    const auto names = [&](const auto& line) { return line.job && *line.job == job; };
    return std::any_of(plan_.lines.begin(), plan_.lines.end(), names) ||
           std::any_of(plan_.left.begin(), plan_.left.end(), names);
  }

  bool held() {
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      const GateInfo& gate = program_.gates[i];
      if (!gate.holds_visit || judgement_.gates[i].truth != Truth::no || judgement_.gates[i].by_job) continue;
      plan_.ended_early = true;
      if (!gate.charge.empty()) plan_.charge = gate.charge;
      say(gate.say);
      for (const JobId job : jobs_of(gate.jobs)) {
        if (!is_done(job) && !listed(job))
          add(job, fmt::format("the gate '{}' is closed", plain_name(gate.name)), "the whole visit waits for it");
      }
    }
    if (!plan_.ended_early) return false;
    read_everything_again();
    offer();
    return true;
  }

  void read_everything_again() {
    PlanLine again;
    again.form = PlanLine::Form::read_again;
    for (PointId point = 0; point < program_.points.size(); ++point) {
      if (judgement_.points[point].entry > 0) again.points.push_back(point);
    }
    if (again.points.empty()) return;
    again.because = {"what was read while the gate was closed does not count"};
    again.why_here = "once it is open";
    plan_.lines.push_back(std::move(again));
  }

  // What rules propose stays open to the owner while the visit is held.
  void offer() {
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      const RuleInfo& rule = program_.rules[i];
      for (const Hand& hand : judgement_.rules[i].fired) {
        const auto jobs = jobs_of(rule.offers, hand);
        if (!jobs.empty()) say(rule.say, hand);
        for (const JobId job : jobs) {
          if (is_done(job) || listed(job)) continue;
          add(job,
              rule.because ? evaluator_.text(*rule.because, hand)
                           : fmt::format("the rule '{}' offers it", plain_name(rule.name)),
              "for a yes", PlanLine::Form::offer);
        }
      }
    }
  }

  const Program& program_;
  const Judgement& judgement_;
  Scene scene_;
  Evaluator evaluator_;
  Plan& plan_;
};

}  // namespace

Plan make_plan(const Program& program, const Judgement& judgement) {
  Plan plan;
  if (Beginning(program, judgement, plan).run()) walk(program, judgement, plan);
  return plan;
}

}  // namespace stringline
