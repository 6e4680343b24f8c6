#include "engine/model/frets.h"

#include <catch2/catch.hpp>

using namespace stringline::model;

TEST_CASE("frets of a 25 inch scale lie where the published table has them") {
  // "Guitar bits 'n' bobs", stuphi.co.uk 2006, distance to the bridge; tolerance 0.0005 of either unit.
  const double inches[] = {23.597, 22.272, 21.022, 19.843, 18.729, 17.678, 16.685, 15.749, 14.865, 14.031};
  const double mm[] = {599.360, 565.721, 533.969, 504.000, 475.712, 449.013, 423.812, 400.025, 377.573, 356.382};
  for (int fret = 1; fret <= 10; ++fret) {
    CAPTURE(fret);
    // The printed digits themselves are good to half a unit, so their own rounding is allowed for.
    CHECK(fret_to_saddle(25.0, fret) == Approx(inches[fret - 1]).margin(0.000501).epsilon(0));
    CHECK(fret_to_saddle(635.0, fret) == Approx(mm[fret - 1]).margin(0.000501).epsilon(0));
  }
}

TEST_CASE("frets of common scales lie where the formula puts them") {
  // Derived values, tolerance 0.001 mm.
  struct Row {
    double scale;
    int fret;
    double from_nut;
  };
  const Row rows[] = {{650, 1, 36.482},      {650, 2, 70.916},     {650, 3, 103.417},    {650, 5, 163.050},
                      {650, 7, 216.177},     {650, 9, 263.508},    {650, 12, 325.000},   {650, 14, 360.458},
                      {650, 17, 406.525},    {650, 19, 433.089},   {650, 22, 467.600},   {650, 24, 487.500},
                      {647.7, 1, 36.353},    {647.7, 12, 323.850}, {647.7, 14, 359.182}, {647.7, 16, 390.660},
                      {863.6, 1, 48.470},    {863.6, 12, 431.800}, {863.6, 16, 520.880}, {352.425, 1, 19.780},
                      {352.425, 12, 176.213}};
  for (const Row& row : rows) {
    CAPTURE(row.scale, row.fret);
    CHECK(nut_to_fret(row.scale, row.fret) == Approx(row.from_nut).margin(0.001).epsilon(0));
  }
}

TEST_CASE("the divisor of the fret rule is 17.817, and the rule of 18 is refuted") {
  // G. Byers, "Intonation" (summary of American Lutherie 47): 17.817. Derived: 17.817154.
  const double divisor = 650.0 / fret_spacing(650.0, 1);
  CHECK(divisor == Approx(17.817154).margin(1e-6).epsilon(0));
  const auto by_rule = [](double rule) {
    double left = 650.0;
    for (int fret = 1; fret <= 12; ++fret) left -= left / rule;
    return 650.0 - left;
  };
  CHECK(by_rule(17.817) == Approx(325.002).margin(0.001).epsilon(0));
  CHECK(by_rule(18.0) == Approx(322.636).margin(0.001).epsilon(0));
  CHECK(nut_to_fret(650.0, 12) - by_rule(18.0) > 2.3);
}

TEST_CASE("a scale is found from frets 1 and 13") {
  // Derived: 650 mm <-> 306.7592 mm, factor 2.1189262.
  CHECK(scale_from_frets_1_and_13(306.7592) == Approx(650.0).margin(0.001).epsilon(0));
  CHECK(scale_from_frets_1_and_13(1.0) == Approx(2.1189262).margin(1e-7).epsilon(0));
  CHECK(scale_from_frets_1_and_13(nut_to_fret(628.0, 13) - nut_to_fret(628.0, 1)) == Approx(628.0));
}

TEST_CASE("a place on the scale knows its fret") {
  for (const double fret : {0.0, 1.0, 12.0, 15.5, 22.0, 30.0}) CHECK(fret_at_share(fret_share(fret)) == Approx(fret));
  CHECK(fret_share(0) == 0.0);
  CHECK(fret_share(12) == Approx(0.5));
}

