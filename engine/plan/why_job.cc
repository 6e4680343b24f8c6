// One job for `why`: where it stands in the plan, or what would have to be for it to stand there; and two jobs, which comes first.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/disturb.h"
#include "engine/check/mentions.h"
#include "engine/diag/render.h"
#include "engine/plan/why_facts.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

bool contains(const std::vector<JobId>& jobs, JobId job) { return std::count(jobs.begin(), jobs.end(), job) > 0; }

bool names_job(const JobChoice& choice, JobId job) { return contains(jobs_in(choice), job); }

bool any_names(const std::vector<JobChoice>& choices, JobId job) {
  return std::any_of(choices.begin(), choices.end(), [&](const JobChoice& each) { return names_job(each, job); });
}

class JobTeller {
 public:
  JobTeller(const WhyContext& context, JobId job)
      : facts_(context), program_(facts_.program), judgement_(facts_.judgement), id_(job), job_(program_.jobs[job]) {}

  Why run() {
    facts_.say("is", job_.label);
    facts_.say("written", place(job_.span, facts_.sources));
    std::string turns;
    for (const int phase : phases_of(program_, id_))
      turns += (turns.empty() ? "" : ", ") + program_.phases[static_cast<std::size_t>(phase)].name;
    facts_.say("turn", turns.empty() ? "none of its own: a gate, a stop or a rule calls it" : turns);
    const bool planned = lines();
    answered();
    if (!planned) facts_.say("plan", "not in it: nothing calls it now");
    callers();
    const auto moved = disturbed_by(program_, job_);
    if (!moved.empty()) facts_.say("moves", name_readings(program_, moved));
    facts_.say("paid", job_.covered ? "in the " + program_.package : job_.needs_yes ? "extra; needs a yes" : "extra");
    return {Why::Kind::job, id_, 0, fmt::format("the job '{}'", job_.name), facts_.take()};
  }

 private:
  bool lines() {
    bool any = false;
    for (std::size_t i = 0; i < facts_.plan.lines.size(); ++i) {
      const PlanLine& line = facts_.plan.lines[i];
      if (may_follow(line, id_)) {
        facts_.say("plan", fmt::format("line {}, if {} is out", i + 1, name_points(program_, line.points)));
        any = true;
      }
      if (line.job != id_) continue;
      any = true;
      facts_.say("plan", fmt::format("line {}{}", i + 1, line.form == PlanLine::Form::offer ? ", offered" : ""));
      for (const Amount& amount : line.amounts)
        facts_.say("amount", amount.member.empty()
                                 ? amount.text
                                 : fmt::format("{} at {}", amount.text, name_members(program_, {amount.point})));
      for (const std::string& because : line.because) facts_.say("because", because);
      if (!line.why_here.empty()) facts_.say("here", line.why_here);
      for (const std::string& warning : line.warnings) facts_.say("mind", warning);
    }
    for (const LeftAlone& left : facts_.plan.left) {
      if (left.job != id_) continue;
      facts_.say("left", left.why);
      any = true;
    }
    for (const Conflict& conflict : facts_.plan.conflicts) {
      if (conflict.one != id_ && conflict.other != id_) continue;
      facts_.say("conflict", conflict.why);
      any = true;
    }
    return any;
  }

  void answered() {
    if (contains(judgement_.done, id_))
      facts_.say("log", contains(judgement_.called_again, id_) ? "it was done; what was read since calls it again"
                                                               : "it was done");
    if (contains(judgement_.agreed, id_)) facts_.say("log", "the owner agreed");
    if (contains(judgement_.declined, id_)) facts_.say("log", "the owner declined");
    if (contains(judgement_.asked, id_)) facts_.say("log", "the owner was asked");
  }

  // Who may call it, and how each of them stands now.
  void callers() {
    if (job_.routine) facts_.say("called by", "every visit, once");
    called_by_targets("low", &TargetInfo::low);
    called_by_targets("high", &TargetInfo::high);
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      const RuleInfo& rule = program_.rules[i];
      if (any_names(rule.jobs, id_) || any_names(rule.offers, id_))
        facts_.say("called by",
                   fmt::format("the rule '{}', which is {}", rule.name, to_text(judgement_.rules[i].state)));
    }
    const auto truth = [](Truth value, const char* yes, const char* no, const char* unknown) {
      return value == Truth::yes ? yes : value == Truth::no ? no : unknown;
    };
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (any_names(program_.gates[i].jobs, id_))
        facts_.say("called by",
                   fmt::format("the gate '{}', when closed; it is {}", program_.gates[i].name,
                               truth(judgement_.gates[i].truth, "open", "closed", "not known to be open")));
    }
    for (std::size_t i = 0; i < program_.stops.size(); ++i) {
      if (any_names(program_.stops[i].jobs, id_) || any_names(program_.stops[i].offers, id_))
        facts_.say("called by", fmt::format("the stop '{}', when true; it is {}", program_.stops[i].name,
                                            truth(judgement_.stops[i].truth, "true", "false", "not ruled out")));
    }
  }

  void called_by_targets(const char* when, std::optional<JobChoice> TargetInfo::*answer) {
    std::map<ReadingId, std::vector<PointId>> readings;
    for (const TargetInfo& target : program_.targets) {
      if (target.*answer && names_job(*(target.*answer), id_))
        readings[program_.points[target.point].reading].push_back(target.point);
    }
    for (const auto& [reading, points] : readings) {
      std::map<std::string, std::vector<PointId>> by_verdict;
      for (const PointId point : points)
        by_verdict[to_text(judgement_.targets[static_cast<std::size_t>(program_.target_of[point])].verdict)].push_back(
            point);
      std::string now;
      for (const auto& [verdict, with] : by_verdict) {
        now += now.empty() ? "" : ", ";
        now += by_verdict.size() == 1 ? verdict : fmt::format("{} {}", name_members(program_, with), verdict);
      }
      facts_.say("called by", fmt::format("{}, when {}; now {}", name_readings(program_, points), when, now));
      chosen_by(*(program_.target(points.front())->*answer), points.front());
    }
  }

  // What the rows of a table hang on, with its value: "frets_low: 0".
  void chosen_by(const JobChoice& choice, PointId point) {
    const auto* table = std::get_if<1>(&choice.node);
    if (table == nullptr) return;
    const Typed& selector = *(*table)->selector;
    const Result value = facts_.evaluator.evaluate(selector, program_.points[point].at);
    const bool known = !value.failure && value.needs.empty();
    facts_.say("chosen by",
               fmt::format("{}: {}", facts_.written(selector.span), known ? to_text(value.value) : "not known"));
  }

  WhyFacts facts_;
  const Program& program_;
  const Judgement& judgement_;
  JobId id_;
  const JobInfo& job_;
};

