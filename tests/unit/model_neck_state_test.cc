#include "engine/model/neck_state.h"

#include <catch2/catch.hpp>

#include "engine/model/frets.h"

using namespace stringline::model;

namespace {

NeckGeometry neck(double joint, int frets = 22) { return {648.0, frets, joint, 0, false}; }

StringLinks string(int index) { return {index, {{index, 1.0}}, 0.0, index}; }

StateRow row(const NeckGeometry& n, const StringLinks& links, double at, std::vector<double> held = {}) {
  return state_row(gap_row(n, {Station::fret, at, std::move(held)}).value(), links);
}

StateReading reads(StateRow form, double value, double u = 0.01, ReadingSense sense = ReadingSense::equals) {
  return {std::move(form), value, u, sense};
}

StateRow only(Unknown::Kind kind, int index = 0) { return {{{{kind, index}, {1.0, 0.0}}}, 0.0}; }

double value_of(const NeckState& state, const StateRow& wanted) { return state.value(wanted).value().value.middle(); }

}  // namespace

TEST_CASE("a straight neck's heights come back from two readings") {
  // Derived: c1 .500, a12 2.000 -> h_n .31033, h_s 3.68967 (1e-5).
  const NeckGeometry n = neck(14);
  const NeckState state(
      {reads(row(n, string(0), 7, {1, 14}), 0.0), reads(row(n, string(0), 1), 0.5), reads(row(n, string(0), 12), 2.0)},
      any_phi);
  CHECK(value_of(state, only(Unknown::Kind::nut_height)) == Approx(.31033).margin(1e-5).epsilon(0));
  CHECK(value_of(state, only(Unknown::Kind::saddle_height)) == Approx(3.68967).margin(1e-5).epsilon(0));
  CHECK(state.redundancy() == 0);
}

TEST_CASE("relief takes its share before heights are worked out") {
  // Derived: joint 14, held 1 and 14, read at 7: relief .20, c1 .46, a12 2.4 -> r .2506, h_n .1232; the straight-neck
  // inverse would say .215.
  const NeckGeometry n = neck(14);
  const NeckState state(
      {reads(row(n, string(0), 7, {1, 14}), .20), reads(row(n, string(0), 1), .46), reads(row(n, string(0), 12), 2.4)},
      any_phi);
  CHECK(value_of(state, only(Unknown::Kind::neck_bend)) == Approx(.2506).margin(6e-5).epsilon(0));
  CHECK(value_of(state, only(Unknown::Kind::nut_height)) == Approx(.1232).margin(6e-5).epsilon(0));
  const double straight = (0.46 - 0.1122514 * 2.4) / 0.8877486;
  CHECK(straight == Approx(.215).margin(6e-4).epsilon(0));
}

TEST_CASE("three readings determine every gap up to the joint, and leave phi open past it") {
  const NeckGeometry n = neck(14, 20);
  const NeckState state(
      {reads(row(n, string(0), 7, {1, 14}), .20), reads(row(n, string(0), 1), .46), reads(row(n, string(0), 12), 2.4)},
      any_phi);
  for (int fret = 1; fret <= 14; ++fret) {
    const auto open = state.value(row(n, string(0), fret));
    REQUIRE(open);
    CHECK(open->value.width() == Approx(0.0).margin(1e-12));
    if (fret != 3) CHECK(state.determined(row(n, string(0), fret, {3})));
  }
  const auto past = state.value(row(n, string(0), 17));
  REQUIRE(past);
  CHECK(past->value.width() > 0.01);
  CHECK(value_of(state, row(n, string(0), 12)) == Approx(2.4));  // what was read comes back
}