TEST_CASE("a drone string that starts at the fifth fret has its own length") {
  const StringScale drone{667.0, 5};
  const StringScale full{667.0, 0};
  CHECK(drone.open_length() == Approx(667.0 * 0.7491535384));
  CHECK(drone.speaking_length(17) == Approx(drone.open_length() / 2.0));
  CHECK(drone.semitones_at(17) == 12);
  CHECK(drone.start_to_fret(7) == Approx(full.start_to_fret(7) - full.start_to_fret(5)));
  const std::vector<double> table = fret_table(drone, 22);
  REQUIRE(table.size() == 17);
  CHECK(table.front() == Approx(fret_spacing(667.0, 6)));
  CHECK(fret_table({667.0, 22}, 22).empty());
}

TEST_CASE("fanned frets keep the same shares on every scale") {
  const StringScale bass{685.8, 0};
  const StringScale treble{647.7, 0};
  for (int fret = 1; fret <= 24; ++fret) {
    CHECK(bass.start_to_fret(fret) / 685.8 == Approx(treble.start_to_fret(fret) / 647.7));
  }
}

TEST_CASE("notes have the frequencies of the handbook") {
  struct Row {
    int note;
    double hertz;
    double within;
  };
  // CRC Handbook of Chemistry and Physics, 14-22, Table 1; half a unit of the last printed digit.
  const Row handbook[] = {{12, 16.352, 5e-4}, {13, 17.324, 5e-4}, {14, 18.354, 5e-4}, {15, 19.445, 5e-4},
                          {16, 20.602, 5e-4}, {17, 21.827, 5e-4}, {36, 65.406, 5e-4}, {37, 69.296, 5e-4},
                          {38, 73.416, 5e-4}, {39, 77.782, 5e-4}, {40, 82.407, 5e-4}, {41, 87.307, 5e-4},
                          {60, 261.63, 5e-3}, {61, 277.18, 5e-3}, {62, 293.66, 5e-3}, {63, 311.13, 5e-3},
                          {64, 329.63, 5e-3}, {65, 349.23, 5e-3}};
  for (const Row& row : handbook) {
    CAPTURE(row.note);
    CHECK(note_hertz(row.note) == Approx(row.hertz).margin(row.within).epsilon(0));
  }
  // OpenStax University Physics, Example 16.5: the open strings of a guitar, tolerance 0.005 Hz.
  const Row guitar[] = {{64, 329.63, 5e-3}, {59, 246.94, 5e-3}, {55, 196.00, 5e-3},
                        {50, 146.83, 5e-3}, {45, 110.00, 5e-3}, {40, 82.41, 5e-3}};
  // Derived: bass E1, A1, B0; G4, C4, D5, E5.
  const Row derived[] = {{28, 41.2034, 5e-5},  {33, 55.000, 5e-5},   {23, 30.8677, 5e-5}, {67, 391.9954, 5e-5},
                         {60, 261.6256, 5e-5}, {74, 587.3295, 5e-5}, {76, 659.2551, 5e-5}};
  for (const Row& row : guitar) CHECK(note_hertz(row.note) == Approx(row.hertz).margin(row.within).epsilon(0));
  for (const Row& row : derived) CHECK(note_hertz(row.note) == Approx(row.hertz).margin(row.within).epsilon(0));
  CHECK(note_hertz(69) == 440.0);  // ISO 16:1975
  // Published slip, not followed: a textbook problem calls 393.88 Hz the note E4.
  CHECK(std::abs(cents_between(393.88, note_hertz(64))) > 300.0);
}

TEST_CASE("just intervals are off the tempered ones by the published cents") {
  // W. Stegall, "Straight Intonation" (2018), Table 1: just minus tempered, tolerance 1e-6.
  struct Row {
    double over, under;
    int semitones;
    double cents;
  };
  const Row rows[] = {{16, 15, 1, 11.731285}, {9, 8, 2, 3.910002}, {6, 5, 3, 15.641287},  {5, 4, 4, -13.686286},
                      {4, 3, 5, -1.955001},   {3, 2, 7, 1.955001}, {5, 3, 9, -15.641287}, {15, 8, 11, -11.731285}};
  for (const Row& row : rows) {
    CAPTURE(row.over, row.under);
    CHECK(cents_between(row.over, row.under) - 100.0 * row.semitones == Approx(row.cents).margin(1e-6).epsilon(0));
  }
  CHECK(ratio_of_cents(1200.0) == Approx(2.0));
}
