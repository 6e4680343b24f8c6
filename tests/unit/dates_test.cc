#include "engine/paper/dates.h"

#include <catch2/catch.hpp>

using namespace stringline;

TEST_CASE("a day is shown in the house's form") {
  const Date day = parse_date("2026-08-03").value();
  CHECK(shown(day, DateForm::iso) == "2026-08-03");
  CHECK(shown(day, DateForm::day_month) == "3 Aug 2026");
  CHECK(shown(day, DateForm::month_day) == "Aug 3, 2026");
  CHECK(shown(parse_date("2026-12-31").value(), DateForm::day_month) == "31 Dec 2026");
  CHECK(shown(parse_date("0999-01-01").value(), DateForm::month_day) == "Jan 1, 0999");
}
