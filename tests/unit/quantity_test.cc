#include "engine/value/quantity.h"

#include <catch2/catch.hpp>
#include <limits>
#include <string>

using namespace stringline;

namespace {

Ratio ratio(std::int64_t num, std::int64_t den = 1) { return Ratio::make(num, den).value(); }
Ratio base(std::int64_t num, std::int64_t den, Unit unit) { return make_quantity(ratio(num, den), unit).value().value; }

struct Shown {
  std::int64_t num;
  std::int64_t den;
  Unit written;
  Unit shown;
  std::string text;
};

struct Stepped {
  std::int64_t num;
  std::int64_t den;
  Unit shown;
  std::int64_t step_num;
  std::int64_t step_den;
  Unit step_unit;
  std::string text;
};

}  // namespace

TEST_CASE("lengths written in different units are one value") {
  const Ratio reading = base(7, 128, Unit::in);  // 3.5/64
  CHECK(reading == make_quantity(Ratio::parse("0.0546875").value(), Unit::in)->value);
  CHECK(reading == make_quantity(Ratio::parse("1.3890625").value(), Unit::mm)->value);
  CHECK(reading == make_quantity(Ratio::parse("54.6875").value(), Unit::thou)->value);
  CHECK(base(1, 1, Unit::cm) == Ratio{10});
}

TEST_CASE("a length that is no whole tick, or no int64 count of ticks, is refused") {
  CHECK_FALSE(make_quantity(ratio(1, 3), Unit::mm));
  CHECK_FALSE(make_quantity(ratio(1, 3), Unit::in));
  CHECK(make_quantity(ratio(1, 8192), Unit::in));
  CHECK(make_quantity(576'000'000, Unit::mm));
  CHECK_FALSE(make_quantity(577'000'000, Unit::mm));
  CHECK_FALSE(make_quantity(std::numeric_limits<std::int64_t>::max(), Unit::in));
  CHECK(make_quantity(ratio(1, 3), Unit::none));
}

TEST_CASE("temperatures carry an offset, their differences do not") {
  CHECK(base(0, 1, Unit::deg_c) == ratio(27315, 100));
  CHECK(base(32, 1, Unit::deg_f) == base(0, 1, Unit::deg_c));
  CHECK(base(212, 1, Unit::deg_f) == base(100, 1, Unit::deg_c));
  CHECK(base(-40, 1, Unit::deg_f) == base(-40, 1, Unit::deg_c));
  CHECK(in_unit(ratio(27315, 100), Unit::deg_f) == Ratio{32});
  CHECK(in_unit(5, Unit::deg_f, true) == Ratio{9});
  CHECK(in_unit(5, Unit::deg_c, true) == Ratio{5});
}

TEST_CASE("a unit is found by its exact spelling") {
  CHECK(find_unit("thou") == Unit::thou);
  CHECK(find_unit("%RH") == Unit::relative_humidity);
  CHECK(find_unit("%") == Unit::percent);
  CHECK(find_unit("") == Unit::none);
  CHECK_FALSE(find_unit("MM"));
  CHECK_FALSE(find_unit("inch"));
  for (const UnitInfo& each : all_units()) {
    CAPTURE(each.written);
    CHECK(find_unit(each.written) == each.unit);
    CHECK(info(each.unit).written == each.written);
    CHECK(each.factor > Ratio{0});
  }
}

TEST_CASE("dimensions multiply, divide and are named in words") {
  using namespace dimension;
  CHECK(length * length / length == length);
  CHECK(number / dimension::time == frequency);
  CHECK(describe(number) == "a plain number");
  CHECK(describe(length) == "a length");
  CHECK(describe(cents) == "cents");
  CHECK(describe(length * length) == "a length times a length");
  CHECK(describe(money / dimension::time) == "money per time");
  CHECK(describe(frequency) == "a frequency");
  CHECK(describe(force / length / length) == "a force per length per length");
  CHECK(describe(number / length) == "a plain number per length");
}

TEST_CASE("exponents stop instead of wrapping") {
  Dimension high = dimension::length;
  Dimension low = dimension::length;
  for (int i = 0; i < 300; ++i) {
    high = high * dimension::length;
    low = low / dimension::length;
  }
  CHECK(high.exponents[0] == 127);
  CHECK(low.exponents[0] == -127);
}

