// See coverage.h.
#include "engine/book/coverage.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <tuple>
#include <utility>

#include "engine/check/mentions.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Rows ------------------------------------------------------------------------------------

enum class Leaf : std::uint8_t { range, low, high, floor };
constexpr std::array leaf_names{"range", "low", "high", "floor"};

// Calls `use` with each of the four choices of a target, and which one it is.
template <class Target, class Use>
void for_each_choice(Target& target, const Use& use) {
  use(target.range, Leaf::range);
  use(target.low, Leaf::low);
  use(target.high, Leaf::high);
  use(target.floor, Leaf::floor);
}

std::string words_at(Span span, const Sources& sources) {
  std::string words(sources.text(span.source).substr(span.begin, span.end - span.begin));
  std::replace(words.begin(), words.end(), '\n', ' ');
  return words;
}

using Keys = std::vector<std::string>;  // of the tables above a row: "by style: tapping"

template <class Of, class Use>
void for_each_row(const TypedChoice<Of>& choice, Keys keys, const Sources& sources, const Use& use) {
  if (std::holds_alternative<Of>(choice.node)) return use(choice.span, keys);
  const auto& table = *std::get<1>(choice.node);
  for (const auto& [key, below] : table.rows) {
    Keys deeper = keys;
    deeper.push_back(fmt::format("{}: {}", words_at(table.span, sources), words_at(key.span, sources)));
    for_each_row(below, deeper, sources, use);
  }
}

// The choice without its row at `place`; nothing is left of a choice that is that row.
template <class Of>
std::optional<TypedChoice<Of>> without(const TypedChoice<Of>& choice, Span place) {
  if (std::holds_alternative<Of>(choice.node))
    return choice.span == place ? std::nullopt : std::optional<TypedChoice<Of>>(choice);
  const auto& table = *std::get<1>(choice.node);
  auto left = std::make_shared<TypedTable<Of>>();
  left->span = table.span;
  left->selector = table.selector;
  for (const auto& [key, below] : table.rows) {
    if (auto kept = without(below, place)) left->rows.emplace_back(key, std::move(*kept));
  }
  return TypedChoice<Of>{choice.span, std::shared_ptr<const TypedTable<Of>>(std::move(left))};
}

// False where tables that ask facts alone lead to other rows than the one at `place`.
template <class Of>
bool may_apply(const Program& program, const TypedChoice<Of>& choice, Span place, const Hand& hand) {
  if (std::holds_alternative<Of>(choice.node)) return choice.span == place;
  const auto& table = *std::get<1>(choice.node);
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  const bool decided = mentioned_in(program, *table.selector, hand).empty();
  std::set<const void*> possible;
  if (decided) {
    TypedTable<std::size_t> places{table.span, table.selector, {}};
    for (std::size_t i = 0; i < table.rows.size(); ++i)
      places.rows.emplace_back(table.rows[i].first, TypedChoice<std::size_t>{{}, i});
    const TypedChoice<std::size_t> which{{}, std::make_shared<const TypedTable<std::size_t>>(std::move(places))};
    for (const std::size_t* at : evaluator.possible(which, hand).leaves) possible.insert(&table.rows[*at]);
  }
  return std::any_of(table.rows.begin(), table.rows.end(), [&](const auto& row) {
    return (!decided || possible.count(&row) > 0) && may_apply(program, row.second, place, hand);
  });
}

// Parts -----------------------------------------------------------------------------------

// A part, and how to take it out of a program.
struct Removable {
  Part part;
  Leaf leaf = Leaf::range;        // of a row, as what follows
  std::vector<PointId> points{};  // whose target it is, in the first trial's program that has it
};

template <class Named>
void erase(std::vector<Named>& from, const std::string& name) {
  const auto same = [&](const Named& each) { return each.name == name; };
  from.erase(std::remove_if(from.begin(), from.end(), same), from.end());
}

void take_out(Program& program, const Removable& removable) {
  switch (removable.part.kind) {
    case Part::Kind::row:
      for (TargetInfo& target : program.targets) {
        for_each_choice(target, [&](auto& choice, Leaf leaf) {
          if (choice && leaf == removable.leaf) choice = without(*choice, removable.part.place);
        });
      }
      return;
    case Part::Kind::rule: return erase(program.rules, removable.part.name);
    case Part::Kind::gate: return erase(program.gates, removable.part.name);
    case Part::Kind::stop: return erase(program.stops, removable.part.name);
    case Part::Kind::job: return;
  }
}

bool may_matter(const Program& program, const Removable& removable) {
  if (removable.part.kind != Part::Kind::row) return true;
  return std::any_of(program.targets.begin(), program.targets.end(), [&](const TargetInfo& target) {
    bool may = false;
    for_each_choice(target, [&](const auto& choice, Leaf leaf) {
      may = may || (choice && leaf == removable.leaf &&
                    may_apply(program, *choice, removable.part.place, program.points[target.point].at));
    });
    return may;
  });
}

