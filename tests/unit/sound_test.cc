// Sour chords, choking notes, and what rod jobs teach: the model behind a visit, held against the oracle and published facts.
#include <catch2/catch.hpp>

#include "engine/book/learn.h"
#include "engine/judge/clean.h"
#include "engine/judge/heights.h"
#include "engine/judge/sourness.h"
#include "tests/support/model_oracle.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

using oracle::mm;

SourChord chord_of(const std::string& nut_gap, const std::string& octave = "", const std::string& chord = "x02220") {
  const auto shop = open_shop(
      {stick_profile},
      stick_visit("relief: 0.20 mm, nut_gap: " + nut_gap + ", action: {bass: 1.6 mm, treble: 1.3 mm}" + octave,
                  "player: {chords: [\"" + chord + "\"]}\n"),
      stick_house);
  INFO(shop->told());
  REQUIRE(shop->program);
  const auto chords = sourness(*shop->program, judge(*shop->program));
  REQUIRE(chords.size() == 1);
  return chords.front();
}

double cause(const SourNote& note, const std::string& what) {
  for (const SourCause& each : note.causes) {
    if (each.what == what) return each.cents;
  }
  return 0;
}

}  // namespace

TEST_CASE("a chord has a note for each fretted string, and nothing is blamed on heights that are at their aims") {
  const SourChord chord = chord_of("0.45 mm");
  REQUIRE(chord.notes.size() == 3);  // x02220: three strings at fret 2
  for (const SourNote& note : chord.notes) {
    CHECK(note.fret == 2);
    CHECK(cause(note, "the nut's height") == Approx(0).margin(0.05));
  }
}

TEST_CASE("high nut slots sharpen the low frets, and the nut is named as the cause") {
  const SourChord right = chord_of("0.45 mm");
  const SourChord high = chord_of("1.00 mm");
  for (const SourNote& note : high.notes) {
    CHECK(cause(note, "the nut's height") > 0.5);
    CHECK(note.causes.front().what == "the nut's height");
    const auto same = std::find_if(right.notes.begin(), right.notes.end(),
                                   [&](const SourNote& each) { return each.string == note.string; });
    CHECK(note.cents > same->cents);
  }
}

TEST_CASE("a chord's spread counts an open string as true only where the chord has one") {
  const auto ends = [](const SourChord& chord) {
    return std::pair(chord.notes.front().cents, chord.notes.back().cents);
  };
  const SourChord barred = chord_of("0.60 mm", "", "133211");
  const auto [sharpest, flattest] = ends(barred);
  REQUIRE(flattest > 0);
  CHECK(barred.spread == Approx(sharpest - flattest));
  const SourChord open = chord_of("0.60 mm", "", "023220");
  CHECK(open.notes.back().cents > 0);
  CHECK(open.spread == Approx(ends(open).first));
}

TEST_CASE("a chord is said to be heard from 2 cents on") {
  CHECK_FALSE(chord_of("0.45 mm", "", "133211").heard);
  const SourChord high = chord_of("1.00 mm", "", "133211");
  CHECK(high.notes.front().cents >= 2.0);
  CHECK(high.heard);
}

