// What a log's jobs did to readings nobody took again, held against the oracle's bent necks.
#include "engine/judge/aftermath.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/judge/judge.h"
#include "engine/plan/plan.h"
#include "tests/support/model_oracle.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

using oracle::mm;

double relief(const oracle::Instrument& it) { return static_cast<double>(oracle::gap_at_fret(it, 7, {1, 16})); }
double action(const oracle::Instrument& it) { return static_cast<double>(oracle::gap_at_fret(it, 12, {})); }

oracle::Instrument neck(oracle::Real phi) {
  oracle::Instrument it;
  it.joint = 16;
  it.phi = phi;
  it.bend = 0.4L;
  it.nut = 0.5L;
  it.saddle = 3.2L;
  return it;
}

struct Bench {
  std::unique_ptr<Shop> shop;
  Judgement judgement;

  explicit Bench(const std::string& log) {
    const std::string first = "relief: " + mm(relief(neck(0))) + ", action: " + mm(action(neck(0)));
    shop = open_shop({stick_profile}, stick_visit(first) + log, stick_house);
    INFO(shop->told());
    REQUIRE(shop->program);
    judgement = judge(*shop->program);
  }
  [[nodiscard]] std::optional<model::Range> expected(const std::string& point) const {
    return judgement.points[shop->point(point)].expected;
  }
};

}  // namespace

TEST_CASE("once the rod's own reading is taken again, the action lies between those of the two extreme necks") {
  const auto bent = [](oracle::Real phi) { return oracle::after_rod(neck(phi), -0.15L); };
  const Bench bench("  - did: tighten\n  - read: {relief: " + mm(relief(bent(0))) + "}\n");
  for (const char* side : {"action.bass", "action.treble"}) {
    const auto expected = bench.expected(side);
    REQUIRE(expected);
    CHECK(expected->lo == Approx(std::min(action(bent(0)), action(bent(1)))).margin(2e-6));
    CHECK(expected->hi == Approx(std::max(action(bent(0)), action(bent(1)))).margin(2e-6));
  }
  CHECK_FALSE(bench.expected("relief"));  // it was read
}

TEST_CASE("two jobs add up, and a reading taken in between starts anew") {
  const auto once = oracle::after_rod(neck(0.5L), -0.10L);
  const auto twice = oracle::after_rod(once, -0.05L);
  const std::string first = "  - did: tighten\n  - read: {relief: " + mm(relief(once));
  const std::string second = "}\n  - did: tighten\n  - read: {relief: " + mm(relief(twice)) + "}\n";
  const Bench both(first + second);
  const Bench between(first + ", action: " + mm(action(once)) + second);
  REQUIRE(both.expected("action.bass"));
  REQUIRE(between.expected("action.bass"));
  CHECK(both.expected("action.bass")->contains(action(twice)));
  CHECK(between.expected("action.bass")->contains(action(twice)));
  CHECK(between.expected("action.bass")->width() < both.expected("action.bass")->width());
}

TEST_CASE("nothing is said before the job's own reading, after new strings, or of what only disturbs: names") {
  CHECK_FALSE(Bench("  - did: tighten\n").expected("action.bass"));
  CHECK_FALSE(Bench("  - did: tighten\n    fitted: strings\n    read: {relief: 0.20 mm}\n").expected("action.bass"));
  CHECK_FALSE(Bench("  - did: lower\n  - read: {relief: 0.20 mm}\n").expected("action.bass"));
}

TEST_CASE("the plan says what a stale reading should show, and still has it read") {
  const auto once = oracle::after_rod(neck(0.5L), -0.15L);
  const Bench bench("  - did: tighten\n  - read: {relief: " + mm(relief(once)) + "}\n");
  const Plan plan = make_plan(*bench.shop->program, bench.judgement);
  const PointId bass = bench.shop->point("action.bass");
  const auto reads = [&](const PlanLine& line) {
    return line.form == PlanLine::Form::read_again && std::count(line.points.begin(), line.points.end(), bass) > 0;
  };
  const auto line = std::find_if(plan.lines.begin(), plan.lines.end(), reads);
  REQUIRE(line != plan.lines.end());
  const auto told = std::find_if(line->expected.begin(), line->expected.end(),
                                 [&](const Predicted& each) { return each.point == bass; });
  REQUIRE(told != line->expected.end());
  CHECK(told->value.contains(action(once)));
}
