#include "engine/value/interval.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

using namespace stringline;

namespace {

constexpr std::int64_t highest = std::numeric_limits<std::int64_t>::max();

Ratio ratio(std::int64_t num, std::int64_t den = 1) { return Ratio::make(num, den).value(); }
Interval between(Ratio lo, Ratio hi) { return {lo, hi, false}; }
Interval at_least(Ratio lo) { return {lo, std::nullopt, false}; }
Interval at_most(Ratio hi) { return {std::nullopt, hi, false}; }
Interval guess(Ratio lo, Ratio hi) { return {lo, hi, true}; }

}  // namespace

TEST_CASE("an interval is exact when its ends meet and no model had a hand in it") {
  CHECK(Interval::exactly(ratio(1, 3)).is_exact());
  CHECK_FALSE(between(1, 2).is_exact());
  CHECK_FALSE(guess(1, 1).is_exact());
  CHECK(guess(1, 1).is_point());
  CHECK_FALSE(Interval::anything().is_point());
  CHECK_FALSE(at_least(1).is_point());
}

TEST_CASE("a model's estimate is rounded outward, and what it can not say is absent") {
  const Interval tenth = Interval::estimated(0.1, 0.1);
  CHECK(*tenth.lo <= ratio(1, 10));
  CHECK(*tenth.hi > ratio(1, 10));
  CHECK(tenth.estimate);
  CHECK(Interval::estimated(0.5, 1.5) == guess(ratio(1, 2), ratio(3, 2)));
  CHECK(Interval::estimated(-HUGE_VAL, 1.0) == Interval{std::nullopt, 1, true});
  CHECK(Interval::estimated(std::nan(""), std::nan("")) == Interval{std::nullopt, std::nullopt, true});
}

TEST_CASE("sums and differences keep what is known of each end") {
  CHECK(add(between(1, 2), between(10, 20)) == between(11, 22));
  CHECK(subtract(between(1, 2), between(10, 20)) == between(-19, -8));
  CHECK(add(at_least(1), between(10, 20)) == at_least(11));
  CHECK(subtract(at_least(1), between(10, 20)) == at_least(-19));
  CHECK(subtract(between(10, 20), at_least(1)) == at_most(19));
  CHECK(subtract(at_least(1), at_least(1)) == Interval::anything());
  CHECK_FALSE(add(between(0, highest), between(0, 1)));
  CHECK_FALSE(subtract(between(-highest, 0), between(0, 2)));
}

TEST_CASE("what a model had a hand in stays an estimate") {
  CHECK(add(guess(1, 1), Interval::exactly(1)) == guess(2, 2));
  CHECK(multiply(Interval::exactly(0), guess(1, 2)) == guess(0, 0));
  CHECK(divide(Interval::exactly(1), guess(1, 2)) == guess(ratio(1, 2), 1));
  CHECK(negate(guess(1, 2)) == guess(-2, -1));
  CHECK(absolute(guess(-2, -1)) == guess(1, 2));
  CHECK(min_of(Interval::exactly(1), guess(5, 6)) == guess(1, 1));
  CHECK(max_of(guess(1, 2), Interval::exactly(5)) == guess(5, 5));
  CHECK(hull(guess(1, 2), Interval::exactly(5)) == guess(1, 5));
}

TEST_CASE("products take the outermost corners") {
  CHECK(multiply(between(2, 3), between(5, 7)) == between(10, 21));
  CHECK(multiply(between(-2, 3), between(5, 7)) == between(-14, 21));
  CHECK(multiply(between(-2, 3), between(-5, 7)) == between(-15, 21));
  CHECK(multiply(between(-3, -2), between(-7, -5)) == between(10, 21));
  CHECK(multiply(at_least(2), between(5, 7)) == at_least(10));
  CHECK(multiply(at_least(2), between(-7, -5)) == at_most(-10));
  CHECK(multiply(at_least(2), between(-1, 1)) == Interval::anything());
  CHECK(multiply(at_least(-2), at_least(3)) == Interval::anything());
  CHECK(multiply(at_most(-2), at_most(-3)) == at_least(6));
  CHECK(multiply(Interval::anything(), Interval::exactly(0)) == between(0, 0));
  CHECK(multiply(at_least(0), between(0, 1)) == at_least(0));
  CHECK_FALSE(multiply(between(1, highest), between(1, 2)));
}

