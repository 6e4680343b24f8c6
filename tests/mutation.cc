// Would the trials of a profile notice if its specs were a little wrong? One thing is changed at a time, and the trials are run:
// each limit of a range moved by what its tool tells apart, up and down; each condition of a rule, gate, stop or target turned round;
// two neighbours in the order of work swapped; each row of a table left out. What no trial notices is tried on 2,000 random visits:
// only a change that none of them shows either is called equal to the original, and left out of the count.
//
//   mutation PROFILE...     from the project's folder; prints what survived, and ends with 1 when under 95 of 100 are noticed
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "engine/book/coverage.h"
#include "engine/book/open_trials.h"
#include "engine/check/check.h"
#include "engine/diag/render.h"
#include "engine/paper/text.h"
#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/random_visit.h"

using namespace stringline;

namespace {

struct Mutant {
  std::string name;
  std::function<void(Program&)> apply;
  std::vector<JobId> swapped{};  // two neighbours; only a list with both of them can tell
};

TypedPtr typed(Span span, Type type, decltype(Typed::node) node) {
  return std::make_shared<Typed>(Typed{span, type, std::move(node)});
}

TypedPtr moved(const TypedPtr& limit, const Quantity& by, bool up) {
  Value step;
  step.number = Interval::exactly(up ? by.value : *negate(by.value));
  step.unit = by.unit;
  const TypedPtr constant = typed(limit->span, limit->type, typed::Constant{std::move(step)});
  return typed(limit->span, limit->type, typed::Binary{BinaryOp::add, limit, constant});
}

TypedPtr turned_round(const TypedPtr& condition) {
  return typed(condition->span, condition->type, typed::Unary{UnaryOp::logical_not, condition});
}

using RangeChoice = TypedChoice<TypedRange>;

void for_each_range(const RangeChoice& choice, const std::function<void(const TypedRange&)>& use) {
  if (const auto* leaf = std::get_if<TypedRange>(&choice.node)) return use(*leaf);
  for (const auto& [key, below] : std::get<1>(choice.node)->rows) for_each_range(below, use);
}

RangeChoice with_range(const RangeChoice& choice, Span place, const std::function<void(TypedRange&)>& change) {
  if (const auto* leaf = std::get_if<TypedRange>(&choice.node)) {
    TypedRange range = *leaf;
    if (range.span == place) change(range);
    return {choice.span, std::move(range)};
  }
  const auto& table = *std::get<1>(choice.node);
  auto copy = std::make_shared<TypedTable<TypedRange>>(TypedTable<TypedRange>{table.span, table.selector, {}});
  for (const auto& [key, below] : table.rows) copy->rows.emplace_back(key, with_range(below, place, change));
  return {choice.span, std::shared_ptr<const TypedTable<TypedRange>>(std::move(copy))};
}

class Mutants {
 public:
  Mutants(const Program& program, const Sources& sources) : program_(program), sources_(sources) {}

  std::vector<Mutant> all() {
    limits();
    conditions();
    order();
    return std::move(mutants_);
  }

 private:
  void add(const std::string& name, Span place, std::function<void(Program&)> apply, std::vector<JobId> swapped = {}) {
    mutants_.push_back(
        {fmt::format("{}: {}", stringline::place(place, sources_), name), std::move(apply), std::move(swapped)});
  }

  // A limit is written once, whatever number of members it stands for.
  void limits() {
    std::set<std::pair<SourceId, std::uint32_t>> seen;
    for (const TargetInfo& target : program_.targets) {
      const auto& step = program_.reading_of(target.point).read_to;
      if (!target.range || !step) continue;
      for_each_range(*target.range, [&](const TypedRange& range) {
        if (!seen.insert({range.span.source, range.span.begin}).second) return;
        for (const bool lower : {true, false}) {
          if (!(lower ? range.lo : range.hi)) continue;
          for (const bool up : {true, false}) limit(program_.points[target.point].name, range.span, *step, lower, up);
        }
      });
    }
  }

  void limit(const std::string& point, Span place, const Quantity& step, bool lower, bool up) {
    add(fmt::format("{}: {} limit {} by {}", point, lower ? "lower" : "upper", up ? "up" : "down",
                    to_text(step.value, step.unit, std::nullopt, true)),
        place, [=](Program& program) {
          for (TargetInfo& target : program.targets) {
            if (!target.range) continue;
            target.range = with_range(*target.range, place, [&](TypedRange& range) {
              TypedPtr& end = lower ? range.lo : range.hi;
              end = moved(end, step, up);
            });
          }
        });
  }

