#include "engine/value/date.h"

#include <catch2/catch.hpp>
#include <ctime>
#include <string>

using namespace stringline;

namespace {

Date date(const std::string& text) { return parse_date(text).value(); }

// The length of a month by the rhyme and the leap year rule, for counting days one by one.
int days_in(int year, int month) {
  if (month == 2) return year % 400 == 0 || (year % 4 == 0 && year % 100 != 0) ? 29 : 28;
  return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

std::string written(int year, int month, int day) {
  const auto padded = [](int value, std::size_t width) {
    const std::string digits = std::to_string(value);
    return std::string(width - digits.size(), '0') + digits;
  };
  return padded(year, 4) + '-' + padded(month, 2) + '-' + padded(day, 2);
}

}  // namespace

TEST_CASE("a date is four, two and two digits that name a day of the calendar") {
  const std::string text = GENERATE("", "2026-8-03", "2026-08-3", "26-08-03", "2026/08/03", "2026-08-03 ", "20260803",
                                    "2026-13-01", "2026-00-10", "2026-01-00", "2026-01-32", "2026-04-31", "-026-08-03",
                                    "+026-08-03", "2026-08-0x", "2026-08-03T00:00:00Z", "2026-+8-03");
  CAPTURE(text);
  CHECK_FALSE(parse_date(text));
}

TEST_CASE("every day of a thousand years follows the one before it and is written as it is read") {
  std::int32_t days = date("1500-01-01").days;
  bool all_agree = true;
  std::string first_wrong;
  for (int year = 1500; year < 2500; ++year) {
    for (int month = 1; month <= 12; ++month) {
      for (int day = 1; day <= days_in(year, month); ++day, ++days) {
        const std::string text = written(year, month, day);
        const auto read = parse_date(text);
        if (read && read->days == days && to_text(*read) == text) continue;
        if (all_agree) first_wrong = text;
        all_agree = false;
      }
      const std::string after = written(year, month, days_in(year, month) + 1);
      if (!parse_date(after)) continue;
      if (all_agree) first_wrong = after;
      all_agree = false;
    }
  }
  CAPTURE(first_wrong);
  CHECK(all_agree);
}

TEST_CASE("the count of days starts in 1970 and reaches from year 0 to year 9999") {
  CHECK(date("1970-01-01").days == 0);
  CHECK(date("1969-12-31").days == -1);
  CHECK(to_text(date("0000-01-01")) == "0000-01-01");
  CHECK(to_text(date("9999-12-31")) == "9999-12-31");
}

TEST_CASE("days are added within the years that can be written") {
  CHECK(add_days(date("2026-08-03"), 18) == date("2026-08-21"));
  CHECK(add_days(date("2024-02-28"), 1) == date("2024-02-29"));
  CHECK(add_days(date("2026-03-01"), -1) == date("2026-02-28"));
  CHECK_FALSE(add_days(date("9999-12-31"), 1));
  CHECK_FALSE(add_days(date("0000-01-01"), -1));
  CHECK_FALSE(add_days(date("2026-08-03"), INT64_MAX));
  CHECK_FALSE(add_days(date("2026-08-03"), INT64_MIN));
  CHECK(add_days(date("0000-01-01"), days_between(date("0000-01-01"), date("9999-12-31"))) == date("9999-12-31"));
}

TEST_CASE("days between two dates count from the first to the second") {
  CHECK(days_between(date("2026-08-03"), date("2026-08-21")) == 18);
  CHECK(days_between(date("2026-08-21"), date("2026-08-03")) == -18);
  CHECK(days_between(date("2024-01-01"), date("2025-01-01")) == 366);
  CHECK(date("2026-08-03") < date("2026-08-21"));
}

TEST_CASE("today is the day of the machine's clock") {
  const auto clock_day = [] {
    const std::time_t now = std::time(nullptr);
    char text[11] = {};
    std::strftime(text, sizeof text, "%Y-%m-%d", std::localtime(&now));
    return std::string{text};
  };
  const std::string before = clock_day();
  const std::string answer = to_text(today());
  const std::string after = clock_day();
  CHECK((answer == before || answer == after));  // midnight may pass in between
}