TEST_CASE("a divisor that may be zero gives nothing") {
  CHECK(divide(between(2, 3), between(4, 8)) == between(ratio(1, 4), ratio(3, 4)));
  CHECK(divide(between(2, 3), between(-8, -4)) == between(ratio(-3, 4), ratio(-1, 4)));
  CHECK(divide(between(2, 3), at_least(4)) == between(0, ratio(3, 4)));
  CHECK(divide(between(2, 3), at_most(-4)) == between(ratio(-3, 4), 0));
  CHECK(divide(at_least(2), between(4, 8)) == at_least(ratio(1, 4)));
  CHECK_FALSE(divide(between(2, 3), between(0, 8)));
  CHECK_FALSE(divide(between(2, 3), between(-8, 0)));
  CHECK_FALSE(divide(between(2, 3), between(-1, 1)));
  CHECK_FALSE(divide(between(2, 3), at_least(0)));
  CHECK_FALSE(divide(between(2, 3), Interval::anything()));
}

TEST_CASE("opposites and sizes mirror the ends") {
  CHECK(negate(between(1, 2)) == between(-2, -1));
  CHECK(negate(at_least(1)) == at_most(-1));
  CHECK_FALSE(negate(Interval::exactly(std::numeric_limits<std::int64_t>::min())));
  CHECK(absolute(between(-3, 2)) == between(0, 3));
  CHECK(absolute(between(-2, 3)) == between(0, 3));
  CHECK(absolute(between(1, 2)) == between(1, 2));
  CHECK(absolute(between(-2, 0)) == between(0, 2));
  CHECK(absolute(at_most(-1)) == at_least(1));
  CHECK(absolute(at_most(1)) == at_least(0));
  CHECK(absolute(at_least(-1)) == at_least(0));
  CHECK(absolute(at_least(1)) == at_least(1));
  CHECK(absolute(Interval::anything()) == at_least(0));
}

TEST_CASE("least, greatest and hull use whatever end is known") {
  CHECK(min_of(between(1, 5), between(2, 3)) == between(1, 3));
  CHECK(max_of(between(1, 5), between(2, 3)) == between(2, 5));
  CHECK(min_of(at_least(1), between(2, 3)) == between(1, 3));
  CHECK(max_of(at_least(1), between(2, 3)) == at_least(2));
  CHECK(min_of(at_most(1), between(2, 3)) == at_most(1));
  CHECK(max_of(at_most(1), between(2, 3)) == between(2, 3));
  CHECK(hull(between(1, 2), between(4, 5)) == between(1, 5));
  CHECK(hull(at_least(1), between(4, 5)) == at_least(1));
}

TEST_CASE("a comparison is decided only where every pair of values agrees") {
  CHECK(less(between(1, 2), between(3, 4)) == Truth::yes);
  CHECK(less(between(1, 2), between(2, 4)) == Truth::unknown);
  CHECK(less(between(2, 4), between(1, 2)) == Truth::no);
  CHECK(less(between(1, 3), between(2, 4)) == Truth::unknown);
  CHECK(less(at_most(1), at_least(2)) == Truth::yes);
  CHECK(less(at_least(2), at_most(2)) == Truth::no);
  CHECK(less(Interval::anything(), between(1, 2)) == Truth::unknown);
  CHECK(less_or_equal(between(1, 2), between(2, 4)) == Truth::yes);
  CHECK(less_or_equal(between(2, 4), between(1, 2)) == Truth::unknown);
  CHECK(less_or_equal(between(3, 4), between(1, 2)) == Truth::no);
  CHECK(equal(Interval::exactly(1), Interval::exactly(1)) == Truth::yes);
  CHECK(equal(Interval::exactly(1), Interval::exactly(2)) == Truth::no);
  CHECK(equal(between(1, 2), between(1, 2)) == Truth::unknown);
  CHECK(equal(between(1, 2), between(3, 4)) == Truth::no);
  CHECK(equal(at_least(3), at_most(2)) == Truth::no);
}

TEST_CASE("three-valued logic keeps unknown only where it matters") {
  constexpr Truth no = Truth::no;
  constexpr Truth yes = Truth::yes;
  constexpr Truth unknown = Truth::unknown;
  CHECK((!no) == yes);
  CHECK((!yes) == no);
  CHECK((!unknown) == unknown);
  CHECK(and_of(no, unknown) == no);
  CHECK(and_of(unknown, no) == no);
  CHECK(and_of(yes, unknown) == unknown);
  CHECK(and_of(yes, yes) == yes);
  CHECK(or_of(yes, unknown) == yes);
  CHECK(or_of(unknown, yes) == yes);
  CHECK(or_of(no, unknown) == unknown);
  CHECK(or_of(no, no) == no);
}
