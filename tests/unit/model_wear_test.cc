// The rule is common practice; the numbers below are an invented shop's unless a line says otherwise.
#include "engine/model/wear.h"

#include <catch2/catch.hpp>

using namespace stringline::model;

namespace {

const WearThresholds house{};

std::vector<FretWear> frets(int count, double crown = 1.18, double groove = 0.0, double rise = 0.0) {
  std::vector<FretWear> all;
  for (int fret = 1; fret <= count; ++fret) all.push_back({fret, crown, groove, rise});
  return all;
}

bool gives(const WearDecision& decision, WearReason::Kind kind, int fret) {
  for (const WearReason& reason : decision.reasons) {
    if (reason.kind == kind && reason.fret == fret) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("what remains is the crown less the groove less what a level takes") {
  // Invented bench case: 1.18 - 0.14 - 0.05 = 0.99, above 0.80: level, not refret.
  CHECK(remaining({2, 1.18, 0.14, 0.0}, house) == Approx(0.99));
  std::vector<FretWear> worn = frets(22, 1.25);
  worn[0].groove_mm = worn[2].groove_mm = worn[3].groove_mm = 0.10;
  worn[1] = {2, 1.18, 0.14, 0.0};
  worn[8].rise_mm = 0.06;
  worn[13].rise_mm = 0.08;
  const WearDecision decision = decide_fret_work(worn, {}, house);
  CHECK(decision.work == FretWork::full_level);
  CHECK(decision.least_left.value() == Approx(0.99));
  CHECK(gives(decision, WearReason::Kind::groove_deep, 2));
  CHECK(gives(decision, WearReason::Kind::fret_high, 14));
  CHECK(gives(decision, WearReason::Kind::left_enough, 2));
  CHECK(decision.frets.empty());
}

TEST_CASE("each finding calls for its own work") {
  CHECK(decide_fret_work(frets(22), {}, house).work == FretWork::none);
  CHECK(decide_fret_work({}, {}, house).work == FretWork::none);
  CHECK_FALSE(decide_fret_work({}, {}, house).least_left);
  CHECK(decide_fret_work(frets(22, 1.18, 0.02), {}, house).work == FretWork::polish);

  std::vector<FretWear> high = frets(22, 1.18, 0.02);
  high[8].rise_mm = high[13].rise_mm = high[14].rise_mm = 0.06;
  const WearDecision spot = decide_fret_work(high, {}, house);
  CHECK(spot.work == FretWork::spot_level);
  CHECK(spot.frets == std::vector<int>{9, 14, 15});

  high[15].rise_mm = 0.06;
  const WearDecision level = decide_fret_work(high, {}, house);
  CHECK(level.work == FretWork::full_level);
  CHECK(gives(level, WearReason::Kind::too_many_high, 0));
}

TEST_CASE("a groove between polish and level is polished and said to be small") {
  std::vector<FretWear> worn = frets(22);
  worn[4].groove_mm = 0.04;
  const WearDecision decision = decide_fret_work(worn, {}, house);
  CHECK(decision.work == FretWork::polish);
  CHECK(gives(decision, WearReason::Kind::groove_small, 5));
}

TEST_CASE("limits belong to the side that keeps the frets") {
  // Exactly the minimum is enough; exactly the level groove is worth a level.
  WearThresholds exact = house;
  exact.level_allowance_mm = 0.0;
  exact.minimum_left_mm = 1.0;
  std::vector<FretWear> one{{1, 1.25, 0.25, 0.0}};
  CHECK(decide_fret_work(one, {}, exact).work == FretWork::full_level);
  one[0].crown_mm = 1.2499;
  CHECK(decide_fret_work(one, {}, exact).work == FretWork::part_refret);
  one[0] = {1, 1.5, 0.05, 0.0};
  CHECK(decide_fret_work(one, {}, exact).work == FretWork::full_level);
}

TEST_CASE("up to five spent frets are replaced, more ask for a full refret") {
  std::vector<FretWear> worn = frets(22);
  for (std::size_t i = 0; i < 5; ++i) worn[i].groove_mm = 0.40;
  const WearDecision part = decide_fret_work(worn, {}, house);
  CHECK(part.work == FretWork::part_refret);
  CHECK(part.frets == std::vector<int>{1, 2, 3, 4, 5});
  CHECK(gives(part, WearReason::Kind::left_too_little, 3));
  worn[5].groove_mm = 0.40;
  const WearDecision full = decide_fret_work(worn, {}, house);
  CHECK(full.work == FretWork::full_refret);
  CHECK(gives(full, WearReason::Kind::too_many_spent, 0));
  CHECK(full.frets.empty());
}

TEST_CASE("a groove deeper than a level reaches spends a tall fret too") {
  std::vector<FretWear> tall = frets(22, 1.45);
  tall[2].groove_mm = 0.30;
  const WearDecision decision = decide_fret_work(tall, {}, house);
  CHECK(decision.work == FretWork::part_refret);
  CHECK(gives(decision, WearReason::Kind::groove_deep, 3));
}

TEST_CASE("an uneven board or one levelled often enough is refretted") {
  CHECK(decide_fret_work(frets(22), {true, 0}, house).work == FretWork::full_refret);
  CHECK(gives(decide_fret_work(frets(22), {true, 0}, house), WearReason::Kind::board_uneven, 0));
  const std::vector<FretWear> grooved = frets(22, 1.18, 0.10);
  CHECK(decide_fret_work(grooved, {false, 1}, house).work == FretWork::full_level);
  const WearDecision again = decide_fret_work(grooved, {false, 2}, house);
  CHECK(again.work == FretWork::full_refret);
  CHECK(gives(again, WearReason::Kind::levelled_often, 0));
  CHECK(decide_fret_work(frets(22), {false, 2}, house).work == FretWork::none);  // no level wanted, no matter
}
