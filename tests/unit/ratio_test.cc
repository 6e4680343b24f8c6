#include "engine/value/ratio.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <string>

using namespace stringline;

namespace {

constexpr std::int64_t lowest = std::numeric_limits<std::int64_t>::min();
constexpr std::int64_t highest = std::numeric_limits<std::int64_t>::max();

Ratio ratio(std::int64_t num, std::int64_t den = 1) { return Ratio::make(num, den).value(); }

}  // namespace

TEST_CASE("a ratio is reduced and its denominator is above zero") {
  CHECK(ratio(6, 4) == ratio(3, 2));
  CHECK(ratio(6, 4).num() == 3);
  CHECK(ratio(6, 4).den() == 2);
  CHECK(ratio(3, -6).num() == -1);
  CHECK(ratio(3, -6).den() == 2);
  CHECK(ratio(-3, -6) == ratio(1, 2));
  CHECK(ratio(0, -7).den() == 1);
  CHECK(ratio(lowest, lowest) == Ratio{1});
  CHECK(ratio(lowest, 2).num() == lowest / 2);
}

TEST_CASE("a ratio that has no 64-bit form is refused") {
  CHECK_FALSE(Ratio::make(1, 0));
  CHECK_FALSE(Ratio::make(0, 0));
  CHECK_FALSE(Ratio::make(lowest, -1));
  CHECK_FALSE(Ratio::make(1, lowest));
  CHECK(Ratio::make(lowest, 1) == Ratio{lowest});
}

TEST_CASE("a decimal is read exactly") {
  struct Row {
    std::string text;
    std::int64_t num;
    std::int64_t den;
  };
  const auto row = GENERATE(values<Row>({
      {"0", 0, 1},
      {"-0", 0, 1},
      {"-12", -12, 1},
      {"0.25", 1, 4},
      {"0.0546875", 7, 128},
      {"1.3890625", 889, 640},
      {"-0.5", -1, 2},
      {"1.10000000000000000000000000000000", 11, 10},
      {"9223372036854775807", highest, 1},
      {"-9223372036854775808", lowest, 1},
      {"0.00000000000000000021684043449710088680149056017398834228515625", 1, std::int64_t{1} << 62},
  }));
  CAPTURE(row.text);
  const auto read = Ratio::parse(row.text);
  REQUIRE(read);
  CHECK(read->num() == row.num);
  CHECK(read->den() == row.den);
}

TEST_CASE("what is no plain decimal is refused") {
  const std::string text =
      GENERATE("", "-", ".", ".5", "5.", "-.5", "1e3", "1_000", "+5", " 5", "5 ", "1.2.3", "1,5", "--1", "0x10", "1/2",
               "nan", "9223372036854775808", "-9223372036854775809", "0.00000000000000000001");
  CAPTURE(text);
  CHECK_FALSE(Ratio::parse(text));
}

TEST_CASE("arithmetic is exact and answers nothing when the result does not fit") {
  CHECK(add(ratio(1, 3), ratio(1, 6)) == ratio(1, 2));
  CHECK(subtract(ratio(1, 3), ratio(1, 2)) == ratio(-1, 6));
  CHECK(multiply(ratio(2, 3), ratio(9, 4)) == ratio(3, 2));
  CHECK(divide(ratio(2, 3), ratio(-4, 9)) == ratio(-3, 2));
  CHECK_FALSE(divide(ratio(2, 3), 0));
  CHECK_FALSE(add(highest, 1));
  CHECK_FALSE(subtract(lowest, 1));
  CHECK_FALSE(multiply(highest, 2));
  CHECK_FALSE(divide(ratio(1, highest), 2));
  CHECK(add(highest, lowest) == Ratio{-1});
  CHECK(multiply(ratio(highest, 2), ratio(2, highest)) == Ratio{1});
  CHECK(add(ratio(highest, 2), ratio(highest, 2)) == Ratio{highest});
}

TEST_CASE("the lowest number has no opposite") {
  CHECK_FALSE(negate(lowest));
  CHECK_FALSE(absolute(lowest));
  CHECK(negate(ratio(-1, 2)) == ratio(1, 2));
  CHECK(absolute(ratio(-1, 2)) == ratio(1, 2));
  CHECK(absolute(ratio(1, 2)) == ratio(1, 2));
  CHECK(negate(0) == Ratio{0});
}

TEST_CASE("ratios compare exactly where doubles can not tell them apart") {
  CHECK(ratio(1, 3) < ratio(1, 2));
  CHECK(ratio(-1, 2) < ratio(-1, 3));
  const Ratio a = ratio(highest, highest - 1);
  const Ratio b = ratio(highest - 1, highest - 2);
  CHECK(a.to_double() == b.to_double());
  CHECK(a < b);
  CHECK(Ratio{lowest} < Ratio{highest});
}

TEST_CASE("a square is compared without being computed in 64 bits") {
  CHECK(compare_square(ratio(3, 2), ratio(9, 4)) == std::strong_ordering::equal);
  CHECK(compare_square(ratio(-3, 2), ratio(9, 4)) == std::strong_ordering::equal);
  CHECK(compare_square(ratio(3, 2), ratio(-9, 4)) == std::strong_ordering::greater);
  CHECK(compare_square(0, 0) == std::strong_ordering::equal);
  CHECK(compare_square(lowest, highest) == std::strong_ordering::greater);
  CHECK(compare_square(ratio(1, highest), ratio(1, highest)) == std::strong_ordering::less);
  // 3037000499 is the largest whole number whose square fits 63 bits.
  CHECK(compare_square(3037000499, 9223372030926249001) == std::strong_ordering::equal);
  CHECK(compare_square(3037000499, 9223372030926249002) == std::strong_ordering::less);
  CHECK(compare_square(3037000500, highest) == std::strong_ordering::greater);
}

