#include "engine/value/pitch.h"

#include <catch2/catch.hpp>
#include <string>

using namespace stringline;

TEST_CASE("a pitch is a letter, at most one accidental, and an octave") {
  struct Row {
    std::string text;
    int note;
  };
  const auto row = GENERATE(values<Row>({
      {"A4", 69},
      {"C4", 60},
      {"E2", 40},
      {"Bb3", 58},
      {"A#3", 58},
      {"F#4", 66},
      {"C0", 12},
      {"Cb4", 59},
      {"B#3", 60},
      {"B9", 131},
  }));
  CAPTURE(row.text);
  const auto pitch = parse_pitch(row.text);
  REQUIRE(pitch);
  CHECK(pitch->note == row.note);
  CHECK(pitch->written == row.text);
}

TEST_CASE("what is no pitch is refused") {
  const std::string text = GENERATE("", "E", "2", "e2", "H2", "E22", "Ebb2", "E##2", "Es2", "E-1", " E2", "E2 ", "E#",
                                    "bB3", "E\xE2\x99\xAF");
  CAPTURE(text);
  CHECK_FALSE(parse_pitch(text));
}

TEST_CASE("two spellings of one note are equal and keep their spelling") {
  const auto flat = parse_pitch("Bb3").value();
  const auto sharp = parse_pitch("A#3").value();
  CHECK(flat == sharp);
  CHECK(flat.written != sharp.written);
}

TEST_CASE("twelve semitones double the frequency, and an octave is 1200 cents") {
  const double low = frequency(parse_pitch("E2").value());
  const double high = frequency(parse_pitch("E3").value());
  CHECK(high == Approx(2 * low).epsilon(1e-14));
  CHECK(cents_between(high, low) == Approx(1200.0).epsilon(1e-12));
  CHECK(cents_between(low, high) == Approx(-1200.0).epsilon(1e-12));
  CHECK(frequency(parse_pitch("A4").value()) == 440.0);
}
