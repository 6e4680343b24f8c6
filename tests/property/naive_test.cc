// The engine against a second evaluator that was written from the manual alone (tests/support/naive_book.h), on small random shops:
// 5,000 here, ten times as many at night.
#include <catch2/catch.hpp>
#include <cstdint>
#include <map>
#include <string>

#include "engine/judge/judge.h"
#include "engine/plan/plan.h"
#include "tests/support/naive_book.h"
#include "tests/support/random_book.h"
#include "tests/support/rounds.h"
#include "tests/support/shop.h"

using namespace stringline;

namespace {

const char* word(Truth truth) { return truth == Truth::yes ? "yes" : truth == Truth::no ? "no" : "unknown"; }

const char* word(RuleState state) {
  switch (state) {
    case RuleState::fired: return "fired";
    case RuleState::clear: return "clear";
    case RuleState::unknown: return "unknown";
    case RuleState::not_applicable: return "not applicable";
    case RuleState::error: return "error";
  }
  return "";
}

std::map<std::string, std::string> verdicts_of(const Program& program, const Judgement& judgement) {
  std::map<std::string, std::string> verdicts;
  for (std::size_t i = 0; i < program.targets.size(); ++i)
    verdicts[program.points[program.targets[i].point].name] = to_text(judgement.targets[i].verdict);
  return verdicts;
}

template <class Infos, class States, class Word>
std::map<std::string, std::string> words_of(const Infos& infos, const States& states, Word to_word) {
  std::map<std::string, std::string> words;
  for (std::size_t i = 0; i < infos.size(); ++i) words[infos[i].name] = to_word(states[i]);
  return words;
}

std::string exact(const std::optional<Ratio>& value) {
  return value ? std::to_string(value->num()) + "/" + std::to_string(value->den()) : "none";
}
std::string exact(const std::optional<naive::Fraction>& value) {
  if (!value) return "none";
  const auto shown = [](naive::Wide part) { return std::to_string(static_cast<std::int64_t>(part)); };
  return shown(value->num) + "/" + shown(value->den);
}

std::map<std::string, std::string> ranges_of(const Program& program, const Judgement& judgement) {
  std::map<std::string, std::string> ranges;
  for (std::size_t i = 0; i < program.targets.size(); ++i) {
    const TargetState& state = judgement.targets[i];
    if (!state.lo && !state.hi) continue;
    ranges[program.points[program.targets[i].point].name] =
        exact(state.lo) + " .. " + exact(state.hi) + " aim " + exact(state.aim);
  }
  return ranges;
}
std::map<std::string, std::string> ranges_of(const naive::Outcome& outcome) {
  std::map<std::string, std::string> ranges;
  for (const auto& [point, range] : outcome.ranges)
    ranges[point] = exact(range.lo) + " .. " + exact(range.hi) + " aim " + exact(range.aim);
  return ranges;
}

std::map<std::string, int> ledger_of(const Judgement& judgement) {
  std::map<std::string, int> ledger;
  for (std::size_t i = 0; i < judgement.ledger.size(); ++i) {
    if (judgement.ledger[i] > 0) ledger[word(static_cast<RuleState>(i))] = static_cast<int>(judgement.ledger[i]);
  }
  return ledger;
}

std::vector<std::string> jobs_of(const Program& program, const Plan& plan) {
  std::vector<std::string> jobs;
  for (const PlanLine& line : plan.lines) {
    if (line.form == PlanLine::Form::job) jobs.push_back(program.jobs[*line.job].name);
  }
  return jobs;
}

}  // namespace

TEST_CASE("the engine and a naive reading of the manual agree on random shops") {
  constexpr std::uint32_t first_seed = 20'261'129;
  const auto rounds = static_cast<std::uint32_t>(test::rounds(5'000));
  std::uint32_t good = 0;
  std::uint32_t plans = 0;
  std::map<std::string, int> seen;
  for (std::uint32_t round = 0; round < rounds; ++round) {
    const std::uint32_t seed = first_seed + round;
    const auto book = stringline::testing::random_book(seed);
    const auto shop = open_shop({book.profile}, book.visit, book.house);
    if (!shop->program) continue;  // a slip that check finds, such as a row that is never reached
    ++good;
    INFO("seed " << seed << "\n" << book.house << "---\n" << book.profile << "---\n" << book.visit);
    const Program& program = *shop->program;
    const Judgement judgement = judge(program);
    const naive::Outcome expected = naive::outcome_of(book);
    const auto truth = [](const TruthState& state) { return word(state.truth); };
    REQUIRE(ranges_of(program, judgement) == ranges_of(expected));
    REQUIRE(words_of(program.gates, judgement.gates, truth) == expected.gates);
    REQUIRE(verdicts_of(program, judgement) == expected.verdicts);
    REQUIRE(words_of(program.stops, judgement.stops, truth) == expected.stops);
    REQUIRE(words_of(program.rules, judgement.rules, [](const RuleOutcome& rule) { return word(rule.state); }) ==
            expected.rules);
    REQUIRE(ledger_of(judgement) == expected.ledger);
    for (const auto& [point, verdict] : expected.verdicts) ++seen[verdict];
    for (const auto& [state, count] : expected.ledger) seen[state] += count;
    if (!expected.jobs) continue;
    REQUIRE(jobs_of(program, make_plan(program, judgement)) == *expected.jobs);
    plans += expected.jobs->size() > 1 ? 1U : 0U;
  }
  CHECK(good > rounds / 4 * 3);
  CHECK(plans > rounds / 20);  // of more than one job
  for (const char* each : {"within", "high", "low", "too close to call", "stale", "not read", "void", "target unknown",
                           "not applicable", "fired", "clear", "unknown", "error"}) {
    INFO(each);
    CHECK(seen[each] > 0);
  }
}
