// Readings by one method shown by another, held against the oracle's necks (tests/support/model_oracle.h).
#include "engine/judge/instrument.h"

#include <catch2/catch.hpp>

#include "engine/check/disturb.h"
#include "engine/judge/heights.h"
#include "tests/support/model_oracle.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

oracle::Instrument neck(oracle::Real bend, oracle::Real nut, oracle::Real saddle) {
  oracle::Instrument it;
  it.joint = 16;
  it.bend = bend;
  it.phi = 0.3L;
  it.nut = nut;
  it.saddle = saddle;
  return it;
}

using oracle::mm;

}  // namespace

TEST_CASE("relief, one nut reading and one action a string determine every gap up to the joint") {
  const auto it = neck(0.35L, 0.4L, 3.1L);
  const std::string read = "relief: " + mm(oracle::gap_at_fret(it, 7, {1, 16})) +
                           ", nut_gap: {6: " + mm(oracle::gap_at_fret(it, 1, {})) +
                           "}, action: {bass: " + mm(oracle::gap_at_fret(it, 12, {})) + "}";
  const auto shop = open_shop({stick_profile}, stick_visit(read), stick_house);
  INFO(shop->told());
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const Instrument instrument(*shop->program, judgement.points);
  Gap at_9{{false, 9, false}, {}, ""};
  const auto open_9 = instrument.value(shop->point("action.bass"), at_9);
  REQUIRE(open_9);
  CHECK(open_9->value.middle() == Approx(static_cast<double>(oracle::gap_at_fret(it, 9, {}))).margin(1e-5));
  Gap at_12_capo{{false, 12, false}, {{false, 1, false}}, ""};
  const auto capo = instrument.value(shop->point("action.bass"), at_12_capo);
  REQUIRE(capo);
  CHECK(capo->value.middle() == Approx(static_cast<double>(oracle::gap_at_fret(it, 12, {1}))).margin(1e-5));
  CHECK_FALSE(instrument.value(shop->point("action.treble"), at_9));
  CHECK(instrument.spare_readings() == 0);
}

TEST_CASE("past the joint the gap is an interval over how the neck bends, and holds the truth") {
  const auto it = neck(0.35L, 0.4L, 3.1L);
  const std::string read = "relief: " + mm(oracle::gap_at_fret(it, 7, {1, 16})) +
                           ", nut_gap: {6: " + mm(oracle::gap_at_fret(it, 1, {})) +
                           "}, action: {bass: " + mm(oracle::gap_at_fret(it, 12, {})) + "}";
  const auto shop = open_shop({stick_profile}, stick_visit(read), stick_house);
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const Instrument instrument(*shop->program, judgement.points);
  const auto at_17 =
      instrument.value(shop->point("action_17.bass"), *shop->program->reading_of(shop->point("action_17.bass")).gap);
  REQUIRE(at_17);
  CHECK(at_17->value.width() > 0.001);
  const double truth = static_cast<double>(oracle::gap_at_fret(it, 17, {1}));
  CHECK(at_17->value.lo - 1e-5 <= truth);
  CHECK(truth <= at_17->value.hi + 1e-5);
}

// Relief 0.20, nut gaps .45/.34, 1.50/1.40 open at 12 read about 1.46/1.41 at 17 with a capo (the shop's own example; held
// against the oracle here: straight where the model says so).
TEST_CASE("a reading taken at the 17th with a capo is judged as the 12th open would show it") {
  const std::string read =
      "relief: 0.20 mm, nut_gap: {6: 0.45 mm, 1: 0.34 mm}, "
      "action: {bass: {is: 1.46 mm, as: {at: 17, held: [1]}}, treble: {is: 1.41 mm, as: {at: 17, held: [1]}}}";
  const auto shop = open_shop({stick_profile}, stick_visit(read), stick_house);
  INFO(shop->told());
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const auto& bass = judgement.targets[static_cast<std::size_t>(shop->program->target_of[shop->point("action.bass")])];
  REQUIRE(bass.converted);
  CHECK(bass.converted->lo->to_double() == Approx(1.50).margin(0.06));
  CHECK(bass.verdict == Verdict::within);
}

TEST_CASE("without a nut reading another method is refused, and the interval is told") {
  const auto shop =
      open_shop({stick_profile}, stick_visit("relief: 0.20 mm, action: {bass: {is: 1.46 mm, as: {at: 17, held: [1]}}}"),
                stick_house);
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const auto& bass = judgement.targets[static_cast<std::size_t>(shop->program->target_of[shop->point("action.bass")])];
  CHECK(bass.verdict == Verdict::not_read);
  CHECK_FALSE(bass.converted);
  REQUIRE(bass.possible);
  CHECK(bass.possible->lo < 1.5);
  CHECK(bass.possible->hi > 1.5);
}

TEST_CASE("readings that can not all be true are told, and only where there are spare ones") {
  const auto it = neck(0.2L, 0.4L, 3.0L);
  const auto read = [&](oracle::Real slip) {
    return "relief: " + mm(oracle::gap_at_fret(it, 7, {1, 16})) +
           ", nut_gap: {6: " + mm(oracle::gap_at_fret(it, 1, {})) +
           "}, action: {bass: " + mm(oracle::gap_at_fret(it, 12, {})) +
           "}, action_17: {bass: " + mm(oracle::gap_at_fret(it, 17, {1}) + slip) + "}";
  };
  const auto right = open_shop({stick_profile}, stick_visit(read(0)), stick_house);
  REQUIRE(right->program);
  CHECK(judge(*right->program).spare_readings == 1);
  CHECK(judge(*right->program).contradicted.empty());
  const auto wrong = open_shop({stick_profile}, stick_visit(read(0.6L)), stick_house);
  REQUIRE(wrong->program);
  CHECK_FALSE(judge(*wrong->program).contradicted.empty());
}

TEST_CASE("heights come back from the readings they gave") {
  const auto it = neck(0.25L, 0.5L, 2.9L);
  const std::string gap1 = mm(oracle::gap_at_fret(it, 1, {}));
  const std::string at12 = mm(oracle::gap_at_fret(it, 12, {}));
  const auto shop = open_shop(
      {stick_profile},
      stick_visit("relief: " + mm(oracle::gap_at_fret(it, 7, {1, 16})) + ", nut_gap: " + gap1 + ", action: " + at12),
      stick_house);
  REQUIRE(shop->program);
  const Heights heights(*shop->program, judge(*shop->program));
  CHECK(heights.bend().value() == Approx(0.25).margin(1e-4));
  for (int string = 0; string < 6; ++string) {
    CHECK(heights.nut(string).value() == Approx(0.5).margin(1e-4));
    CHECK(heights.saddle(string).value() == Approx(2.9).margin(1e-3));
  }
}