TEST_CASE("a value without a step is shown exactly, inches and turns as the trade writes them") {
  const auto row = GENERATE(values<Shown>({
      {3, 64, Unit::in, Unit::in, "3/64 in"},
      {6, 64, Unit::in, Unit::in, "3/32 in"},
      {5, 32, Unit::in, Unit::in, "5/32 in"},
      {7, 128, Unit::in, Unit::in, "3.5/64 in"},
      {15, 256, Unit::in, Unit::in, "3.75/64 in"},
      {1, 256, Unit::in, Unit::in, "0.25/64 in"},
      {-7, 128, Unit::in, Unit::in, "-3.5/64 in"},
      {51, 2, Unit::in, Unit::in, "25 1/2 in"},
      {-51, 2, Unit::in, Unit::in, "-25 1/2 in"},
      {135, 128, Unit::in, Unit::in, "1 3.5/64 in"},
      {25, 1, Unit::in, Unit::in, "25 in"},
      {0, 1, Unit::in, Unit::in, "0 in"},
      {14, 1000, Unit::in, Unit::in, "0.014 in"},
      {1, 4, Unit::mm, Unit::in, "0.0098 in"},
      {9, 1, Unit::thou, Unit::thou, "9 thou"},
      {1, 4, Unit::mm, Unit::thou, "9.8 thou"},
      {1, 4, Unit::mm, Unit::mm, "0.25 mm"},
      {7, 128, Unit::in, Unit::mm, "1.3890625 mm"},
      {1, 3, Unit::newton, Unit::newton, "0.333 N"},
      {3, 100'000'000, Unit::none, Unit::none, "0.00000003"},
      {51, 1, Unit::relative_humidity, Unit::relative_humidity, "51 %RH"},
      {25, 1, Unit::percent, Unit::percent, "25 %"},
      {1, 8, Unit::turns, Unit::turns, "1/8 turns"},
      {5, 4, Unit::turns, Unit::turns, "1 1/4 turns"},
      {-3, 8, Unit::turns, Unit::turns, "-3/8 turns"},
      {1, 3, Unit::turns, Unit::turns, "0.33 turns"},
      {2, 1, Unit::turns, Unit::turns, "2 turns"},
      {-3, 1, Unit::cents, Unit::cents, "-3 cents"},
      {68, 1, Unit::deg_f, Unit::deg_f, "68 degF"},
      {68, 1, Unit::deg_f, Unit::deg_c, "20 degC"},
      {90, 1, Unit::minute, Unit::hour, "1.5 h"},
      {12, 1, Unit::none, Unit::none, "12"},
  }));
  CHECK(to_text(base(row.num, row.den, row.written), row.shown) == row.text);
}

TEST_CASE("a step decides the rounding and the decimals") {
  const auto row = GENERATE(values<Stepped>({
      {1, 10, Unit::mm, 1, 20, Unit::mm, "0.10 mm"},
      {13, 100, Unit::mm, 1, 20, Unit::mm, "0.15 mm"},
      {-1, 100, Unit::mm, 1, 20, Unit::mm, "0.00 mm"},
      {76, 10, Unit::thou, 1, 1, Unit::thou, "8 thou"},
      {76, 10, Unit::thou, 1, 2, Unit::thou, "7.5 thou"},
      {-4, 10, Unit::cents, 1, 1, Unit::cents, "0 cents"},
      {3, 10, Unit::turns, 1, 8, Unit::turns, "1/4 turns"},
      {-13, 10, Unit::turns, 1, 8, Unit::turns, "-1 1/4 turns"},
      {1, 20, Unit::in, 1, 128, Unit::in, "3/64 in"},
      {7, 128, Unit::in, 1, 128, Unit::in, "3.5/64 in"},
      {1, 8, Unit::in, 1, 1000, Unit::in, "0.125 in"},
      {126, 1000, Unit::in, 1, 1, Unit::thou, "0.126 in"},
      {2, 1, Unit::mm, 1, 128, Unit::in, "2.00 mm"},  // a ruler's step is not at home in millimetres
      {1, 4, Unit::mm, 1, 1, Unit::thou, "0.25 mm"},
      {5, 64, Unit::in, 1, 20, Unit::mm, "0.0781 in"},
      {205, 10, Unit::deg_c, 1, 1, Unit::none, "21 degC"},
      {3, 10, Unit::turns, 1, 3, Unit::turns, "0.3 turns"},
      {1234, 1, Unit::none, 10, 1, Unit::none, "1230"},
  }));
  const Ratio step = multiply(ratio(row.step_num, row.step_den), info(row.step_unit).factor).value();
  CHECK(to_text(base(row.num, row.den, row.shown), row.shown, step) == row.text);
}

TEST_CASE("a step that is none leaves the value as it is") {
  CHECK(to_text(ratio(1, 4), Unit::mm, Ratio{0}) == "0.25 mm");
  CHECK(to_text(ratio(1, 4), Unit::mm, ratio(-1, 2)) == "0.25 mm");
}

TEST_CASE("a difference of temperatures is shown without the offset") {
  CHECK(to_text(5, Unit::deg_c, std::nullopt, true) == "5 degC");
  CHECK(to_text(5, Unit::deg_f, std::nullopt, true) == "9 degF");
  CHECK(to_text(5, Unit::deg_f, ratio(5, 9), true) == "9 degF");
}

TEST_CASE("a number beyond 64 bits in its unit is still shown") {
  const Ratio huge = std::numeric_limits<std::int64_t>::max() - 1;
  REQUIRE_FALSE(in_unit(huge, Unit::thou));
  CHECK(to_text(huge, Unit::thou) == "3.63125e+20 thou");
}

TEST_CASE("one of the cents is a cent, and is read so") {
  CHECK(to_text(Ratio(1), Unit::cents) == "1 cent");
  CHECK(to_text(Ratio(-1), Unit::cents) == "-1 cent");
  CHECK(to_text(Ratio(0), Unit::cents) == "0 cents");
  CHECK(to_text(Ratio(11), Unit::cents) == "11 cents");
  CHECK(find_unit("cent") == Unit::cents);
}