// The oracle's formula (Anderson & Beausoleil 2024, written apart from the engine's) on the same string.
TEST_CASE("the cents of a plain string are those of the published formula") {
  const auto shop = open_shop(
      {stick_profile},
      stick_visit("relief: 0.20 mm, nut_gap: 0.80 mm, action: {bass: 1.8 mm, treble: 1.5 mm}, octave_error: 6 cents",
                  "player: {chords: [\"000200\"]}\n"),
      stick_house);
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const auto chords = sourness(*shop->program, judgement);
  REQUIRE(chords.front().notes.size() == 1);
  const Heights heights(*shop->program, judgement);
  oracle::Note string;
  string.scale = 648;
  string.nut = heights.nut(2).value();
  string.saddle = heights.saddle(2).value();
  const oracle::Real pi = std::acos(-1.0L), d = 17 * 0.0254L;
  const oracle::Real hertz = 440 * std::pow(2.0L, -14.0L / 12);  // G3
  const oracle::Real mass = 7850 * pi * d * d / 4 * 1e-6L;       // kg/m, music wire's density as spring tables give it
  const oracle::Real speed = 2 * 0.648L * hertz;
  string.kappa = 203400 * pi * d * d / 4 / (mass * speed * speed);  // Shigley, Table 10-5
  string.radius = d / 2;
  oracle::Instrument neck;
  neck.joint = 16;
  neck.bend = heights.bend().value();
  neck.phi = 0.5L;
  string.height = oracle::line(neck, oracle::share(12));
  oracle::Real lo = -20, hi = 20;  // the setback at which the 12th is 6 cents sharp, by halving
  for (int i = 0; i < 100; ++i) {
    string.saddle_setback = (lo + hi) / 2;
    (oracle::cents(string, 12) > 6 ? lo : hi) = string.saddle_setback;
  }
  string.height = oracle::line(neck, oracle::share(2));
  CHECK(chords.front().notes.front().cents == Approx(static_cast<double>(oracle::cents(string, 2))).margin(0.01));
}

// The same for wound strings, with the two defaults the chord says it takes: a core of 0.4 of the diameter, 0.82 of steel's weight.
TEST_CASE("the cents of a wound string are those of the published formula with the stated defaults") {
  const auto shop = open_shop(
      {stick_profile},
      stick_visit("relief: 0.20 mm, nut_gap: 0.80 mm, action: {bass: 1.8 mm, treble: 1.5 mm}, octave_error: 3 cents",
                  "player: {chords: [\"002000\"]}\n"),
      stick_house);
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const auto chords = sourness(*shop->program, judgement);
  REQUIRE(chords.front().notes.size() == 1);
  REQUIRE(chords.front().assumed.size() == 1);
  CHECK(chords.front().assumed.front() ==
        "wound strings have a core of 0.4 of their diameter and weigh 0.82 of solid steel");
  const Heights heights(*shop->program, judgement);
  oracle::Note string;
  string.scale = 648;
  string.nut = heights.nut(3).value();
  string.saddle = heights.saddle(3).value();
  const oracle::Real pi = std::acos(-1.0L), d = 26 * 0.0254L, core = 0.4L * d;
  const oracle::Real hertz = 440 * std::pow(2.0L, -19.0L / 12);  // D3
  const oracle::Real mass = 0.82L * 7850 * pi * d * d / 4 * 1e-6L;
  const oracle::Real speed = 2 * 0.648L * hertz;
  string.kappa = 203400 * pi * core * core / 4 / (mass * speed * speed);
  string.radius = core / 2;
  oracle::Instrument neck;
  neck.joint = 16;
  neck.bend = heights.bend().value();
  neck.phi = 0.5L;
  string.height = oracle::line(neck, oracle::share(12));
  oracle::Real lo = -20, hi = 20;
  for (int i = 0; i < 100; ++i) {
    string.saddle_setback = (lo + hi) / 2;
    (oracle::cents(string, 12) > 3 ? lo : hi) = string.saddle_setback;
  }
  string.height = oracle::line(neck, oracle::share(2));
  CHECK(chords.front().notes.front().cents == Approx(static_cast<double>(oracle::cents(string, 2))).margin(0.01));
}

TEST_CASE("a chord without the readings it needs says which") {
  const auto shop =
      open_shop({stick_profile}, stick_visit("relief: 0.20 mm", "player: {chords: [x02220]}\n"), stick_house);
  REQUIRE(shop->program);
  const auto chords = sourness(*shop->program, judge(*shop->program));
  CHECK(chords.front().notes.empty());
  CHECK_FALSE(chords.front().missing.empty());
}

