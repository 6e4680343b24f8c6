#include "engine/model/chord.h"

#include <catch2/catch.hpp>

using namespace stringline::model;

namespace {

std::vector<FrettedString> six_strings() {
  std::vector<FrettedString> strings;
  for (int i = 0; i < 6; ++i) {
    FrettedString string;
    string.scale_mm = 635.0;
    string.nut_height = 0.5 + (i == 1 ? 0.8 : 0.0);  // the fifth string's slot is high
    string.saddle_height = 3.4;
    string.kappa = 60.0 - i;
    string.bending_radius = 0.15;
    strings.push_back(string);
  }
  return strings;
}

}  // namespace

TEST_CASE("chords are read thickest string first") {
  CHECK(parse_chord("x02220") == ChordFrets{std::nullopt, 0, 2, 2, 2, 0});
  CHECK(parse_chord("X32010") == ChordFrets{std::nullopt, 3, 2, 0, 1, 0});
  CHECK(parse_chord("x-0-12-12-10-x") == ChordFrets{std::nullopt, 0, 12, 12, 10, std::nullopt});
  CHECK(parse_chord("0003") == ChordFrets{0, 0, 0, 3});
  CHECK(parse_chord("5") == ChordFrets{5});
}

TEST_CASE("what is no chord is refused") {
  for (const char* text : {"", "xxxxxx", "x-0-", "-0-2", "x--2", "x 0 2", "x0222y", "x-37-0", "x-+2-0", "1.5-2"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_chord(text));
  }
}

TEST_CASE("a chord tells each note's error and how far they lie apart") {
  const auto chord = parse_chord("x22220");
  REQUIRE(chord);
  const auto errors = chord_errors(*chord, six_strings());
  REQUIRE(errors);
  REQUIRE(errors->notes.size() == 5);
  CHECK(errors->notes.back().cents == 0.0);  // open
  CHECK(errors->notes[0].cents == fretted_cents(six_strings()[1], 2).total());
  CHECK(errors->sharpest.string == 1);
  CHECK(errors->flattest.string == 5);
  CHECK(errors->spread == errors->sharpest.cents - errors->flattest.cents);
  CHECK(errors->spread > 1.0);
}

TEST_CASE("a chord for another number of strings has no errors to tell") {
  CHECK_FALSE(chord_errors(*parse_chord("0003"), six_strings()));
}