  template <class List, class Condition>
  void turn(const char* what, const List& list, List Program::*where, Condition condition) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      add(fmt::format("{} '{}' turned round", what, list[i].name), list[i].span, [=](Program& program) {
        auto& place = (program.*where)[i].*condition;
        place = turned_round(place);
      });
    }
  }

  void conditions() {
    turn("rule", program_.rules, &Program::rules, &RuleInfo::when);
    turn("gate", program_.gates, &Program::gates, &GateInfo::open_when);
    turn("stop", program_.stops, &Program::stops, &StopInfo::when);
    std::set<std::pair<SourceId, std::uint32_t>> seen;
    for (const TargetInfo& target : program_.targets) {
      if (!target.when || !seen.insert({target.when->span.source, target.when->span.begin}).second) continue;
      const Span place = target.when->span;
      add(fmt::format("target '{}' applies turned round", program_.points[target.point].name), place,
          [=](Program& program) {
            for (TargetInfo& each : program.targets) {
              if (each.when && each.when->span == place) each.when = turned_round(each.when);
            }
          });
    }
  }

  void order() {
    for (int phase = 0; phase + 1 < static_cast<int>(program_.phases.size()); ++phase) {
      const auto& phases = program_.phases;
      const auto at = static_cast<std::size_t>(phase);
      add(fmt::format("phases '{}' and '{}' swapped", phases[at].name, phases[at + 1].name), phases[at].span,
          [=](Program& program) {
            const auto swap = [=](int& each) { each = each == phase ? phase + 1 : each == phase + 1 ? phase : each; };
            for (TargetInfo& target : program.targets) swap(target.phase);
            for (JobInfo& job : program.jobs) swap(job.phase);
            std::swap(program.phases[at], program.phases[at + 1]);
          });
    }
    for (JobId one = 0; one < program_.jobs.size(); ++one) {
      for (JobId other = 0; other < program_.jobs.size(); ++other) {
        const JobInfo& a = program_.jobs[one];
        const JobInfo& b = program_.jobs[other];
        const int phase = a.phase;
        if (phase < 0 || phase != b.phase || a.rank_in(phase) < 0 || b.rank_in(phase) != a.rank_in(phase) + 1) continue;
        add(fmt::format("'{}' and '{}' swapped", a.name, b.name), a.span,
            [=](Program& program) { std::swap(program.jobs[one].ranks[phase], program.jobs[other].ranks[phase]); },
            {one, other});
      }
    }
  }

  const Program& program_;
  const Sources& sources_;
  std::vector<Mutant> mutants_;
};

// The trial that noticed the last change is asked first of the next one, which often stands beside it.
bool is_noticed(const Mutant& mutant, std::vector<const Trial*>& trials) {
  const auto notices = [&](const Trial* trial) {
    Program changed = trial->program;
    mutant.apply(changed);
    return !unexpected_in(changed, run_trial(*trial, changed)).empty();
  };
  const auto by = std::find_if(trials.begin(), trials.end(), notices);
  if (by == trials.end()) return false;
  std::rotate(trials.begin(), by, by + 1);
  return true;
}

struct WorkList {
  Plan plan;
  std::string text;

  explicit WorkList(const Program& program) {
    const Judgement judgement = judge(program);
    plan = make_plan(program, judgement);
    text = work_text(program, judgement, plan, "", "");
  }
  // Planned, offered, what may follow a reading, or left alone.
  [[nodiscard]] bool has(JobId job) const {
    const auto names = [&](const PlanLine& line) {
      return line.job == job || line.if_low == job || line.if_high == job ||
             std::count(line.may_follow.begin(), line.may_follow.end(), job) > 0;
    };
    const auto leaves = [&](const LeftAlone& left) { return left.job == job; };
    return std::any_of(plan.lines.begin(), plan.lines.end(), names) ||
           std::any_of(plan.left.begin(), plan.left.end(), leaves);
  }
};

