#include "engine/model/string_line.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/model/frets.h"

using namespace stringline::model;

namespace {

NeckGeometry neck(double joint, int frets = 22) { return {648.0, frets, joint, 0, false}; }
GapMethod at(double fret, std::vector<double> held = {}) { return {Station::fret, fret, std::move(held)}; }
GapMethod at_pickup(double share, std::vector<double> held = {}) { return {Station::pickup, share, std::move(held)}; }

double coefficient_of(const GapRow& row, int fret) {
  double sum = 0.0;
  for (const FretTerm& term : row.rises) sum += term.fret == fret ? term.coefficient : 0.0;
  return sum;
}

double read(const NeckGeometry& n, const GapMethod& method, const StringState& state, double phi = 0.5) {
  return gap(gap_row(n, method).value(), state, phi);
}

}  // namespace

TEST_CASE("a straight neck's open string hangs on nut and saddle by the published shares") {
  // Derived; the half at the 12th is the published 2:1 rule (B. Michael, Acoustic Guitar, July 2013).
  struct Row {
    double fret, nut, saddle;
  };
  const Row rows[] = {{1, .94387, .05613},  {5, .74915, .25085},  {7, .66742, .33258}, {12, .5, .5},
                      {14, .44545, .55455}, {17, .37458, .62542}, {19, .33371, .66629}};
  for (const Row& expected : rows) {
    CAPTURE(expected.fret);
    const GapRow row = gap_row(neck(16), at(expected.fret)).value();
    CHECK(row.nut_height == Approx(expected.nut).margin(6e-6).epsilon(0));
    CHECK(row.saddle_height == Approx(expected.saddle).margin(6e-6).epsilon(0));
    CHECK(row.fret_plane == Approx(1.0));  // metal taken off every fret opens every open gap by as much
  }
  const GapRow at22 = gap_row(neck(16), at(22)).value();
  CHECK(at22.saddle_height == Approx(0.72).margin(0.005).epsilon(0));
}

TEST_CASE("relief adds to an open gap by the closed forms") {
  const double j = fret_share(14);
  const double x1 = fret_share(1);
  CHECK(gap_row(neck(14), at(12)).value().neck_bend.base == Approx(2.0 * (j - 0.5) / (j * j)));
  CHECK(gap_row(neck(14), at(1)).value().neck_bend.base == Approx(4.0 * x1 * (j - x1) / (j * j)));
  CHECK(gap_row(neck(14), at(12)).value().neck_bend.extra == 0.0);
  // Past the joint the frets follow phi alone.
  const GapRow past = gap_row(neck(14), at(17)).value();
  CHECK(past.neck_bend.base == 0.0);
  CHECK(past.neck_bend.extra == Approx(-4.0 * (fret_share(17) / j - 1.0)));
}

TEST_CASE("a gap between two held frets feels neither nut nor saddle") {
  // Published invariant: relief does not change when nut or saddle height changes.
  for (const double joint : {12.0, 14.0, 16.0}) {
    for (const double last : {joint, 20.0}) {
      const GapRow row = gap_row(neck(joint), at(7, {1, last})).value();
      CHECK(row.nut_height == 0.0);
      CHECK(row.saddle_height == 0.0);
      CHECK(row.fret_plane == Approx(0.0).margin(1e-15));
      CHECK(row.neck_bend.at(0.5) > 0.0);
    }
  }
}

TEST_CASE("held before the joint, sag is the product of the two distances") {
  const double j = fret_share(16);
  const double a = fret_share(2), m = fret_share(8), b = fret_share(15);
  const GapRow row = gap_row(neck(16), at(8, {2, 15})).value();
  CHECK(row.neck_bend.base == Approx(4.0 * (m - a) * (b - m) / (j * j)));
  CHECK(row.neck_bend.extra == 0.0);
}

TEST_CASE("relief read between a capo and the joint is the sag less the capo's share") {
  // Derived: r(capo 1..J)/r = (1 - x1/J)^2 for the joints 12, 14, 16, 17.
  struct Row {
    double joint, share;
  };
  const Row rows[] = {{12, .788}, {14, .808}, {16, .822}, {17, .828}};
  for (const Row& expected : rows) {
    CAPTURE(expected.joint);
    const double j = fret_share(expected.joint);
    const double middle = fret_at_share((fret_share(1) + j) / 2.0);
    const GapRow row = gap_row(neck(expected.joint), at(middle, {1, expected.joint})).value();
    CHECK(row.neck_bend.base == Approx(expected.share).margin(6e-4).epsilon(0));
    CHECK(row.neck_bend.base == Approx(std::pow(1.0 - fret_share(1) / j, 2)));
  }
}

TEST_CASE("sag at a quarter of the span is three quarters of the middle's") {
  // Derived.
  const double j = fret_share(14);
  CHECK(-fret_line(j / 4.0, j).base == Approx(0.75));
  CHECK(-fret_line(j / 2.0, j).base == Approx(1.0));
  CHECK(fret_line(j, j).base == Approx(0.0).margin(1e-15));
  CHECK(fret_line(0.0, j).base == 0.0);
}

