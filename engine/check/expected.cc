// What must come out of a trial: names of jobs, rules, gates and stops, verdicts and amounts by point. See passes.h.
// Tested by tests/golden/trial/.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "engine/check/evaluate.h"
#include "engine/check/passes.h"
#include "engine/diag/suggest.h"

namespace stringline {
namespace {

Verdict verdict_named(const std::string& word) {
  static constexpr std::array<std::pair<const char*, Verdict>, 9> all{{{"within", Verdict::within},
                                                                       {"high", Verdict::high},
                                                                       {"low", Verdict::low},
                                                                       {"too_close", Verdict::too_close},
                                                                       {"stale", Verdict::stale},
                                                                       {"not_read", Verdict::not_read},
                                                                       {"void", Verdict::void_},
                                                                       {"target_unknown", Verdict::target_unknown},
                                                                       {"not_applicable", Verdict::not_applicable}}};
  const auto found = std::find_if(all.begin(), all.end(), [&](const auto& each) { return word == each.first; });
  return found == all.end() ? Verdict::within : found->second;  // the reader has refused every other word
}

class Expectation {
 public:
  Expectation(const Names& names, Binder& binder) : names_(names), binder_(binder) {}

  Expected bind(const TrialTree& trial) {
    const Program& program = binder_.program();
    Expected expected;
    for (const LimitsTree& limits : trial.limits) add(limits, expected.limits);
    if (trial.verdicts) expected.verdicts = verdicts(*trial.verdicts);
    if (trial.work) expected.work = jobs(*trial.work);
    if (trial.offers) expected.offers = jobs(*trial.offers);
    if (trial.rules) expected.rules = named(*trial.rules, program.rules, "rule");
    expected.holds = named(trial.holds, program.gates, "gate");
    expected.stops = named(trial.stops, program.stops, "stop");
    for (const ExpectedAmount& amount : trial.amounts) add(amount, expected.amounts);
    for (const Word& text : trial.says) expected.says.push_back(text.text);
    return expected;
  }

 private:
  // Whether a reading can be put at its limits, and one step beyond them.
  [[nodiscard]] bool has_limits(const LimitsTree& tree, const std::vector<PointId>& points) const {
    const Program& program = binder_.program();
    const ReadingInfo& reading = program.reading_of(points.front());
    const auto refuse = [&](Code code, const char* why, const char* hint) {
      binder_.out().report(code, tree.reading.span, fmt::format("'{}' {}", reading.name, why), hint);
      return false;
    };
    const auto has_target = [&](PointId point) { return program.target_of[point] >= 0; };
    if (!std::all_of(points.begin(), points.end(), has_target))
      return refuse(Code::no_target, "has no target, so no limits", "");
    if (reading.source == ReadingInfo::Source::computed)
      return refuse(Code::bad_form, "is worked out, so it can not be put at its limits",
                    "write limits: of what is read");
    if (!reading.read_to)
      return refuse(Code::bad_form, "does not say how finely it is read",
                    "add read_to: to the reading, or leave it out");
    return true;
  }

  void add(const LimitsTree& tree, std::vector<Expected::AtLimit>& limits) {
    const auto reach = binder_.reach(tree.reading);
    if (!reach || reach->points.empty() || !has_limits(tree, reach->points)) return;
    const Program& program = binder_.program();
    const ReadingInfo& reading = program.readings[reach->reading];
    const auto range = binder_.bind_range(tree.range, reading.type, {}, fmt::format("'{}'", reading.name));
    if (!range) return;
    const Nothing nothing(program);
    const Evaluator evaluator(program, nothing);
    for (const bool upper : {false, true}) {
      const TypedPtr& end = upper ? range->hi : range->lo;
      if (!end) continue;
      const Value limit = evaluator.evaluate(*end).value;
      if (!limit.number.lo) continue;
      const Ratio step = reading.read_to->value;
      const auto beyond = upper ? stringline::add(*limit.number.lo, step) : subtract(*limit.number.lo, step);
      limits.push_back({reach->points, {*limit.number.lo, limit.unit}, Verdict::within});
      if (beyond) limits.push_back({reach->points, {*beyond, limit.unit}, upper ? Verdict::high : Verdict::low});
    }
  }

  // Of two keys for one member the narrower counts.
  std::map<PointId, Verdict> verdicts(const std::vector<ExpectedVerdict>& trees) {
    std::map<PointId, std::pair<std::pair<int, int>, Verdict>> ranked;
    for (const ExpectedVerdict& tree : trees) {
      const auto reach = binder_.reach(tree.reading);
      if (!reach) continue;
      const std::pair rank(reach->exact, reach->groups);
      for (const PointId point : reach->points) {
        if (binder_.program().target_of[point] < 0) {
          binder_.out().report(Code::no_target, tree.reading.span,
                               fmt::format("'{}' has no target, so no verdict", binder_.program().points[point].name));
          break;
        }
        const auto [now, fresh] = ranked.emplace(point, std::pair(rank, verdict_named(tree.verdict.text)));
        if (!fresh && now->second.first < rank) now->second = {rank, verdict_named(tree.verdict.text)};
      }
    }
    std::map<PointId, Verdict> all;
    for (const auto& [point, verdict] : ranked) all.emplace(point, verdict.second);
    return all;
  }

  std::vector<JobId> jobs(const std::vector<Word>& words) const {
    std::vector<JobId> all;
    for (const Word& word : words) {
      if (const auto job = names_.job(word, binder_.out())) all.push_back(*job);
    }
    return all;
  }

  template <class Part>
  std::vector<std::string> named(const std::vector<Word>& words, const std::vector<Part>& parts,
                                 const char* what) const {
    std::vector<std::string> known;
    for (const Part& part : parts) known.push_back(part.name);
    std::vector<std::string> all;
    for (const Word& word : words) {
      all.push_back(word.text);
      if (std::count(known.begin(), known.end(), word.text) > 0) continue;
      binder_.out().report(
          Code::unknown_expected, word.span,
          fmt::format("the profile has no {} '{}'{}", what, word.text, did_you_mean(word.text, known)));
    }
    return all;
  }

  // The members are those of the reading that the job brings to its aim.
  void add(const ExpectedAmount& tree, std::vector<Expected::Amount>& amounts) {
    const auto id = names_.job(tree.job.name, binder_.out());
    if (!id) return;
    const Program& program = binder_.program();
    const JobInfo& job = program.jobs[*id];
    const auto set =
        std::find_if(job.sets.begin(), job.sets.end(), [](const JobInfo::Set& each) { return !each.value; });
    if (!job.moves || set == job.sets.end() || set->points.empty()) {
      binder_.out().report(Code::no_amount, tree.job.name.span,
                           fmt::format("'{}' brings no reading to its aim by moving something", job.name),
                           "leave it out of amounts:");
      return;
    }
    const ReadingInfo& reading = program.reading_of(set->points.front());
    const auto reach = binder_.reach({{reading.name, tree.job.name.span}, tree.job.members, tree.job.span});
    if (!reach) return;
    for (const PointId point : reach->points) amounts.push_back({*id, point, tree.text.text});
  }

  const Names& names_;
  Binder& binder_;
};

}  // namespace

void bind_expected(const TrialTree& trial, const Names& names, Binder& binder) {
  Expected expected = Expectation(names, binder).bind(trial);
  binder.program().expected = std::move(expected);
}

}  // namespace stringline