TEST_CASE("a reading at the 12th, open, is converted to the 17th with a capo") {
  // Invented bench case: scale 648, joint 16, relief .20 held at 1 and the last of 22; first gaps .45 and .34; action
  // 1.50 and 1.40 at 12 open reads about 1.46 and 1.41 at 17 with capo 1.
  const NeckGeometry n = neck(16);
  const StateRow relief = row(n, string(0), 7, {1, 22});
  const NeckState state({reads(relief, .20), reads(row(n, string(0), 1), .45), reads(row(n, string(0), 12), 1.50),
                         reads(row(n, string(1), 1), .34), reads(row(n, string(1), 12), 1.40)},
                        any_phi);
  const auto bass = state.value(row(n, string(0), 17, {1}));
  const auto treble = state.value(row(n, string(1), 17, {1}));
  REQUIRE(bass);
  REQUIRE(treble);
  CAPTURE(bass->value.lo, bass->value.hi, treble->value.lo, treble->value.hi);
  CHECK(bass->value.middle() == Approx(1.46).margin(0.01).epsilon(0));
  CHECK(treble->value.middle() == Approx(1.41).margin(0.01).epsilon(0));
  CHECK(bass->value.width() < 0.05);
  CHECK(bass->u > 0.0);
}

TEST_CASE("without a nut reading nut and saddle are known only together") {
  const NeckGeometry n = neck(14);
  const std::vector<StateReading> readings{reads(row(n, string(0), 7, {1, 14}), .20),
                                           reads(row(n, string(0), 12), 2.4)};
  const NeckState state(readings, any_phi);
  const StateRow nut = row(n, string(0), 1);
  CHECK_FALSE(state.determined(nut));
  CHECK_FALSE(state.value(nut));
  CHECK(state.determined(
      {{{{Unknown::Kind::nut_height, 0}, {1.0, 0.0}}, {{Unknown::Kind::saddle_height, 0}, {1.0, 0.0}}}, 0.0}));
  const auto between = state.interval(nut);
  REQUIRE(between);
  CHECK(between->width() > 0.5);
  CHECK(between->contains(.46));
  // Naming what is missing: a nut reading would settle it, another action would too, the relief again would not.
  CHECK(state.would_determine(row(n, string(0), 1, {3}), nut));
  CHECK(state.would_determine(row(n, string(0), 9), nut));
  CHECK_FALSE(state.would_determine(row(n, string(0), 6, {2, 12}), nut));
  CHECK_FALSE(state.would_determine(row(n, string(1), 1), nut));
}

TEST_CASE("an interval reaches exactly as far as readings and limits allow") {
  // Straight neck, only the 12th read: h + H = 4, so the first gap is .94387 h + .05613 (4 - h), h inside its limits.
  const NeckGeometry n = neck(14);
  const StateRow nut = row(n, string(0), 1);
  const StateLimits limits{{0.1, 0.9}, {0.0, 30.0}, {0.0, 0.0}, {-30.0, 30.0}};
  const double x1 = fret_share(1);
  const auto first = [&](double h, double sum) { return (1.0 - x1) * h + x1 * (sum - h); };
  const Range exact = NeckState({reads(row(n, string(0), 12), 2.0, 0.0)}, any_phi, limits).interval(nut).value();
  CHECK(exact.lo == Approx(first(0.1, 4.0)));
  CHECK(exact.hi == Approx(first(0.9, 4.0)));
  // A reading good to u counts within 2u: the sum of both heights within 4u.
  const Range loose = NeckState({reads(row(n, string(0), 12), 2.0, 0.05)}, any_phi, limits).interval(nut).value();
  CHECK(loose.lo == Approx(first(0.1, 3.8)));
  CHECK(loose.hi == Approx(first(0.9, 4.2)));
}

TEST_CASE("bounds narrow an interval and determine nothing") {
  const NeckGeometry n = neck(14);
  const StateRow nut = row(n, string(0), 1);
  std::vector<StateReading> readings{reads(row(n, string(0), 7, {1, 14}), .20), reads(row(n, string(0), 12), 2.4)};
  const Range before = NeckState(readings, any_phi).interval(nut).value();
  readings.push_back(reads(nut, 0.6, 0.0, ReadingSense::at_most));
  readings.push_back(reads(nut, 0.3, 0.0, ReadingSense::at_least));
  const NeckState bounded(readings, any_phi);
  CHECK_FALSE(bounded.determined(nut));
  CHECK(bounded.redundancy() == 0);
  const Range after = bounded.interval(nut).value();
  CHECK(after.lo == Approx(0.3));
  CHECK(after.hi == Approx(0.6));
  CHECK(before.lo < after.lo);
  CHECK(before.hi > after.hi);
}