using RowPlace = std::tuple<SourceId, std::uint32_t, Leaf>;

// Every row of every target, each once however many points share it.
std::map<RowPlace, Removable> rows_of(const Program& program, const Sources& sources) {
  std::map<RowPlace, Removable> rows;
  for (const TargetInfo& target : program.targets) {
    for_each_choice(target, [&](const auto& choice, Leaf leaf) {
      if (!choice) return;
      for_each_row(*choice, {}, sources, [&](Span place, const Keys& keys) {
        Removable& row = rows[{place.source, place.begin, leaf}];
        row.leaf = leaf;
        row.points.push_back(target.point);
        row.part.place = place;
        row.part.name = fmt::format("{}", fmt::join(keys, ", "));
      });
    });
  }
  for (auto& [at, row] : rows) {
    const char* leaf = leaf_names[static_cast<std::size_t>(row.leaf)];
    const std::string keys = row.part.name.empty() ? "" : ", " + row.part.name;
    row.part.name = fmt::format("{}, {}{}", name_points(program, row.points), leaf, keys);
  }
  return rows;
}

class Cover {
 public:
  Cover(const std::vector<Trial>& trials, const std::vector<TrialRun>& runs, const Sources& sources)
      : trials_(trials), runs_(runs), sources_(sources) {}

  Coverage run() {
    for (std::size_t i = 0; i < trials_.size(); ++i) {
      if (unexpected_in(trials_[i].program, runs_[i]).empty()) good_.push_back(i);
    }
    for (Removable& removable : all_parts()) {
      if (removable.part.kind == Part::Kind::job)
        removable.part.by = names_job(removable.part.name);
      else
        removable.part.by = fails_without(removable);
      coverage_.parts.push_back(std::move(removable.part));
    }
    conditions();
    return std::move(coverage_);
  }

 private:
  std::vector<Removable> all_parts() const {
    std::map<RowPlace, Removable> rows;
    for (const Trial& trial : trials_) rows.merge(rows_of(trial.program, sources_));
    std::vector<Removable> all;
    for (auto& [place, row] : rows) all.push_back(std::move(row));
    if (trials_.empty()) return all;
    const Program& program = trials_.front().program;
    for (const RuleInfo& rule : program.rules) all.push_back({{Part::Kind::rule, rule.name, rule.span, {}}, {}, {}});
    for (const GateInfo& gate : program.gates) all.push_back({{Part::Kind::gate, gate.name, gate.span, {}}, {}, {}});
    for (const StopInfo& stop : program.stops) all.push_back({{Part::Kind::stop, stop.name, stop.span, {}}, {}, {}});
    for (const JobInfo& job : program.jobs) all.push_back({{Part::Kind::job, job.name, job.span, {}}, {}, {}});
    return all;
  }

  // Those that look at the part come first, so that most parts are found with one run.
  std::string fails_without(const Removable& removable) {
    std::vector<std::size_t> order = good_;
    std::stable_partition(order.begin(), order.end(), [&](std::size_t at) { return looks_at(at, removable); });
    for (const std::size_t at : order) {
      const Trial& trial = trials_[at];
      if (!may_matter(trial.program, removable)) continue;
      Program less = trial.program;
      take_out(less, removable);
      ++coverage_.runs;
      if (!unexpected_in(less, run_trial(trial, less)).empty()) return trial.tree->name.text;
    }
    return {};
  }

  // A guess: the trial names the part, or its reading is where the row says something.
  [[nodiscard]] bool looks_at(std::size_t at, const Removable& removable) const {
    const Program& program = trials_[at].program;
    const Expected& expected = *program.expected;
    const auto named = [&](const std::vector<std::string>& names) {
      return std::count(names.begin(), names.end(), removable.part.name) > 0;
    };
    switch (removable.part.kind) {
      case Part::Kind::row: return row_speaks(at, removable);
      case Part::Kind::rule: return expected.rules && named(*expected.rules);
      case Part::Kind::gate: return named(expected.holds);
      case Part::Kind::stop: return named(expected.stops);
      case Part::Kind::job: break;
    }
    return false;
  }

  [[nodiscard]] bool row_speaks(std::size_t at, const Removable& row) const {
    const Program& program = trials_[at].program;
    const auto& verdicts = program.expected->verdicts;
    const auto at_limit = [&](PointId point) {
      const auto& limits = program.expected->limits;
      return std::any_of(limits.begin(), limits.end(), [&](const Expected::AtLimit& limit) {
        return std::count(limit.points.begin(), limit.points.end(), point) > 0;
      });
    };
    for (std::size_t i = 0; i < program.targets.size(); ++i) {
      const PointId point = program.targets[i].point;
      if (std::count(row.points.begin(), row.points.end(), point) == 0) continue;
      const Verdict got = runs_[at].judgement.targets[i].verdict;
      if (row.leaf == Leaf::low && got == Verdict::low) return true;
      if (row.leaf == Leaf::high && got == Verdict::high) return true;
      if (row.leaf == Leaf::range && ((verdicts && verdicts->count(point) > 0) || at_limit(point))) return true;
    }
    return false;
  }