// What a random visit shows is no equal of the original.
void leave_out_shown(std::vector<Mutant>& left, const OpenTrials& open) {
  constexpr int visits = 2000;
  testing::RandomVisit random(open.trials.front().program, open.tree->profile.text, 20'261'129);
  for (int i = 0; i < visits && !left.empty(); ++i) {
    const std::string head = random.head();
    Sources sources;
    Diagnostics diagnostics;
    const auto node = read_yaml(sources.add("v.yaml", testing::RandomVisit::text(head, random.readings(false))),
                                sources, diagnostics);
    const auto visit = node ? read_visit(*node, diagnostics) : std::nullopt;
    if (!visit) continue;
    Book book{open.specs.house, open.specs.layers, &*visit};
    book.order = &open.tree->order;
    const auto program = check(book, diagnostics);
    if (!program) continue;
    const WorkList usual(*program);
    const auto shows = [&](const Mutant& mutant) {
      const auto has = [&](JobId job) { return usual.has(job); };
      if (!std::all_of(mutant.swapped.begin(), mutant.swapped.end(), has)) return false;
      Program changed = *program;
      mutant.apply(changed);
      return WorkList(changed).text != usual.text;
    };
    left.erase(std::remove_if(left.begin(), left.end(), shows), left.end());
  }
}

struct Count {
  std::size_t all = 0;
  std::size_t noticed = 0;
  std::size_t equal = 0;

  [[nodiscard]] double share() const {
    return 100.0 * static_cast<double>(noticed) / static_cast<double>(std::max<std::size_t>(1, all - equal));
  }
};

void print(const std::string& name, const Count& count) {
  fmt::print("{}: {} changes, {} noticed, {} equal: {:.1f} of 100 that matter are noticed\n", name, count.all,
             count.noticed, count.equal, count.share());
}

// A trial that fails as it is would fail of every change.
std::vector<const Trial*> good_trials(const OpenTrials& open) {
  std::vector<const Trial*> good;
  for (const Trial& trial : open.trials) {
    if (unexpected_in(trial.program, run_trial(trial, trial.program)).empty())
      good.push_back(&trial);
    else
      fmt::print("  {} does not come out as expected, so it is not asked\n", trial.tree->name.text);
  }
  return good;
}

// Rows of tables left out, as 'stringline trial' does it.
void count_rows(const OpenTrials& open, const Sources& sources, Count& count) {
  std::vector<TrialRun> runs;
  for (const Trial& trial : open.trials) runs.push_back(run_trial(trial, trial.program));
  for (const Part& part : coverage(open.trials, runs, sources).parts) {
    if (part.kind != Part::Kind::row) continue;
    ++count.all;
    if (!part.by.empty()) ++count.noticed;
    if (part.by.empty()) fmt::print("  {}: {} left out\n", place(part.place, sources), part.name);
  }
}

Count try_profile(const std::string& name) {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book({"profiles"}, sources, diagnostics);
  const auto open = open_trials(book, name, "", diagnostics);
  if (!open || open->trials.empty()) {
    fmt::print("{}{}: no trials\n", render(diagnostics, sources, false), name);
    return {1, 0, 0};
  }
  Count count;
  std::vector<Mutant> survivors;
  std::vector<const Trial*> trials = good_trials(*open);
  for (Mutant& mutant : Mutants(open->trials.front().program, sources).all()) {
    ++count.all;
    if (is_noticed(mutant, trials))
      ++count.noticed;
    else
      survivors.push_back(std::move(mutant));
  }
  count_rows(*open, sources, count);
  std::vector<Mutant> equal = survivors;
  leave_out_shown(equal, *open);
  count.equal = equal.size();
  const auto is_equal = [&](const Mutant& mutant) {
    return std::any_of(equal.begin(), equal.end(), [&](const Mutant& each) { return each.name == mutant.name; });
  };
  for (const Mutant& mutant : survivors) fmt::print("  {}{}\n", mutant.name, is_equal(mutant) ? " (equal)" : "");
  print(name, count);
  return count;
}

}  // namespace

int main(int argc, char** argv) {
  Count sum;
  for (int i = 1; i < argc; ++i) {
    const Count count = try_profile(argv[i]);
    sum.all += count.all;
    sum.noticed += count.noticed;
    sum.equal += count.equal;
  }
  print("all", sum);
  return sum.share() >= 95.0 ? 0 : 1;
}