TEST_CASE("bounds that no instrument can meet leave no interval") {
  const NeckGeometry n = neck(14);
  const StateRow nut = row(n, string(0), 1);
  const NeckState state({reads(nut, 0.3, 0.0, ReadingSense::at_most), reads(nut, 0.6, 0.0, ReadingSense::at_least)},
                        any_phi);
  CHECK_FALSE(state.interval(nut));
}

TEST_CASE("contact is a bound on relief") {
  const NeckGeometry n = neck(16);
  const StateRow relief = row(n, string(0), 7, {1, 16});
  const NeckState state({reads(relief, 0.025, 0.0, ReadingSense::at_most)}, any_phi);
  const Range found = state.interval(relief).value();
  CHECK(found.hi == Approx(0.025));
  CHECK(found.lo < -0.5);
  CHECK_FALSE(state.determined(relief));
}

TEST_CASE("strings nobody measured stay undetermined, whatever the others say") {
  const NeckGeometry n = neck(14);
  const NeckState state(
      {reads(row(n, string(0), 7, {1, 14}), .20), reads(row(n, string(0), 1), .46), reads(row(n, string(0), 12), 2.4)},
      any_phi);
  CHECK_FALSE(state.determined(row(n, string(3), 12)));
  CHECK(state.determined(row(n, string(3), 7, {1, 14})));  // relief is the neck's
  const auto anything = state.interval(row(n, string(3), 12));
  REQUIRE(anything);
  CHECK(anything->width() > 5.0);
}

TEST_CASE("a string between the sides follows the radius where its saddle does") {
  const NeckGeometry n = neck(14);
  const StringLinks inner{2, {{0, 0.4}, {1, 0.6}}, 0.5, 0};
  const NeckState state(
      {reads(row(n, string(0), 7, {1, 14}), .20), reads(row(n, string(0), 1), .46), reads(row(n, string(0), 12), 2.4),
       reads(row(n, string(1), 1), .36), reads(row(n, string(1), 12), 1.8), reads(row(n, inner, 1), .40)},
      any_phi);
  const double bass = value_of(state, only(Unknown::Kind::saddle_height, 0));
  const double treble = value_of(state, only(Unknown::Kind::saddle_height, 1));
  const double nut = value_of(state, only(Unknown::Kind::nut_height, 2));
  const double sag =
      value_of(state, only(Unknown::Kind::neck_bend)) * gap_row(n, {Station::fret, 12, {}})->neck_bend.base;
  CHECK(value_of(state, row(n, inner, 12)) == Approx((nut + 0.4 * bass + 0.6 * treble + 0.5) / 2.0 + sag));
}

TEST_CASE("a pickup's height is one more unknown, and then follows a rod job") {
  const NeckGeometry n = neck(16);
  const StateRow pickup = state_row(gap_row(n, {Station::pickup, 0.85, {22}}).value(), string(0));
  const std::vector<StateReading> three{reads(row(n, string(0), 7, {1, 16}), .20), reads(row(n, string(0), 1), .45),
                                        reads(row(n, string(0), 12), 1.6)};
  CHECK_FALSE(NeckState(three, any_phi).determined(pickup));
  std::vector<StateReading> four = three;
  four.push_back(reads(pickup, 2.4));
  const NeckState state(four, any_phi);
  CHECK(value_of(state, pickup) == Approx(2.4));
  CHECK(state.redundancy() == 0);
  CHECK(state.determined(state_row(gap_row(n, {Station::pickup, 0.85, {}}).value(), string(0))));
}