  // The first trial whose list of work or offers, as it should be and is, has this job in it.
  std::string names_job(const std::string& name) const {
    for (const std::size_t at : good_) {
      const Trial& trial = trials_[at];
      const Expected& expected = *trial.program.expected;
      for (const auto* list : {&expected.work, &expected.offers}) {
        if (!*list) continue;
        for (const JobId job : **list) {
          if (trial.program.jobs[job].name == name) return trial.tree->name.text;
        }
      }
    }
    return {};
  }

  // Conditions ----------------------------------------------------------------------------

  // The program with nothing read and nothing assumed.
  static Program unread(Program program) {
    program.log.clear();
    for (ReadingInfo& reading : program.readings) reading.assume = nullptr;
    return program;
  }

  // Looks at one condition as a trial ends, and as it is when nobody reads anything; `hands`: the places it is asked at.
  static void look(Condition& condition, const Evaluator& now, const Evaluator& unread, const Typed& expr,
                   const std::vector<Hand>& hands) {
    for (const Hand& hand : hands) {
      const Result result = now.evaluate(expr, hand);
      if (result.failure) continue;
      condition.seen_true = condition.seen_true || result.truth() == Truth::yes;
      condition.seen_false = condition.seen_false || result.truth() == Truth::no;
      condition.seen_unknown = condition.seen_unknown || result.truth() == Truth::unknown;
      const Result open = unread.evaluate(expr, hand);
      condition.can_be_unknown = condition.can_be_unknown || (!open.failure && open.truth() == Truth::unknown);
    }
  }

  static std::vector<Hand> hands_of(const Program& program, const std::optional<Axis>& axis) {
    if (!axis) return {empty_hand};
    std::vector<Hand> hands;
    const auto at = static_cast<std::size_t>(*axis);
    for (std::size_t member = 0; member < program.axes[at].size(); ++member) {
      hands.push_back(empty_hand);
      hands.back()[at] = static_cast<int>(member);
    }
    return hands;
  }

  void conditions() {
    std::map<std::pair<std::string, std::uint32_t>, Condition> all;  // by name and place
    for (std::size_t i = 0; i < trials_.size(); ++i) {
      const Program& program = trials_[i].program;
      const Program blind = unread(program);
      const Judgement nothing_read = judge(blind);
      const Scene scene(program, runs_[i].judgement);
      const Scene blind_scene(blind, nothing_read);
      const Evaluator now(program, scene);
      const Evaluator never(blind, blind_scene);
      const auto see = [&](const std::string& name, const TypedPtr& expr, const std::vector<Hand>& hands) {
        auto& condition = all.try_emplace({name, expr->span.begin}, Condition{name, expr->span}).first->second;
        look(condition, now, never, *expr, hands);
      };
      for (const GateInfo& gate : program.gates) see("gate " + gate.name, gate.open_when, {empty_hand});
      for (const StopInfo& stop : program.stops) see("stop " + stop.name, stop.when, {empty_hand});
      for (const RuleInfo& rule : program.rules) see("rule " + rule.name, rule.when, hands_of(program, rule.over));
      for (const TargetInfo& target : program.targets) {
        const PointInfo& point = program.points[target.point];
        if (target.when) see("target " + program.reading_of(target.point).name, target.when, {point.at});
      }
    }
    for (auto& [key, condition] : all) coverage_.conditions.push_back(std::move(condition));
  }

  const std::vector<Trial>& trials_;
  const std::vector<TrialRun>& runs_;
  const Sources& sources_;
  std::vector<std::size_t> good_;  // the trials that come out as expected
  Coverage coverage_;
};

}  // namespace

const char* to_text(Part::Kind kind) {
  switch (kind) {
    case Part::Kind::row: return "row";
    case Part::Kind::rule: return "rule";
    case Part::Kind::gate: return "gate";
    case Part::Kind::stop: return "stop";
    case Part::Kind::job: return "job";
  }
  return "";
}

bool Coverage::is_complete() const {
  const auto exercised = [](const Part& part) { return !part.by.empty(); };
  const auto seen = [](const Condition& each) {
    return each.seen_true && each.seen_false && (each.seen_unknown || !each.can_be_unknown);
  };
  return std::all_of(parts.begin(), parts.end(), exercised) && std::all_of(conditions.begin(), conditions.end(), seen);
}

Coverage coverage(const std::vector<Trial>& trials, const std::vector<TrialRun>& runs, const Sources& sources) {
  return Cover(trials, runs, sources).run();
}

}  // namespace stringline
