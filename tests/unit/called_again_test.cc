// A job that was done is due again when what was read since asks for it, and only then.
#include "engine/judge/called_again.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/plan/plan.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

const std::string leaning = stick_profile + R"(
  stand: {label: stand it up, phase: rod}
  press: {label: press it home, phase: bridge}
rules:
  leans: {when: rise.1 over 0.5 mm, do: stand}
  both: {when: rise.1 over 0.5 mm and any(action is high), do: press}
)";

std::string due(const std::string& log) {
  const auto shop =
      open_shop({leaning}, stick_visit("relief: 0.20 mm, rise: {1: 0.8 mm}, action: 2.5 mm") + log, stick_house);
  INFO(shop->told());
  REQUIRE(shop->program);
  std::string names;
  for (const JobId job : judge(*shop->program).called_again)
    names += (names.empty() ? "" : " ") + shop->program->jobs[job].name;
  return names;
}

}  // namespace

TEST_CASE("done and not read again, a job is not called twice") {
  CHECK(due("  - did: stand\n") == "");
  CHECK(due("  - did: stand\n  - read: {relief: 0.25 mm}\n") == "");
}

TEST_CASE("what is read after the job, or in the same entry, calls it again; what is read before does not") {
  CHECK(due("  - did: stand\n  - read: {rise: {1: 0.7 mm}}\n") == "stand");
  CHECK(due("  - {did: stand, read: {rise: {1: 0.7 mm}}}\n") == "stand");
  CHECK(due("  - did: stand\n  - read: {rise: {1: 0.2 mm}}\n") == "");
  CHECK(due("  - did: stand\n  - read: {rise: {1: 0.7 mm}}\n  - did: stand\n") == "");
}

TEST_CASE("of two causes both must have been read since") {
  CHECK(due("  - did: [stand, press]\n  - read: {action: 2.5 mm}\n") == "");
  CHECK(due("  - did: [stand, press]\n  - read: {rise: {1: 0.7 mm}}\n") == "stand");
  CHECK(due("  - did: [stand, press]\n  - read: {rise: {1: 0.7 mm}, action: 2.5 mm}\n") == "press stand");
}

TEST_CASE("the plan does it once more") {
  const auto shop = open_shop(
      {leaning}, stick_visit("relief: 0.20 mm, rise: {1: 0.8 mm}") + "  - did: stand\n  - read: {rise: {1: 0.7 mm}}\n",
      stick_house);
  REQUIRE(shop->program);
  const Plan plan = make_plan(*shop->program, judge(*shop->program));
  const auto stands = [&](const PlanLine& line) { return line.job == shop->job("stand"); };
  CHECK(std::count_if(plan.lines.begin(), plan.lines.end(), stands) == 1);
}
