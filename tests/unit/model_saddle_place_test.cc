#include "engine/model/saddle_place.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/model/frets.h"

using namespace stringline::model;

namespace {

SpeakingLengths at12(double scale) { return {scale, scale / 2.0}; }

}  // namespace

TEST_CASE("a saddle moves by the derived distance per cent") {
  // Derived from the exact formula and its linear form; half a unit of the last digit.
  struct Row {
    double scale, per_cent, up5, up5_linear, up10, up10_linear, down10;
  };
  const Row rows[] = {{650.0, .37545, 1.8854, 1.8773, 3.7874, 3.7545, -3.7223},
                      {647.7, .37413, 1.8788, 1.8706, 3.7740, 3.7413, -3.7091},
                      {628.65, .36312, 1.8235, 1.8156, 3.6630, 3.6312, -3.6000}};
  for (const Row& row : rows) {
    CAPTURE(row.scale);
    const SpeakingLengths lengths = at12(row.scale);
    CHECK(saddle_move_linear(lengths, 1.0) == Approx(row.per_cent).margin(6e-6).epsilon(0));
    CHECK(*saddle_move(lengths, 5.0) == Approx(row.up5).margin(6e-5).epsilon(0));
    CHECK(saddle_move_linear(lengths, 5.0) == Approx(row.up5_linear).margin(6e-5).epsilon(0));
    CHECK(*saddle_move(lengths, 10.0) == Approx(row.up10).margin(6e-5).epsilon(0));
    CHECK(saddle_move_linear(lengths, 10.0) == Approx(row.up10_linear).margin(6e-5).epsilon(0));
    CHECK(*saddle_move(lengths, -10.0) == Approx(row.down10).margin(6e-5).epsilon(0));
  }
}

TEST_CASE("the exact move takes the error away, and the way back undoes it") {
  CHECK(*cents_of_move(at12(650.0), 3.7874) == Approx(-10.0).margin(5e-4).epsilon(0));  // derived round trip
  for (const double cents : {-40.0, -3.0, 0.0, 0.001, 2.0, 17.0, 60.0}) {
    const SpeakingLengths lengths{652.1, 328.4};
    CHECK(*cents_of_move(lengths, *saddle_move(lengths, cents)) == Approx(-cents).margin(1e-9));
  }
}

TEST_CASE("a note that is sharp wants the saddle back") {
  // Published direction, makers' manuals.
  CHECK(*saddle_move(at12(648.0), 5.0) > 0.0);
  CHECK(*saddle_move(at12(648.0), -5.0) < 0.0);
  CHECK(*saddle_move(at12(648.0), 0.0) == 0.0);
}

TEST_CASE("a field measurement agrees, and the figure for a fret does not") {
  // T. Stock, MIMF forum: 25.5 in instrument, 20 cents flat to 10 to 0 took about 0.140 in each time; 10 %.
  const SpeakingLengths lengths = at12(25.5);
  CHECK(std::abs(*saddle_move(lengths, -10.0)) == Approx(0.140).epsilon(0.10));
  CHECK(*saddle_move(lengths, 10.0) == Approx(0.1486).margin(6e-5).epsilon(0));
  CHECK(saddle_move_linear(lengths, 10.0) == Approx(0.1473).margin(6e-5).epsilon(0));
  // The often repeated 0.007 in per cent must fail: it is the fret's move, half of the saddle's.
  CHECK_FALSE(*saddle_move(lengths, 1.0) == Approx(0.007).epsilon(0.10));
  CHECK_FALSE(saddle_move_linear(lengths, 1.0) == Approx(0.007).epsilon(0.10));
  CHECK(12.75 * std::log(2.0) / 1200.0 == Approx(0.00736).margin(6e-6).epsilon(0));
}

TEST_CASE("other frets feel a saddle as g - 1, and a nut all alike") {
  // Anderson & Beausoleil 2024 for 2.6634 ct/mm at 650; the other frets derived, cents per mm, linear: for a nominal
  // scale the fretted length gives g/X0 and the open one 1/X0.
  struct Row {
    int fret;
    double cents;
  };
  const Row rows[] = {{1, .158}, {5, .892}, {7, 1.327}, {12, 2.663}, {17, 4.447}, {19, 5.318}};
  for (const Row& row : rows) {
    CAPTURE(row.fret);
    const SpeakingLengths lengths{650.0, fret_to_saddle(650.0, row.fret)};
    CHECK(cents_per_mm(lengths) == Approx(row.cents).margin(6e-4).epsilon(0));
  }
  // The same paper's comment: 1.5 mm of setback is "3-4 cents" at the 12th.
  const double cents = -*cents_of_move(at12(650.0), 1.5);
  CHECK(cents >= 3.0 - 0.005);
  CHECK(cents <= 4.0 + 0.005);
}

TEST_CASE("cents per millimetre at the 12th for many instruments") {
  // Derived; as printed, two digits or three.
  struct Row {
    double scale, cents, within;
  };
  const Row rows[] = {{346, 5.0, .05},   {350, 4.95, .005}, {432, 4.0, .05},   {628, 2.76, .005},
                      {648, 2.67, .005}, {660, 2.62, .005}, {667, 2.60, .005}, {864, 2.0, .05}};
  for (const Row& row : rows) {
    CAPTURE(row.scale);
    CHECK(cents_per_mm(at12(row.scale)) == Approx(row.cents).margin(row.within).epsilon(0));
  }
}

TEST_CASE("setback counts where it is known, and leaves doubt where it is not") {
  const auto unknown = saddle_move_range({628.0}, 1.0);
  REQUIRE(unknown);
  CHECK(unknown->middle() == Approx(0.363).margin(5e-4).epsilon(0));
  CHECK(unknown->width() == Approx(0.04 * unknown->middle()));
  for (const double setback : {0.0, 1.5, 3.0}) {
    const auto known = saddle_move_range({628.0, setback}, 1.0);
    REQUIRE(known);
    CHECK(known->width() == 0.0);
    CHECK(unknown->contains(known->lo));
  }
  const auto flat = saddle_move_range({628.0}, -4.0);
  REQUIRE(flat);
  CHECK(flat->lo < flat->hi);
}

TEST_CASE("no place of the saddle mends an error as large as the octave itself") {
  CHECK_FALSE(saddle_move(at12(650.0), 1200.0));
  CHECK_FALSE(saddle_move_range({650.0}, 1300.0));
  CHECK_FALSE(cents_of_move(at12(650.0), -325.0));
}

TEST_CASE("a mandolin's bridge goes back by what the reference bench wrote") {
  // Invented bench case: scale 350, 17 cents sharp on G and 14 on E moved back 3.5 and 2.9 mm; read to 0.1 mm.
  CHECK(*saddle_move(at12(350.0), 17.0) == Approx(3.5).margin(0.05).epsilon(0));
  CHECK(*saddle_move(at12(350.0), 14.0) == Approx(2.9).margin(0.05).epsilon(0));
}
