// The engine's model against a second implementation (tests/support/model_oracle.h) that shares no code with it: first
// the second one against the published values, then both on 10,000 random instruments each, to 1e-9 relative.
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "engine/model/clearance.h"
#include "engine/model/frets.h"
#include "engine/model/fretted_pitch.h"
#include "engine/model/neck_state.h"
#include "engine/model/pitch_causes.h"
#include "engine/model/rod_job.h"
#include "engine/model/saddle_place.h"
#include "engine/model/string_line.h"
#include "tests/support/model_oracle.h"

using namespace stringline::model;

namespace {

constexpr int instruments = 10000;

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  // Written out rather than std::uniform_real_distribution, whose draws differ between libraries.
  double between(double lo, double hi) { return lo + (hi - lo) * (static_cast<double>(engine_()) / 4294967296.0); }
  int whole(int lo, int hi) { return std::min(hi, lo + static_cast<int>(between(0.0, hi - lo + 1.0))); }
  bool chance(double share) { return between(0.0, 1.0) < share; }

 private:
  std::mt19937 engine_;
};

// `size` is what the digits are counted against: the largest of the terms a value is made of.
bool agree(double engine, oracle::Real second, double size) {
  return std::fabs(static_cast<double>(static_cast<oracle::Real>(engine) - second)) <=
         1e-9 * std::max({size, std::fabs(engine), std::fabs(static_cast<double>(second))});
}

oracle::Note to_oracle(const FrettedString& string, int fret) {
  oracle::Note note;
  note.scale = string.scale_mm;
  note.nut = string.nut_height;
  note.saddle = string.saddle_height;
  note.saddle_setback = string.saddle_setback;
  note.nut_setback = string.nut_setback;
  note.kappa = string.kappa;
  note.radius = string.bending_radius;
  note.finger = string.touch.finger_mm;
  note.push = string.touch.push_mm;
  note.flat = string.top(fret).flat_mm;
  note.height = string.top(fret).height_mm;
  return note;
}

FrettedString random_string(Dice& dice) {
  FrettedString string;
  string.scale_mm = dice.between(330.0, 1000.0);
  string.nut_height = dice.between(0.1, 2.0);
  string.saddle_height = dice.between(1.0, 12.0);
  string.saddle_setback = dice.between(-4.0, 8.0);
  string.nut_setback = dice.between(-1.0, 1.0);
  string.kappa = dice.between(10.0, 300.0);
  string.bending_radius = dice.between(0.05, 0.9);
  if (dice.chance(0.7)) string.touch = {dice.between(0.0, 12.0), dice.chance(0.5) ? dice.between(0.0, 2.5) : 0.0};
  for (int fret = 1; fret <= 20; ++fret) {
    string.tops.push_back({dice.between(-0.4, 0.1), dice.chance(0.4) ? dice.between(0.0, 2.0) : 0.0});
  }
  return string;
}

struct RandomNeck {
  NeckGeometry neck;
  StringState state;
  double phi = 0.0;
  oracle::Instrument same;
};

RandomNeck random_neck(Dice& dice) {
  RandomNeck r;
  r.neck = {dice.between(330.0, 900.0), dice.whole(18, 24), static_cast<double>(dice.whole(12, 17)),
            dice.chance(0.1) ? 5 : 0, false};
  r.phi = dice.between(0.0, 1.0);
  r.state.nut_height = dice.between(0.05, 1.5);
  r.state.saddle_height = dice.between(1.0, 12.0);
  r.state.neck_bend = dice.between(-0.5, 1.2);
  r.state.pickup_height = dice.between(-8.0, -1.0);
  r.same = {r.neck.joint_fret,     r.state.neck_bend, r.phi, r.state.nut_height, r.state.saddle_height,
            r.state.pickup_height, r.neck.first_fret, {}};
  r.same.rise.resize(static_cast<std::size_t>(r.neck.frets), 0.0L);
  for (int i = dice.whole(0, 4); i > 0; --i) {
    const int fret = dice.whole(1, r.neck.frets);
    const double rise = dice.between(-0.1, 0.2);
    r.state.rises.push_back({fret, rise});
    r.same.rise[static_cast<std::size_t>(fret - 1)] += rise;
  }
  return r;
}

