// The engine against a second evaluator that was written from the manual alone (tests/support/naive_book.h), on small random shops:
// 5,000 here, twenty times as many at night.
#include <catch2/catch.hpp>
#include <cmath>
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

std::string print(const std::string& text) { return text; }
std::string print(int number) { return std::to_string(number); }

// What the two say otherwise, a line each.
template <class Map>
std::string differences(const Map& engine, const Map& naive) {
  std::string lines;
  Map all = engine;
  all.insert(naive.begin(), naive.end());
  for (const auto& [name, value] : all) {
    const auto one = engine.find(name);
    const auto other = naive.find(name);
    const auto said = [&](const Map& map, auto found) { return found == map.end() ? "nothing" : print(found->second); };
    if (said(engine, one) != said(naive, other))
      lines += name + ": " + said(engine, one) + ", naively " + said(naive, other) + "\n";
  }
  return lines;
}

std::map<std::string, int> ledger_of(const Judgement& judgement) {
  std::map<std::string, int> ledger;
  for (std::size_t i = 0; i < judgement.ledger.size(); ++i) {
    if (judgement.ledger[i] > 0) ledger[word(static_cast<RuleState>(i))] = static_cast<int>(judgement.ledger[i]);
  }
  return ledger;
}

// 0.35, 3/8, 1 3/8
double number_of(const std::string& text) {
  const std::size_t blank = text.find(' ');
  if (blank != std::string::npos) return number_of(text.substr(0, blank)) + number_of(text.substr(blank + 1));
  return naive::to_double(naive::parse(text)->number);
}
bool is_whole(double value) { return std::abs(value - std::round(value)) < 1e-9; }

// "0.35 mm down (3/8 turns)" against how far it goes: to the step of the job, and what takes something off never takes more.
void check_shown(const JobInfo& job, const Amount& amount, double pitch) {
  constexpr double noise = 2e-6;
  const double far = std::abs(*amount.travel);
  const bool in_turns = !job.tell.empty();
  const double step = job.work_to && !in_turns ? job.work_to->value.to_double() : 0.01;
  const double shown = number_of(amount.text.substr(0, amount.text.find(" mm")));
  INFO(job.name << " goes " << far << " and says " << amount.text);
  CHECK(amount.text.find(*amount.travel > 0 ? " mm up" : " mm down") != std::string::npos);
  CHECK(is_whole(shown / step));
  CHECK(std::abs(shown - far) <= (job.removes ? step : step / 2) + noise);
  if (job.removes) CHECK(shown <= far + noise);
  const std::size_t from = amount.text.find('(');
  REQUIRE(in_turns == (from != std::string::npos));
  if (!in_turns) return;
  const double turns = number_of(amount.text.substr(from + 1, amount.text.find(" turn") - from - 1));
  CHECK(is_whole(turns * 8));
  CHECK(std::abs(turns - far / pitch) <= 1.0 / 16 + noise / pitch);
}

std::map<std::string, double> amounts_of(const Program& program, const Plan& plan, const std::string& profile) {
  const std::size_t from = profile.find("pitch: ") + 7;
  const double pitch = naive::to_double(naive::parse(profile.substr(from, profile.find('\n', from) - from))->number);
  std::map<std::string, double> amounts;
  for (const PlanLine& line : plan.lines) {
    if (line.form != PlanLine::Form::job) continue;
    for (const Amount& amount : line.amounts) {
      REQUIRE(amount.travel);
      amounts[program.jobs[*line.job].name + " " + program.points[amount.point].name] = *amount.travel;
      check_shown(program.jobs[*line.job], amount, pitch);
    }
  }
  return amounts;
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
  std::uint32_t measured = 0;  // amounts
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
    const auto rule_state = [](const RuleOutcome& rule) { return word(rule.state); };
    REQUIRE(differences(ranges_of(program, judgement), ranges_of(expected)) == "");
    REQUIRE(differences(words_of(program.gates, judgement.gates, truth), expected.gates) == "");
    REQUIRE(differences(verdicts_of(program, judgement), expected.verdicts) == "");
    REQUIRE(differences(words_of(program.stops, judgement.stops, truth), expected.stops) == "");
    REQUIRE(differences(words_of(program.rules, judgement.rules, rule_state), expected.rules) == "");
    REQUIRE(differences(ledger_of(judgement), expected.ledger) == "");
    for (const auto& [point, verdict] : expected.verdicts) ++seen[verdict];
    for (const auto& [state, count] : expected.ledger) seen[state] += count;
    if (!expected.jobs) continue;
    const Plan plan = make_plan(program, judgement);
    REQUIRE(jobs_of(program, plan) == *expected.jobs);
    const auto amounts = amounts_of(program, plan, book.profile);
    REQUIRE(amounts.size() == expected.amounts.size());
    for (const auto& [what, far] : expected.amounts) {
      INFO(what);
      REQUIRE(amounts.count(what) == 1);
      CHECK(std::abs(amounts.at(what) - far) <= 1e-9 * std::max(1.0, std::abs(far)));
    }
    measured += static_cast<std::uint32_t>(amounts.size());
    plans += expected.jobs->size() > 1 ? 1U : 0U;
  }
  CHECK(good > rounds / 4 * 3);
  CHECK(plans > rounds / 20);  // of more than one job
  CHECK(measured > rounds / 20);
  for (const char* each : {"within", "high", "low", "too close to call", "stale", "not read", "void", "target unknown",
                           "not applicable", "fired", "clear", "unknown", "error"}) {
    INFO(each);
    CHECK(seen[each] >= static_cast<int>(test::at_least(2)));  // a tenth of the shops may miss the rarest
  }
}
