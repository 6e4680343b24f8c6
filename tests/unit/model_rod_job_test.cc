#include "engine/model/rod_job.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/model/frets.h"

using namespace stringline::model;

namespace {

NeckGeometry neck(double joint, int frets = 22) { return {648.0, frets, joint, 0, false}; }
GapRow row_at(const NeckGeometry& n, double fret, std::vector<double> held = {}) {
  return gap_row(n, {Station::fret, fret, std::move(held)}).value();
}
PhiLinear rod(const NeckGeometry& n, double fret, std::vector<double> held = {}) {
  return effect(row_at(n, fret, std::move(held)), n, Control::neck_bend);
}

}  // namespace

TEST_CASE("the two reference shapes move the 12th by their closed forms") {
  // Derived. Model T: even arc tangent to the body, 2 - 4(1 - L/2J)^2. Model C: held ends, 4 (L/2)(J - L/2)/J^2.
  struct Row {
    double joint, share, tangent, sagging;
  };
  const Row rows[] = {{12, .50000, 2.0000, 0.0000},
                      {14, .55455, 1.9613, 0.3548},
                      {16, .60315, 1.8830, 0.5671},
                      {17, .62542, 1.8391, 0.6413}};
  for (const Row& expected : rows) {
    CAPTURE(expected.joint);
    const NeckGeometry n = neck(expected.joint);
    CHECK(n.joint() == Approx(expected.share).margin(6e-6).epsilon(0));
    CHECK(rod(n, 12).at(1.0) == Approx(expected.tangent).margin(6e-5).epsilon(0));
    CHECK(rod(n, 12).at(0.0) == Approx(expected.sagging).margin(6e-5).epsilon(0));
    CHECK(rod(n, 12).at(1.0) == Approx(2.0 - 4.0 * std::pow(1.0 - 0.5 / n.joint(), 2)));
  }
}

TEST_CASE("per relief as measured, a reading moves by an interval") {
  // Derived: capo 1, read at 7; half a unit of the last digit.
  struct Row {
    double joint, last, lo12, hi12, lo1, hi1;
  };
  const Row rows[] = {{14, 14, .44, 2.46, .46, .68}, {16, 16, .69, 2.29, .41, .59}, {16, 22, .72, 1.69, .43, .44}};
  for (const Row& expected : rows) {
    CAPTURE(expected.joint, expected.last);
    const NeckGeometry n = neck(expected.joint);
    const PhiLinear relief = rod(n, 7, {1, expected.last});
    const Range twelfth = per_measured(rod(n, 12), relief, any_phi).value();
    const Range first = per_measured(rod(n, 1), relief, any_phi).value();
    CHECK(twelfth.lo == Approx(expected.lo12).margin(.0051).epsilon(0));
    CHECK(twelfth.hi == Approx(expected.hi12).margin(.0051).epsilon(0));
    CHECK(first.lo == Approx(expected.lo1).margin(.0051).epsilon(0));
    CHECK(first.hi == Approx(expected.hi1).margin(.0051).epsilon(0));
  }
  // Derived, relief gauged at the middle of capo and joint: T 2.428, C 0.439 with a 14th joint.
  const NeckGeometry n = neck(14);
  const double middle = fret_at_share((fret_share(1) + fret_share(14)) / 2.0);
  const Range twelfth = per_measured(rod(n, 12), rod(n, middle, {1, 14}), any_phi).value();
  CHECK(twelfth.lo == Approx(0.439).margin(6e-4).epsilon(0));
  CHECK(twelfth.hi == Approx(2.428).margin(6e-4).epsilon(0));
}

TEST_CASE("action rises when relief rises, but with ends held at a 12th joint it stays") {
  // Derived invariant, both models.
  for (const double joint : {13.0, 14.0, 16.0, 17.0, 19.0}) CHECK(rod(neck(joint), 12).over(any_phi).lo > 0.0);
  CHECK(rod(neck(12), 12).at(0.0) == Approx(0.0).margin(1e-12));
}

TEST_CASE("invented bench cases lie inside what the model allows") {
  // 16th joint, last of 22 held: relief +0.20, action +0.25 and +0.23 (read to 0.05), first gap +0.10 (read to 0.025).
  const NeckGeometry electric = neck(16);
  const PhiLinear relief = rod(electric, 8, {1, 22});
  const Range action = per_measured(rod(electric, 12), relief, any_phi).value();
  CHECK(action.contains(0.25 / 0.20));
  CHECK(action.contains(0.23 / 0.20));
  const Range first = per_measured(rod(electric, 1), relief, any_phi).value();
  CHECK(std::abs(0.10 - 0.20 * first.middle()) < 0.025);
  // 14th joint, held there: relief -0.25, action -0.25, first gap -0.13.
  const NeckGeometry flat_top = neck(14, 20);
  const PhiLinear held = rod(flat_top, 7, {1, 14});
  CHECK(per_measured(rod(flat_top, 12), held, any_phi)->contains(1.0));
  CHECK(per_measured(rod(flat_top, 1), held, any_phi)->contains(0.13 / 0.25));
}