TEST_CASE("the capo reading at the 13th is half the saddle's height whatever the nut") {
  // T. Becker, "Setting the saddle height": independent of the nut, slightly lower than the open 12th. Derived: h_s/2
  // exactly on a straight neck; open 12th less capo 13th is h_n/2.
  const StringState state{0.45, 3.3, 0.0, 0.0, {}};
  const StringState other_nut{1.45, 3.3, 0.0, 0.0, {}};
  const double capoed = read(neck(16), at(13, {1}), state);
  CHECK(capoed == Approx(3.3 / 2.0));
  CHECK(read(neck(16), at(13, {1}), other_nut) == capoed);
  CHECK(read(neck(16), at(12), state) - capoed == Approx(0.45 / 2.0));
}

TEST_CASE("held at the third fret the first gap is the nut's share and a little sag") {
  // Derived: .647238 h_n, and .075 r with a 14th joint, .064 r with a 16th. Published traps: 0.1 slot excess gives
  // 0.065, 0.2 gives 0.129, 0.3 gives 0.194.
  for (const auto& [joint, sag] : {std::pair{14.0, .075}, std::pair{16.0, .064}}) {
    const GapRow row = gap_row(neck(joint), at(1, {3})).value();
    CHECK(row.nut_height == Approx(.647238).margin(6e-7).epsilon(0));
    CHECK(row.saddle_height == 0.0);
    CHECK(row.neck_bend.base == Approx(sag).margin(6e-4).epsilon(0));
    CHECK(0.1 * row.nut_height == Approx(0.065).margin(6e-4).epsilon(0));
    CHECK(0.2 * row.nut_height == Approx(0.129).margin(6e-4).epsilon(0));
    CHECK(0.3 * row.nut_height == Approx(0.194).margin(6e-4).epsilon(0));
  }
}

TEST_CASE("nut and saddle work by the published rules of thumb") {
  // B. Kimsey, "Nuts 3": nut slots alone took the 12th from .110 to .120 in, from no clearance at fret 1; soft check
  // within .002 in: nut +.020, first fret +.019.
  const GapRow first = gap_row(neck(14), at(1)).value();
  const GapRow twelfth = gap_row(neck(14), at(12)).value();
  const double nut_rise = 0.010 / twelfth.nut_height;
  CHECK(nut_rise == Approx(.020).margin(.002).epsilon(0));
  CHECK(nut_rise * first.nut_height == Approx(.019).margin(.002).epsilon(0));
  // Derived: 1.6 mm at 17 with a nut of .45 is about 1.37 at 12 and 1.47 at 14.
  const double saddle = (1.6 - 0.45 * (1.0 - fret_share(17))) / fret_share(17);
  const StringState state{0.45, saddle, 0.0, 0.0, {}};
  CHECK(read(neck(16), at(12), state) == Approx(1.37).margin(0.006).epsilon(0));
  CHECK(read(neck(16), at(14), state) == Approx(1.47).margin(0.006).epsilon(0));
}

TEST_CASE("more height at the 12th tilts every fret by the published share") {
  // Anderson & Beausoleil 2024: dy_n = 2 dy12 (g_n - 1)/g_n, and c grows by 2 dy12.
  const double dy12 = 0.3;
  for (int fret = 1; fret <= 22; ++fret) {
    const double g = std::exp2(fret / 12.0);
    const GapRow row = gap_row(neck(16), at(fret)).value();
    CHECK(row.saddle_height * 2.0 * dy12 == Approx(2.0 * dy12 * (g - 1.0) / g));
  }
}

TEST_CASE("nut and saddle effects superpose") {
  const StringState base{0.4, 3.0, 0.2, 0.0, {}};
  StringState nut = base, saddle = base, both = base;
  nut.nut_height += 0.3;
  saddle.saddle_height += 0.7;
  both.nut_height += 0.3;
  both.saddle_height += 0.7;
  for (const GapMethod& method : {at(1), at(12), at(17), at(12, {1}), at(1, {3})}) {
    const double before = read(neck(14), method, base);
    const double apart = read(neck(14), method, nut) - before + read(neck(14), method, saddle) - before;
    CHECK(read(neck(14), method, both) - before == Approx(apart).margin(1e-12));
  }
}

TEST_CASE("a proud fret closes its own gap and opens those it holds") {
  const GapRow open = gap_row(neck(16), at(9)).value();
  CHECK(coefficient_of(open, 9) == -1.0);
  const GapRow held = gap_row(neck(16), at(7, {1, 16})).value();
  const double w = (fret_share(7) - fret_share(1)) / (fret_share(16) - fret_share(1));
  CHECK(coefficient_of(held, 7) == -1.0);
  CHECK(coefficient_of(held, 1) == Approx(1.0 - w));
  CHECK(coefficient_of(held, 16) == Approx(w));
  const StringState proud{0.4, 3.0, 0.2, 0.0, {{7, 0.05}}};
  const StringState even{0.4, 3.0, 0.2, 0.0, {}};
  CHECK(read(neck(16), at(7, {1, 16}), proud) - read(neck(16), at(7, {1, 16}), even) == Approx(-0.05));
}