class OrderTeller {
 public:
  OrderTeller(const WhyContext& context, JobId first, JobId second)
      : facts_(context), program_(facts_.program), a_(first), b_(second) {}

  Why run() {
    order();
    in_plan();
    disturbs(a_, b_);
    disturbs(b_, a_);
    return {Why::Kind::order, a_, b_, fmt::format("'{}' before '{}'", label(a_), label(b_)), facts_.take()};
  }

 private:
  const std::string& label(JobId job) const { return program_.jobs[job].label; }
  const PhaseInfo& phase(int at) const { return program_.phases[static_cast<std::size_t>(at)]; }

  void order() {
    if (a_ == b_) return facts_.say("answer", "they are one job");
    const auto turns_a = phases_of(program_, a_);
    const auto turns_b = phases_of(program_, b_);
    if (turns_a.empty() || turns_b.empty())
      return facts_.say("answer",
                        fmt::format("'{}' has no turn of its own: a gate, a stop or a rule calls it when it must",
                                    label(turns_a.empty() ? a_ : b_)));
    const int a = turns_a.front();
    const int b = turns_b.front();
    if (a == b) return same_phase(a);
    answer(a < b,
           fmt::format("the house's order puts {} before {}", phase(std::min(a, b)).name, phase(std::max(a, b)).name));
    facts_.say("written",
               fmt::format("{}, {}", place(phase(a).span, facts_.sources), place(phase(b).span, facts_.sources)));
  }

  void answer(bool yes, const std::string& why) {
    facts_.say("answer", yes ? "yes: " + why : fmt::format("no, '{}' comes first: {}", label(b_), why));
  }

  void same_phase(int at) {
    const JobInfo& a = program_.jobs[a_];
    const JobInfo& b = program_.jobs[b_];
    const int rank_a = a.rank_in(at);
    const int rank_b = b.rank_in(at);
    const std::string both = fmt::format("both stand in {}", phase(at).name);
    if (rank_a >= 0 && rank_b >= 0)
      answer(rank_a < rank_b,
             fmt::format("{}, where the house names '{}' first", both, (rank_a < rank_b ? a : b).name));
    else if (rank_a != rank_b)
      answer(rank_a >= 0, fmt::format("{}, where the house names '{}', and what it names comes first", both,
                                      (rank_a >= 0 ? a : b).name));
    else
      answer(a.name < b.name, fmt::format("{}, where the house names neither, so they go by name: {}, {}", both,
                                          std::min(a.name, b.name), std::max(a.name, b.name)));
    facts_.say("written", place(phase(at).span, facts_.sources));
  }

  void in_plan() {
    facts_.say("plan", facts_.job(a_));
    if (a_ != b_) facts_.say("plan", facts_.job(b_));
  }

  // What a job is called by and what it brings to its aim: what must stand when its turn comes.
  std::set<PointId> read_by(JobId job) const {
    std::set<PointId> points;
    for (const JobInfo::Set& set : program_.jobs[job].sets) points.insert(set.points.begin(), set.points.end());
    for (const TargetInfo& target : program_.targets) {
      for (const auto* choice : {&target.low, &target.high}) {
        if (*choice && names_job(**choice, job)) points.insert(target.point);
      }
    }
    for (const RuleInfo& rule : program_.rules) {
      if (!any_names(rule.jobs, job) && !any_names(rule.offers, job)) continue;
      for (const PointId point : mentioned_in(program_, *rule.when)) points.insert(point);
    }
    return points;
  }

  void disturbs(JobId mover, JobId reader) {
    if (mover == reader) return;
    std::vector<PointId> spoiled;
    const std::set<PointId> read = read_by(reader);
    const std::set<PointId> own = read_by(mover);
    for (const PointId point : disturbed_by(program_, program_.jobs[mover])) {
      if (read.count(point) > 0 && own.count(point) == 0) spoiled.push_back(point);
    }
    facts_.say("moves", spoiled.empty()
                            ? fmt::format("'{}' moves nothing that '{}' hangs on", label(mover), label(reader))
                            : fmt::format("'{}' moves {}, which '{}' hangs on", label(mover),
                                          name_readings(program_, spoiled), label(reader)));
  }

  WhyFacts facts_;
  const Program& program_;
  JobId a_;
  JobId b_;
};

}  // namespace

Why why_job(const WhyContext& context, JobId job) { return JobTeller(context, job).run(); }

Why why_before(const WhyContext& context, JobId first, JobId second) {
  return OrderTeller(context, first, second).run();
}

}  // namespace stringline
