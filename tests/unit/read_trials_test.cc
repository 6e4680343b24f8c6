#include "engine/syntax/read_trials.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/syntax/read_path.h"
#include "tests/support/read_case.h"

using namespace stringline;
using stringline::test::ReadCase;

namespace {

TrialsTree trials_of(const std::string& text) {
  const ReadCase file("trials: p\n" + text);
  CAPTURE(text, file.said());
  REQUIRE(file.said().empty());
  REQUIRE(file.trials);
  return *file.trials;
}

void check_mistakes(const std::string& text, const std::string& codes) {
  const ReadCase file("trials: p\n" + text);
  CAPTURE(text, file.said());
  CHECK(file.mistakes() == file.expected(codes));
  REQUIRE(file.trials);
  CHECK(file.trials->spoiled.any);
}

}  // namespace

TEST_CASE("a trial's expectations keep their order, and what is left out is absent") {
  const TrialsTree file = trials_of(R"(order: [rod, {bridge: [cut, shim]}]
usual: {instrument: {strings: [9p, 11p]}, given: {relief: 0.2 mm}}
first:
  given: {action: {bass: 2 mm, treble: unknown}}
  verdicts: {action: {bass: high}, relief: within}
  work: [b, a]
  amounts: {a.bass: 0.40 mm down}
second: {log: [{did: a}], stops: crack, offers: none}
)");
  REQUIRE(file.trials.size() == 2);
  CHECK(file.order.size() == 2);
  CHECK(file.usual.given.size() == 1);
  const TrialTree& first = file.trials[0];
  CHECK(first.name.text == "first");
  CHECK(first.given.size() == 2);
  REQUIRE(first.verdicts);
  CHECK(to_text(first.verdicts->at(0).reading) == "action.bass");
  CHECK(first.verdicts->at(0).verdict.text == "high");
  REQUIRE(first.work);
  CHECK(first.work->at(0).text == "b");
  CHECK_FALSE(first.offers);
  CHECK(to_text(first.amounts.at(0).job) == "a.bass");
  CHECK(first.amounts.at(0).text.text == "0.40 mm down");
  const TrialTree& second = file.trials[1];
  CHECK(second.log.size() == 1);
  CHECK_FALSE(second.work);
  REQUIRE(second.offers);  // none is something else than not said
  CHECK(second.offers->empty());
  CHECK(second.stops.size() == 1);
}

TEST_CASE("limits are ranges in numbers, with one end or both") {
  const TrialsTree file = trials_of(
      "a: {limits: {relief: 0.1 .. 0.3 mm, saddle: {bass: at least 2 mm}, octave_error: -2 cents .. 2 cents}}\n"
      "b: {limits: {octave_error: 0 +- 2 cents}}\n");
  REQUIRE(file.trials.size() == 2);
  const auto& limits = file.trials[0].limits;
  REQUIRE(limits.size() == 3);
  CHECK(to_text(limits[1].reading) == "saddle.bass");
  CHECK(limits[1].range.lo);
  CHECK_FALSE(limits[1].range.hi);
  CHECK(file.trials[1].limits.size() == 1);
}

TEST_CASE("a trial with a mistake is left out, the others are read") {
  const ReadCase file("trials: p\na: {wrok: c, work: d}\nb: {work: d}\n");
  CHECK(file.said() == "unknown key 'wrok' of a trial; did you mean 'work'?");
  REQUIRE(file.trials);
  REQUIRE(file.trials->trials.size() == 1);
  CHECK(file.trials->trials[0].name.text == "b");
}

TEST_CASE("mistakes in trials are told at their place") {
  check_mistakes("^a: {given: {relief: 1 mm}}\n", "E601");
  check_mistakes("^Too High: {work: b}\n", "E304");
  check_mistakes("a: {verdicts: {relief: ^heigh}}\n", "E308");
  check_mistakes("a: ^later\n", "E302");
  check_mistakes("a: {work: [b, ^b]}\n", "E317");
  check_mistakes("usual: {^work: b}\nb: {work: c}\n", "E301");
  check_mistakes("a: {given: {relief: ^1 + 1 mm}, work: b}\n", "E322");
  check_mistakes("a: {limits: {relief: 0.1 .. 0.3 mm aim ^0.2}}\n", "E321");
  check_mistakes("a: {limits: {relief: at most ^relief_max}}\n", "E321");
  check_mistakes("a: {limits: {relief: ^relief_max +- 1 mm}}\n", "E321");
  check_mistakes("a: {limits: {relief: ^fill_in}}\n", "E601");
}