TEST_CASE("taking metal off every fret moves held readings by the geometry") {
  const GapRow past = gap_row(neck(16), at(17, {1})).value();
  const double way = (fret_share(17) - fret_share(1)) / (1.0 - fret_share(1));
  CHECK(past.fret_plane == Approx(way));  // the capo's fret sinks too, the saddle stays
  double from_rises = 0.0;
  for (const FretTerm& term : past.rises) from_rises -= term.coefficient;
  CHECK(past.fret_plane == Approx(from_rises));
  CHECK(gap_row(neck(16), at(1, {3})).value().fret_plane == Approx(1.0 - fret_share(1) / fret_share(3)));
  // A pickup does not sink: its gap closes.
  CHECK(gap_row(neck(16), at_pickup(0.8, {22})).value().fret_plane < 0.0);
}

TEST_CASE("a zero fret is levelled with the others") {
  NeckGeometry zero = neck(16);
  zero.zero_fret = true;
  const GapRow row = gap_row(zero, at(12)).value();
  CHECK(row.nut_height == Approx(0.5));
  CHECK(row.fret_plane == Approx(0.5));
  CHECK(gap_row(neck(16), at(12)).value().fret_plane == Approx(1.0));
}

TEST_CASE("a pickup's gap follows its own height one to one") {
  const GapRow row = gap_row(neck(16), at_pickup(0.9, {22})).value();
  CHECK(row.pickup_height == -1.0);
  CHECK(row.nut_height == 0.0);
  CHECK(row.saddle_height > 0.5);
  CHECK(row.saddle_height < 1.0);
  const GapRow open = gap_row(neck(16), at_pickup(0.9)).value();
  CHECK(open.saddle_height == Approx(0.9));
  CHECK(open.nut_height == Approx(0.1));
}

TEST_CASE("a short string starts at its own fret, on the neck that bends under it") {
  NeckGeometry drone = neck(16, 22);
  drone.first_fret = 5;
  const GapRow at6 = gap_row(drone, at(6)).value();
  CHECK(at6.nut_height == Approx(.94387).margin(6e-6).epsilon(0));  // one fret past its start, as any string
  CHECK(at6.saddle_height == Approx(.05613).margin(6e-6).epsilon(0));
  const StringState flat{0.5, 3.0, 0.0, 0.0, {}};
  CHECK(read(drone, at(17), flat) == Approx((0.5 + 3.0) / 2.0));  // its octave, halfway along it
  CHECK_FALSE(gap_row(drone, at(5)));
  CHECK_FALSE(gap_row(drone, at(12, {3})));
  CHECK(gap_row(drone, at(7, {6, 16})));
  // Its pip rides on the sagging neck, so relief adds less under it than under a full string.
  CHECK(at6.neck_bend.base < gap_row(neck(16), at(6)).value().neck_bend.base);
}

TEST_CASE("a gap that cannot be is refused") {
  CHECK_FALSE(gap_row(neck(16), at(7, {7})));
  CHECK_FALSE(gap_row(neck(16), at(7, {16, 1})));
  CHECK_FALSE(gap_row(neck(16), at(0)));
  CHECK_FALSE(gap_row(neck(16), at(23)));
  CHECK_FALSE(gap_row(neck(16), at(7, {1, 23})));
  CHECK_FALSE(gap_row(neck(16), at(7, {0, 16})));
  CHECK_FALSE(gap_row(neck(0), at(7)));
  CHECK_FALSE(gap_row(neck(16), at_pickup(1.0)));
  CHECK_FALSE(gap_row(neck(16), at_pickup(0.5, {22})));
}

TEST_CASE("any even curve gives the 12th half its height at the nut less its height there") {
  // Derived: da12 = y(0)/2 - y(L/2), y(x) = integral from x to J of (s - x) k(s) ds; here k constant and r = k J^2/8,
  // integrated by summing, against the even arc that is tangent to the body (phi = 1).
  for (const double joint : {12.0, 14.0, 16.0, 17.0}) {
    const double j = fret_share(joint);
    const double k = 8.0 / (j * j);
    const auto height = [&](double x) {
      double sum = 0.0;
      const int steps = 20000;
      for (int i = 0; i < steps; ++i) {
        const double s = x + (i + 0.5) * (j - x) / steps;
        sum += (s - x) * k * (j - x) / steps;
      }
      return sum;
    };
    const GapRow row = gap_row(neck(joint), at(12)).value();
    const double rod = row.neck_bend.at(1.0) + row.saddle_height * 4.0 * (1.0 / j - 1.0);
    CHECK(height(0.0) / 2.0 - height(0.5) == Approx(rod).margin(1e-4).epsilon(0));
  }
}