std::vector<int> random_held(Dice& dice, const NeckGeometry& neck) {
  std::vector<int> held;
  for (int fret = neck.first_fret + 1; fret <= neck.frets; ++fret) {
    if (dice.chance(0.08)) held.push_back(fret);
  }
  return held;
}

GapMethod method_of(int at, const std::vector<int>& held) {
  return {Station::fret, static_cast<double>(at), {held.begin(), held.end()}};
}

}  // namespace

TEST_CASE("the second implementation meets the published table of strings and the measured guitar") {
  // Anderson & Beausoleil 2024: the prototype's terms, the regression's rms at the printed setbacks, the measured
  // guitar.
  oracle::Note prototype;
  prototype.scale = 650;
  prototype.nut = 1;
  prototype.saddle = 5;
  prototype.kappa = 51;
  prototype.radius = 0.43L;
  CHECK(double(oracle::cents(prototype, 12)) == Approx(5.975).margin(.006).epsilon(0));
  CHECK(double(oracle::cents(prototype, 1)) == Approx(1.727).margin(.001).epsilon(0));
  oracle::Note set_back = prototype;
  set_back.finger = 10;
  set_back.saddle_setback = 1.9L;
  set_back.nut_setback = -0.37L;
  CHECK(double(oracle::stretch(set_back, 1)) == Approx(47e-6).margin(0.5e-6).epsilon(0));

  for (std::size_t i = 0; i < published::nylon_set.size(); ++i) {
    const published::NylonString& row = published::nylon_set[i];
    CAPTURE(row.note);
    oracle::Note string = prototype;
    string.kappa = row.kappa;
    string.radius = row.radius_mm;
    string.saddle_setback = row.saddle_setback;
    string.nut_setback = row.nut_setback;
    oracle::Real squares = 0;
    for (int fret = 1; fret <= 12; ++fret) squares += oracle::cents(string, fret) * oracle::cents(string, fret);
    CHECK(double(std::sqrt(squares / 12)) == Approx(row.rms).margin(0.02).epsilon(0));

    oracle::Note guitar = string;
    guitar.scale = 652;
    guitar.nut = 1.4L;
    guitar.saddle = 1.4L + 5.5L;
    guitar.saddle_setback = -3.5L;
    guitar.nut_setback = 0;
    guitar.finger = 10;
    const published::MeasuredString& measured = published::measured_guitar[i];
    CHECK(double(oracle::cents(guitar, 1)) > published::measured_fret1_lo - published::measured_band);
    CHECK(double(oracle::cents(guitar, 1)) < published::measured_fret1_hi + published::measured_band);
    CHECK(double(oracle::cents(guitar, 12)) > measured.fret12_lo - published::measured_band);
    CHECK(double(oracle::cents(guitar, 12)) < measured.fret12_hi + published::measured_band);
  }
}

TEST_CASE("the second implementation meets the tables of saddle moves and of heights") {
  // Derived table: exact moves at 650, 647.7 and 628.65 mm.
  CHECK(double(oracle::saddle_move(650, 325, 5)) == Approx(1.8854).margin(6e-5).epsilon(0));
  CHECK(double(oracle::saddle_move(647.7L, 323.85L, 10)) == Approx(3.7740).margin(6e-5).epsilon(0));
  CHECK(double(oracle::saddle_move(628.65L, 314.325L, -10)) == Approx(-3.6000).margin(6e-5).epsilon(0));
  // Derived: both reference shapes' move of the 12th per unit of r.
  for (const auto& [joint, tangent, sagging] : {std::tuple{12, 2.0, 0.0}, std::tuple{14, 1.9613, 0.3548},
                                                std::tuple{16, 1.8830, 0.5671}, std::tuple{17, 1.8391, 0.6413}}) {
    for (const double phi : {0.0, 1.0}) {
      oracle::Instrument before;
      before.joint = joint;
      before.phi = phi;
      before.nut = 0.4L;
      before.saddle = 3.0L;
      const oracle::Instrument after = oracle::after_rod(before, 0.1L);
      const oracle::Real per_r = (oracle::gap_at_fret(after, 12, {}) - oracle::gap_at_fret(before, 12, {})) / 0.1L;
      CHECK(double(per_r) == Approx(phi == 0.0 ? sagging : tangent).margin(6e-5).epsilon(0));
    }
  }
  // Derived vectors: .20, .46, 2.4 with a 14th joint; .5, 2.0 on a straight neck.
  const oracle::Heights bent = oracle::heights_from(14, 0.20L, 7, 1, 0.46L, 2.4L);
  CHECK(double(bent.bend) == Approx(.2506).margin(6e-5).epsilon(0));
  CHECK(double(bent.nut) == Approx(.1232).margin(6e-5).epsilon(0));
  const oracle::Heights straight = oracle::heights_from(14, 0.0L, 7, 1, 0.5L, 2.0L);
  CHECK(double(straight.nut) == Approx(.31033).margin(1e-5).epsilon(0));
  CHECK(double(straight.saddle) == Approx(3.68967).margin(1e-5).epsilon(0));
}