TEST_CASE("a relief that stands still for some phi gives no ratio") {
  // Held at the joint and last, read between them: past the joint an arc tangent to the body is straight.
  const NeckGeometry n = neck(14);
  CHECK_FALSE(per_measured(rod(n, 12), rod(n, 17, {14, 20}), any_phi));
}

TEST_CASE("other controls move a reading by its own coefficients") {
  const NeckGeometry n = neck(14);
  const GapRow row = row_at(n, 12);
  CHECK(effect(row, n, Control::nut_height).at(0.3) == Approx(0.5));
  CHECK(effect(row, n, Control::saddle_height).at(0.9) == Approx(0.5));
  CHECK(effect(row, n, Control::fret_plane).at(0.0) == Approx(1.0));
  CHECK(effect(row, n, Control::pickup_height).at(0.0) == 0.0);
  // An invented bench case: nut slots filed so that the first gap drops .35 take .19 off the 12th.
  const double filed = 0.35 / row_at(n, 1).nut_height;
  CHECK(filed * row.nut_height == Approx(4.70 - 4.51).margin(0.006).epsilon(0));
}

TEST_CASE("phi is learnt from readings before and after a rod job") {
  const NeckGeometry n = neck(14);
  const PhiLinear action = rod(n, 12);
  const PhiLinear relief = rod(n, 7, {1, 14});
  const auto pair = [&](double phi, double dr, double slip = 0.0) {
    return RodPair{action, relief, action.at(phi) * dr + slip, relief.at(phi) * dr, 0.02, 0.005};
  };
  const auto one = learn_phi({pair(0.35, -0.25)});
  REQUIRE(one);
  CHECK(one->phi == Approx(0.35));
  CHECK(one->pairs_used == 1);
  CHECK(one->range.contains(0.35));
  CHECK(one->range.width() > 0.0);

  const auto many = learn_phi({pair(0.35, -0.25), pair(0.35, -0.30), pair(0.35, 0.2), pair(0.35, 0.15)});
  REQUIRE(many);
  CHECK(many->phi == Approx(0.35));
  CHECK(many->u < one->u);
  CHECK(many->scatter == 0.0);

  const auto scattered = learn_phi({pair(0.1, -0.25), pair(0.6, -0.30), pair(0.2, 0.2), pair(0.5, 0.25)});
  REQUIRE(scattered);
  CHECK(scattered->scatter > 0.1);
  CHECK(scattered->range.width() > many->range.width());
  CHECK(scattered->range.lo >= 0.0);
  CHECK(scattered->range.hi <= 1.0);
}

TEST_CASE("a learnt phi narrows what the next rod job is expected to do") {
  const NeckGeometry n = neck(14);
  const PhiLinear action = rod(n, 12);
  const PhiLinear relief = rod(n, 7, {1, 14});
  std::vector<RodPair> pairs(6, {action, relief, action.at(0.3) * 0.3, relief.at(0.3) * 0.3, 0.02, 0.005});
  const Range learnt = learn_phi(pairs)->range;
  const Range before = per_measured(action, relief, any_phi).value();
  const Range after = per_measured(action, relief, learnt).value();
  CHECK(after.width() < before.width() / 3.0);
  CHECK(after.contains(action.at(0.3) / relief.at(0.3)));
}

TEST_CASE("readings outside both shapes keep phi at the nearest end, and nothing is learnt from no move") {
  const NeckGeometry n = neck(14);
  const PhiLinear action = rod(n, 12);
  const PhiLinear relief = rod(n, 7, {1, 14});
  const auto beyond = learn_phi({{action, relief, 0.9, 0.25, 0.02, 0.005}});
  REQUIRE(beyond);
  CHECK(beyond->phi == 1.0);
  CHECK(beyond->range.hi == 1.0);
  CHECK(beyond->range.lo < 1.0);
  CHECK_FALSE(learn_phi({}));
  CHECK_FALSE(learn_phi({{action, relief, 0.0, 0.0, 0.02, 0.005}}));
  CHECK_FALSE(learn_phi({{relief, relief, 0.2, 0.2, 0.02, 0.005}}));  // the relief itself tells nothing of phi
}