TEST_CASE("known rises are taken off a reading before it speaks of the neck") {
  const NeckGeometry n = neck(14);
  const GapRow relief = gap_row(n, {Station::fret, 7, {1, 14}}).value();
  const std::vector<FretRise> proud{{7, 0.05}};
  const NeckState state({reads(state_row(relief, string(0), proud), 0.15)}, any_phi);
  const NeckState even({reads(state_row(relief, string(0)), 0.20)}, any_phi);
  const StateRow bend = only(Unknown::Kind::neck_bend);
  CHECK(value_of(state, bend) == Approx(value_of(even, bend)));
  CHECK(value_of(state, state_row(relief, string(0), proud)) == Approx(0.15));
}

TEST_CASE("contradictions show only with more readings than unknowns") {
  const NeckGeometry n = neck(14);
  std::vector<StateReading> readings{reads(row(n, string(0), 7, {1, 14}), .20), reads(row(n, string(0), 1), .46),
                                     reads(row(n, string(0), 12), 2.4)};
  const NeckState three(readings, any_phi);
  CHECK(three.redundancy() == 0);  // nothing to check these against
  CHECK(three.contradictions().empty());

  const double at9 = value_of(three, row(n, string(0), 9));
  readings.push_back(reads(row(n, string(0), 9), at9 + 0.005));
  const NeckState agreeing(readings, any_phi);
  CHECK(agreeing.redundancy() == 1);
  CHECK(agreeing.contradictions().empty());

  readings.back().value = at9 + 0.3;
  const auto found = NeckState(readings, any_phi).contradictions();
  REQUIRE_FALSE(found.empty());
  for (const Contradiction& one : found) CHECK(std::abs(one.residual) > 2.0 * one.u);
}

TEST_CASE("readings that some phi reconciles do not contradict each other") {
  const NeckGeometry n = neck(14, 20);
  const StringLinks s = string(0);
  // The true instrument: phi 0.5, r .3.
  const StringState truth{0.4, 4.0, 0.3, 0.0, {}};
  const auto at = [&](double fret, std::vector<double> held) {
    const GapRow form = gap_row(n, {Station::fret, fret, std::move(held)}).value();
    return reads(state_row(form, s), gap(form, truth, 0.5), 0.005);
  };
  const std::vector<StateReading> readings{at(7, {1, 14}), at(1, {}), at(12, {}), at(18, {1})};
  CHECK(NeckState(readings, {0.5, 0.5}).contradictions().empty());
  CHECK(NeckState(readings, any_phi).contradictions().empty());
  CHECK_FALSE(NeckState(readings, {0.0, 0.0}).contradictions().empty());
}

TEST_CASE("better readings weigh more") {
  const NeckGeometry n = neck(14);
  const StateRow relief = row(n, string(0), 7, {1, 14});
  const NeckState state({reads(relief, 0.20, 0.01), reads(relief, 0.30, 0.03)}, any_phi);
  // Textbook: weights 9 to 1.
  CHECK(value_of(state, relief) == Approx(0.21));
  CHECK(state.value(relief)->u == Approx(0.03 / std::sqrt(10.0)));
  const NeckState stated({reads(relief, 0.20, 0.0), reads(relief, 0.30, 0.03)}, any_phi);
  CHECK(value_of(stated, relief) == Approx(0.20).margin(1e-6));
  const NeckState unstated({reads(relief, 0.20, 0.0), reads(relief, 0.30, 0.0)}, any_phi);
  CHECK(value_of(unstated, relief) == Approx(0.25));
  CHECK(unstated.value(relief)->u == 0.0);
}

TEST_CASE("nothing read determines nothing") {
  const NeckState state({}, any_phi);
  const StateRow wanted = row(neck(14), string(0), 12);
  CHECK_FALSE(state.determined(wanted));
  CHECK(state.contradictions().empty());
  CHECK(state.redundancy() == 0);
  CHECK(state.interval(wanted));
}