TEST_CASE("fretted pitch agrees with the second implementation on random strings") {
  const unsigned seed = 20260731;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  for (int i = 0; i < instruments; ++i) {
    const FrettedString string = random_string(dice);
    const int fret = dice.whole(1, 24);
    const CentsTerms terms = fretted_cents(string, fret);
    const double size = std::fabs(terms.length) + terms.density + terms.tension + std::fabs(terms.stiffness);
    if (agree(terms.total(), oracle::cents(to_oracle(string, fret), fret), size)) continue;
    ++disagreements;
    UNSCOPED_INFO("string " << i << ", fret " << fret << ": " << terms.total());
  }
  CHECK(disagreements == 0);
}

TEST_CASE("causes add up to the whole error on random strings") {
  const unsigned seed = 4711;
  CAPTURE(seed);
  Dice dice(seed);
  int wrong = 0;
  for (int i = 0; i < instruments / 10; ++i) {
    const FrettedString string = random_string(dice);
    const CausesOfError causes = causes_of_error(string, dice.whole(1, 24));
    double sum = causes.reference + causes.together;
    double size = 1.0;
    for (const CauseShare& share : causes.shares) {
      sum += share.cents;
      size += std::fabs(share.cents);
    }
    wrong += std::fabs(sum - causes.total) <= 1e-12 * size && std::fabs(causes.reference) < 1e-9 ? 0 : 1;
  }
  CHECK(wrong == 0);
}

TEST_CASE("every gap agrees with heights laid out point by point") {
  const unsigned seed = 1959;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  int compared = 0;
  for (int i = 0; i < instruments; ++i) {
    const RandomNeck r = random_neck(dice);
    const std::vector<int> held = random_held(dice, r.neck);
    const int at = dice.whole(r.neck.first_fret + 1, r.neck.frets);
    if (const auto row = gap_row(r.neck, method_of(at, held))) {
      ++compared;
      const double size = r.state.saddle_height;
      disagreements += agree(gap(*row, r.state, r.phi), oracle::gap_at_fret(r.same, at, held), size) ? 0 : 1;
    } else {
      CHECK(std::find(held.begin(), held.end(), at) != held.end());  // the one thing that may be refused here
    }
    const double place = dice.between(fret_share(r.neck.frets) + 0.01, 0.98);
    const auto pickup = gap_row(r.neck, {Station::pickup, place, {held.begin(), held.end()}});
    REQUIRE(pickup);
    disagreements += agree(gap(*pickup, r.state, r.phi), oracle::gap_at_pickup(r.same, place, held), 12.0) ? 0 : 1;
  }
  CHECK(disagreements == 0);
  CHECK(compared > instruments * 8 / 10);
}

TEST_CASE("effects of rod, nut, saddle and level agree with the difference of two instruments") {
  const unsigned seed = 26;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  for (int i = 0; i < instruments; ++i) {
    const RandomNeck r = random_neck(dice);
    const std::vector<int> held = random_held(dice, r.neck);
    const int at = dice.whole(r.neck.first_fret + 1, r.neck.frets);
    const auto row = gap_row(r.neck, method_of(at, held));
    if (!row) continue;
    const oracle::Real before = oracle::gap_at_fret(r.same, at, held);
    const auto moved = [&](const oracle::Instrument& after) { return oracle::gap_at_fret(after, at, held) - before; };
    oracle::Instrument nut = r.same, saddle = r.same;
    nut.nut += 1;
    saddle.saddle += 1;
    const auto coefficient = [&](Control control) { return effect(*row, r.neck, control).at(r.phi); };
    disagreements += agree(coefficient(Control::neck_bend), moved(oracle::after_rod(r.same, 1)), 1.0) ? 0 : 1;
    disagreements += agree(coefficient(Control::nut_height), moved(nut), 1.0) ? 0 : 1;
    disagreements += agree(coefficient(Control::saddle_height), moved(saddle), 1.0) ? 0 : 1;
    const oracle::Instrument level = oracle::after_level(r.same, r.neck.frets, 1);
    disagreements += agree(coefficient(Control::fret_plane), moved(level), 1.0) ? 0 : 1;
    const Range range = effect(*row, r.neck, Control::neck_bend).over(any_phi);
    disagreements +=
        range.lo <= coefficient(Control::neck_bend) + 1e-12 && coefficient(Control::neck_bend) <= range.hi + 1e-12 ? 0
                                                                                                                   : 1;
  }
  CHECK(disagreements == 0);
}

