#include "engine/model/bounds.h"

#include <catch2/catch.hpp>
#include <limits>

using namespace stringline::model;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("without rows a form lies between its variables' own bounds") {
  const auto found = extremes({2.0, -1.0}, {}, {{0.0, 3.0}, {-1.0, 4.0}});
  REQUIRE(found);
  CHECK(found->lo == Approx(-4.0));
  CHECK(found->hi == Approx(7.0));
}

TEST_CASE("an equation cuts the box to a line") {
  // x + y = 3 in the box 0..2: x - y runs from -1 to 1.
  const auto found = extremes({1.0, -1.0}, {{{1.0, 1.0}, {3.0, 3.0}}}, {{0.0, 2.0}, {0.0, 2.0}});
  REQUIRE(found);
  CHECK(found->lo == Approx(-1.0));
  CHECK(found->hi == Approx(1.0));
}

TEST_CASE("one-sided rows count on their side only") {
  const std::vector<Range> box{{-5.0, 5.0}};
  CHECK(extremes({1.0}, {{{2.0}, {3.0, infinity}}}, box)->lo == Approx(1.5));
  CHECK(extremes({1.0}, {{{2.0}, {3.0, infinity}}}, box)->hi == Approx(5.0));
  CHECK(extremes({1.0}, {{{2.0}, {-infinity, 3.0}}}, box)->hi == Approx(1.5));
  CHECK(extremes({1.0}, {{{2.0}, {-infinity, infinity}}}, box)->hi == Approx(5.0));
}

TEST_CASE("bounds that contradict each other leave nothing") {
  CHECK_FALSE(extremes({1.0}, {{{1.0}, {3.0, 3.0}}}, {{0.0, 2.0}}));
  CHECK_FALSE(extremes({1.0, 0.0}, {{{1.0, 1.0}, {1.0, 1.0}}, {{1.0, 1.0}, {2.0, 2.0}}}, {{-9.0, 9.0}, {-9.0, 9.0}}));
}

TEST_CASE("the same row twice, and rows that fix a point, do no harm") {
  const std::vector<BoundedRow> rows{
      {{1.0, 1.0}, {1.0, 1.0}}, {{1.0, 1.0}, {1.0, 1.0}}, {{1.0, -1.0}, {0.5, 0.5}}, {{2.0, 2.0}, {2.0, 2.0}}};
  const auto found = extremes({1.0, 0.0}, rows, {{-9.0, 9.0}, {-9.0, 9.0}});
  REQUIRE(found);
  CHECK(found->lo == Approx(0.75));
  CHECK(found->hi == Approx(0.75));
}

TEST_CASE("a corner of three constraints is found in three variables") {
  // Greatest 3x + 2y + z with x + y + z <= 10, x - y <= 2, 0..6 each: x 6, y 4, z 0.
  const std::vector<BoundedRow> rows{{{1.0, 1.0, 1.0}, {-infinity, 10.0}}, {{1.0, -1.0, 0.0}, {-infinity, 2.0}}};
  const std::vector<Range> box{{0.0, 6.0}, {0.0, 6.0}, {0.0, 6.0}};
  CHECK(extremes({3.0, 2.0, 1.0}, rows, box)->hi == Approx(26.0));
  CHECK(extremes({3.0, 2.0, 1.0}, rows, box)->lo == Approx(0.0).margin(1e-9));
}