TEST_CASE("a chord that is none, or of another instrument, is a mistake with its place") {
  const auto none =
      open_shop({stick_profile}, stick_visit("relief: 0.20 mm", "player: {chords: [x0z220]}\n"), stick_house);
  CHECK_FALSE(none->program);
  CHECK(none->told().find("E507") != std::string::npos);
  const auto four =
      open_shop({stick_profile}, stick_visit("relief: 0.20 mm", "player: {chords: [\"0003\"]}\n"), stick_house);
  CHECK_FALSE(four->program);
}

TEST_CASE("a proud fret stops the notes before it, and the lowest clean action is the oracle's") {
  const auto shop = open_shop(
      {stick_profile},
      stick_visit("relief: 0.10 mm, nut_gap: 0.45 mm, action: {bass: 1.5 mm, treble: 1.2 mm}, rise: {14: 0.15 mm}",
                  "wants: {action: {treble: 0.8 mm}}\n"),
      stick_house);
  INFO(shop->told());
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const auto sides = clean_sides(*shop->program, judgement);
  REQUIRE(sides.size() == 2);
  const CleanSide& treble = sides[1];
  CHECK(treble.aim == Approx(0.8));
  CHECK_FALSE(treble.stopped.empty());
  for (const auto& note : treble.stopped) CHECK(note.stopped_at == 14);
  const Heights heights(*shop->program, judgement);
  oracle::Instrument it;
  it.joint = 16;
  it.phi = 0.5L;
  it.bend = heights.bend().value();
  it.nut = heights.nut(0).value();
  it.rise.assign(22, 0);
  it.rise[13] = 0.15L;
  it.saddle = oracle::lowest_saddle(it, 22, 0.01L);
  const double expected =
      static_cast<double>(oracle::string_height(it, oracle::share(12), {}) - oracle::line(it, oracle::share(12)));
  REQUIRE(treble.lowest_now);
  CHECK(*treble.lowest_now == Approx(expected).margin(1e-6));
  REQUIRE(treble.lowest_levelled);
  CHECK(*treble.lowest_levelled < *treble.lowest_now);
}

TEST_CASE("phi is learnt back from logs of rod jobs on necks that bend by it") {
  std::vector<std::unique_ptr<Shop>> shops;
  std::vector<Program> programs;
  for (const oracle::Real dr : {-0.2L, -0.15L, 0.12L, 0.18L}) {
    oracle::Instrument before;
    before.joint = 16;
    before.phi = 0.35L;
    before.bend = 0.4L;
    before.nut = 0.5L;
    before.saddle = 3.2L;
    const auto after = oracle::after_rod(before, dr);
    const auto read = [](const oracle::Instrument& it) {
      return "relief: " + mm(oracle::gap_at_fret(it, 7, {1, 16})) + ", action: " + mm(oracle::gap_at_fret(it, 12, {}));
    };
    const std::string log = stick_visit(read(before)) + "  - did: " + (dr < 0 ? "tighten" : "loosen") +
                            "\n  - read: {" + read(after) + "}\n";
    shops.push_back(open_shop({stick_profile}, log, stick_house));
    INFO(shops.back()->told());
    REQUIRE(shops.back()->program);
    programs.push_back(*shops.back()->program);
  }
  const auto learnt = learn(programs);
  REQUIRE(learnt.size() == 1);
  CHECK(learnt.front().profile == "stick");
  CHECK(learnt.front().jobs == 4);
  CHECK(learnt.front().pairs == 8);
  REQUIRE(learnt.front().phi);
  CHECK(learnt.front().phi->phi == Approx(0.35).margin(0.01));
}

TEST_CASE("what was done between two readings besides the rod makes no pair") {
  const std::string log = stick_visit("relief: 0.40 mm, action: 2.0 mm") +
                          "  - did: [tighten, lower]\n  - read: {relief: 0.20 mm, action: 1.5 mm}\n";
  const auto shop = open_shop({stick_profile}, log, stick_house);
  REQUIRE(shop->program);
  CHECK(rod_evidence(*shop->program).pairs.empty());
}