TEST_CASE("saddle moves agree with halving an interval") {
  const unsigned seed = 147;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  for (int i = 0; i < instruments; ++i) {
    const double scale = dice.between(330.0, 1000.0);
    const double setback = dice.between(-4.0, 8.0);
    const SpeakingLengths lengths = lengths_of({scale, setback, static_cast<double>(dice.whole(5, 19))});
    const double cents = dice.between(-60.0, 60.0);
    const auto move = saddle_move(lengths, cents);
    REQUIRE(move);
    disagreements += agree(*move, oracle::saddle_move(lengths.open_mm, lengths.fretted_mm, cents), 1e-3) ? 0 : 1;
    disagreements += agree(*cents_of_move(lengths, *move), -cents, 1e-3) ? 0 : 1;
  }
  CHECK(disagreements == 0);
}

TEST_CASE("a state solved from readings predicts every other reading of the same instrument") {
  const unsigned seed = 648;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  for (int i = 0; i < instruments; ++i) {
    RandomNeck r = random_neck(dice);
    r.neck.first_fret = 0;
    r.same.first_fret = 0;
    const int joint = static_cast<int>(r.neck.joint_fret);
    const StringLinks links{0, {{0, 1.0}}, 0.0, 0};
    const auto row = [&](int at, const std::vector<int>& held) {
      return state_row(gap_row(r.neck, method_of(at, held)).value(), links, r.state.rises);
    };
    const auto reading = [&](int at, const std::vector<int>& held) {
      return StateReading{row(at, held), static_cast<double>(oracle::gap_at_fret(r.same, at, held)), 0.01};
    };
    const NeckState state({reading(7, {1, joint}), reading(1, {}), reading(12, {})}, {r.phi, r.phi});
    const int at = dice.whole(2, r.neck.frets);
    const std::vector<int> held = dice.chance(0.5) ? std::vector<int>{1} : std::vector<int>{};
    const auto found = state.value(row(at, held));
    REQUIRE(found);
    disagreements += agree(found->value.lo, oracle::gap_at_fret(r.same, at, held), 12.0) ? 0 : 1;
    CHECK(state.redundancy() == 0);

    // And over an open phi the interval holds the truth.
    const NeckState open({reading(7, {1, joint}), reading(1, {}), reading(12, {})}, any_phi);
    const Range between = open.value(row(at, held)).value().value;
    const double truth = static_cast<double>(oracle::gap_at_fret(r.same, at, held));
    disagreements += between.lo - 1e-9 <= truth && truth <= between.hi + 1e-9 ? 0 : 1;
  }
  CHECK(disagreements == 0);
}

TEST_CASE("a state solved from readings gives those readings back, spare ones too") {
  const unsigned seed = 2961;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  int spare = 0;
  for (int i = 0; i < instruments; ++i) {
    RandomNeck r = random_neck(dice);
    r.neck.first_fret = 0;
    r.same.first_fret = 0;
    const StringLinks links{0, {{0, 1.0}}, 0.0, 0};
    std::vector<StateReading> readings;
    const int count = dice.whole(1, 7);
    while (static_cast<int>(readings.size()) < count) {
      const int at = dice.whole(1, r.neck.frets);
      const std::vector<int> held = dice.chance(0.5) ? random_held(dice, r.neck) : std::vector<int>{};
      const auto row = gap_row(r.neck, method_of(at, held));
      if (!row) continue;
      readings.push_back({state_row(*row, links, r.state.rises),
                          static_cast<double>(oracle::gap_at_fret(r.same, at, held)), dice.between(0.005, 0.05)});
    }
    const NeckState state(readings, {r.phi, r.phi});
    spare += state.redundancy() > 0 ? 1 : 0;
    for (const StateReading& reading : readings) {
      const auto found = state.value(reading.row);
      REQUIRE(found);  // what was read is determined
      disagreements += agree(found->value.lo, static_cast<oracle::Real>(reading.value), 12.0) ? 0 : 1;
      disagreements += agree(found->value.hi, static_cast<oracle::Real>(reading.value), 12.0) ? 0 : 1;
    }
  }
  CHECK(disagreements == 0);
  CHECK(spare > instruments / 5);
}

