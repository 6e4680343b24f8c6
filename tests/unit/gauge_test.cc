#include "engine/value/gauge.h"

#include <catch2/catch.hpp>

#include "engine/value/quantity.h"

using namespace stringline;

namespace {

Ratio thou(std::int64_t count) { return make_quantity(Ratio(count), Unit::thou)->value; }

}  // namespace

TEST_CASE("a gauge is thousandths of an inch, plain or wound") {
  const auto plain = parse_course("11p");
  REQUIRE(plain);
  REQUIRE(plain->strings.size() == 1);
  CHECK(plain->strings[0].diameter == thou(11));
  CHECK_FALSE(plain->strings[0].wound);
  CHECK(plain->written == "11p");

  const auto wound = parse_course("28w");
  REQUIRE(wound);
  CHECK(wound->strings[0].diameter == thou(28));
  CHECK(wound->strings[0].wound);
}

TEST_CASE("a gauge is exact in millimetres: 10 thou are 0.254 mm") {  // the inch is 25.4 mm by definition
  CHECK(parse_course("10p")->strings[0].diameter == *Ratio::make(254, 1000));
}

TEST_CASE("half a thou and the decimal point of an inch are read") {
  CHECK(parse_course("10.5p")->strings[0].diameter == make_quantity(*Ratio::make(21, 2), Unit::thou)->value);
  CHECK(parse_course(".011p")->strings == parse_course("11p")->strings);
}

TEST_CASE("mates of a course are joined by +, the naming string first") {
  const auto course = parse_course("42w+20w");
  REQUIRE(course);
  REQUIRE(course->strings.size() == 2);
  CHECK(course->strings[0].diameter == thou(42));
  CHECK(course->strings[1].diameter == thou(20));
  CHECK(course->written == "42w+20w");
  CHECK(parse_course("9p+9p+9p")->strings.size() == 3);
}

TEST_CASE("what is no gauge is refused") {
  const auto* text = GENERATE("", "p", "w", "11", "11 p", "11x", "0p", "-11p", "+11p", "11p+", "42w+20", "1e1p", "11pp",
                              ".p", "42w + 20w", "99999999999999999999p");
  CAPTURE(text);
  CHECK_FALSE(parse_course(text));
}