TEST_CASE("rounding takes the nearest multiple, halves away from zero, or stops short of it") {
  CHECK(round_to(ratio(3, 8), ratio(1, 4)) == ratio(1, 2));
  CHECK(round_to(ratio(-3, 8), ratio(1, 4)) == ratio(-1, 2));
  CHECK(round_to(ratio(37, 100), ratio(1, 4)) == ratio(1, 4));
  CHECK(round_to(ratio(37, 100), ratio(1, 4), Rounding::toward_zero) == ratio(1, 4));
  CHECK(round_to(ratio(49, 100), ratio(1, 4), Rounding::toward_zero) == ratio(1, 4));
  CHECK(round_to(ratio(-49, 100), ratio(1, 4), Rounding::toward_zero) == ratio(-1, 4));
  CHECK(round_to(ratio(1, 3), ratio(2, 7)) == ratio(2, 7));
  CHECK(round_to(ratio(-1, 100), ratio(1, 4)) == Ratio{0});
  CHECK(round_to(lowest, 1) == Ratio{lowest});
}

TEST_CASE("rounding answers nothing for a step that is none, and survives far apart sizes") {
  CHECK_FALSE(round_to(1, 0));
  CHECK_FALSE(round_to(1, ratio(-1, 2)));
  CHECK(round_to(std::int64_t{1} << 62, ratio(1, std::int64_t{1} << 62)) == Ratio{std::int64_t{1} << 62});
  CHECK(round_to(1, highest) == Ratio{0});
  CHECK_FALSE(round_to(highest, 2));  // the nearest is 2^63
  CHECK(round_to(highest, 2, Rounding::toward_zero) == Ratio{highest - 1});
}

TEST_CASE("a whole tick is 1/16000 nm") {
  CHECK(is_whole_tick(ratio(1, 16'000'000'000)));
  CHECK_FALSE(is_whole_tick(ratio(1, 32'000'000'000)));
  CHECK_FALSE(is_whole_tick(ratio(1, 3)));
  CHECK(is_whole_tick(multiply(ratio(127, 5), ratio(1, 8192)).value()));
  CHECK_FALSE(is_whole_tick(multiply(ratio(127, 5), ratio(1, 16384 * 2)).value()));
  CHECK(is_whole_tick(multiply(ratio(127, 5000), ratio(1, 100'000)).value()));
  CHECK(is_whole_tick(ratio(1, 1'000'000'000)));
}

TEST_CASE("a decimal is written as short as it can be, or as a fraction when it never ends") {
  CHECK(to_decimal(ratio(1, 4)) == "0.25");
  CHECK(to_decimal(-3) == "-3");
  CHECK(to_decimal(0) == "0");
  CHECK(to_decimal(ratio(-1, 200)) == "-0.005");
  CHECK(to_decimal(ratio(7, 128)) == "0.0546875");
  CHECK(to_decimal(ratio(1, 3)) == "1/3");
  CHECK(to_decimal(ratio(-22, 7)) == "-22/7");
  CHECK(to_decimal(lowest) == "-9223372036854775808");
  CHECK(decimal_places(ratio(1, 3)) == std::nullopt);
  CHECK(decimal_places(5) == 0);
  CHECK(decimal_places(ratio(1, 80)) == 4);
}

TEST_CASE("a fixed number of decimals rounds halves away from zero and never writes -0") {
  CHECK(to_fixed(ratio(1005, 1000), 2) == "1.01");
  CHECK(to_fixed(ratio(-1005, 1000), 2) == "-1.01");
  CHECK(to_fixed(ratio(2675, 1000), 2) == "2.68");
  CHECK(to_fixed(ratio(9995, 1000), 2) == "10.00");
  CHECK(to_fixed(ratio(1, 3), 0) == "0");
  CHECK(to_fixed(ratio(1, 2), 0) == "1");
  CHECK(to_fixed(ratio(-1, 1000), 2) == "0.00");
  CHECK(to_fixed(ratio(-1, 3), 0) == "0");
  CHECK(to_fixed(2, 3) == "2.000");
  CHECK(to_fixed(ratio(1, 10), 1) == "0.1");
  CHECK(to_fixed(lowest, 1) == "-9223372036854775808.0");
}

TEST_CASE("a double is enclosed by ticks, never rounded inward") {
  CHECK(Ratio::floor_of(0.5) == ratio(1, 2));
  CHECK(Ratio::ceil_of(0.5) == ratio(1, 2));
  CHECK(Ratio::floor_of(0.1).value() <= ratio(1, 10));
  // The double nearest to 0.1 lies above it, and the tick above that is one further.
  CHECK(Ratio::ceil_of(0.1) == add(ratio(1, 10), ratio(1, 16'000'000'000)));
  CHECK(Ratio::floor_of(-0.1) == subtract(ratio(-1, 10), ratio(1, 16'000'000'000)));
  CHECK(Ratio::floor_of(5e-324) == Ratio{0});
  CHECK(Ratio::ceil_of(5e-324) == ratio(1, 16'000'000'000));
  CHECK(Ratio::floor_of(-5e-324) == ratio(-1, 16'000'000'000));
  CHECK(Ratio::floor_of(-0.0) == Ratio{0});
  CHECK(Ratio::floor_of(std::ldexp(1.0, 62)) == Ratio{std::int64_t{1} << 62});
  CHECK_FALSE(Ratio::floor_of(1e19));
  CHECK_FALSE(Ratio::ceil_of(-1e300));
  CHECK_FALSE(Ratio::floor_of(std::nan("")));
  CHECK_FALSE(Ratio::ceil_of(HUGE_VAL));
}