TEST_CASE("heights solved from relief, nut and action agree with the closed forms") {
  const unsigned seed = 14;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  for (int i = 0; i < instruments; ++i) {
    const int joint = dice.whole(12, 17);
    const NeckGeometry neck{650.0, 22, static_cast<double>(joint), 0, false};
    const double relief = dice.between(-0.1, 0.6), nut_gap = dice.between(0.1, 1.2), action = dice.between(0.8, 5.0);
    const StringLinks links{0, {{0, 1.0}}, 0.0, 0};
    const auto read = [&](int at, const std::vector<int>& held, double value) {
      return StateReading{state_row(gap_row(neck, method_of(at, held)).value(), links), value, 0.01};
    };
    const NeckState state({read(7, {1, joint}, relief), read(1, {}, nut_gap), read(12, {}, action)}, any_phi);
    const oracle::Heights expected = oracle::heights_from(joint, relief, 7, 1, nut_gap, action);
    const auto solved = [&](Unknown::Kind kind) {
      return state.value({{{{kind, 0}, {1.0, 0.0}}}, 0.0}).value().value.lo;
    };
    disagreements += agree(solved(Unknown::Kind::neck_bend), expected.bend, 1.0) ? 0 : 1;
    disagreements += agree(solved(Unknown::Kind::nut_height), expected.nut, 1.0) ? 0 : 1;
    disagreements += agree(solved(Unknown::Kind::saddle_height), expected.saddle, 1.0) ? 0 : 1;
  }
  CHECK(disagreements == 0);
}

TEST_CASE("an undetermined reading's interval holds the truth") {
  const unsigned seed = 99;
  CAPTURE(seed);
  Dice dice(seed);
  int misses = 0;
  for (int i = 0; i < instruments / 10; ++i) {
    RandomNeck r = random_neck(dice);
    r.neck.first_fret = 0;
    r.same.first_fret = 0;
    const StringLinks links{0, {{0, 1.0}}, 0.0, 0};
    const auto row = [&](int at, const std::vector<int>& held) {
      return state_row(gap_row(r.neck, method_of(at, held)).value(), links, r.state.rises);
    };
    std::vector<StateReading> readings;
    for (const int at : {9, 12}) {
      if (!dice.chance(0.5)) continue;
      readings.push_back({row(at, {}), static_cast<double>(oracle::gap_at_fret(r.same, at, {})), 0.0});
    }
    const NeckState state(readings, {r.phi, r.phi});
    const int at = dice.whole(1, r.neck.frets);
    const double truth = static_cast<double>(oracle::gap_at_fret(r.same, at, {}));
    const auto interval = state.interval(row(at, {}));
    REQUIRE(interval);
    misses += interval->lo - 1e-7 <= truth && truth <= interval->hi + 1e-7 ? 0 : 1;
  }
  CHECK(misses == 0);
}

TEST_CASE("the lowest clean saddle agrees with halving an interval") {
  const unsigned seed = 22;
  CAPTURE(seed);
  Dice dice(seed);
  int disagreements = 0;
  for (int i = 0; i < instruments / 100; ++i) {  // the second implementation tries every pair sixty times over
    const RandomNeck r = random_neck(dice);
    const ClearanceState state{r.neck, r.state.nut_height, r.state.saddle_height, r.state.neck_bend, r.state.rises};
    const double margin = dice.between(0.0, 0.15);
    const auto lowest = lowest_clean(state, margin, r.phi);
    REQUIRE(lowest);
    disagreements += agree(lowest->saddle_height, oracle::lowest_saddle(r.same, r.neck.frets, margin), 1.0) ? 0 : 1;
  }
  CHECK(disagreements == 0);
}
