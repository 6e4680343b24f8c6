// Calendar days; the standard library's calendar is the proleptic Gregorian one that RFC 3339 asks for.
// Tested by tests/unit/date_test.cc, against a day-by-day count, and by outside_checks_test.cc.
#include "engine/value/date.h"

#include <time.h>  // localtime_r

#include <chrono>

#include <fmt/format.h>

namespace stringline {

namespace {

constexpr std::int64_t first_day = -719528;  // 0000-01-01
constexpr std::int64_t last_day = 2932896;   // 9999-12-31

std::optional<int> parse_digits(std::string_view digits) {
  int value = 0;
  for (const char digit : digits) {
    if (digit < '0' || digit > '9') return {};
    value = value * 10 + (digit - '0');
  }
  return value;
}

std::optional<Date> make_date(int year, int month, int day) {
  const std::chrono::year_month_day civil{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                                          std::chrono::day{static_cast<unsigned>(day)}};
  if (!civil.ok()) return {};
  return Date{static_cast<std::int32_t>(std::chrono::sys_days{civil}.time_since_epoch().count())};
}

}  // namespace

std::optional<Date> parse_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return {};
  const auto year = parse_digits(text.substr(0, 4));
  const auto month = parse_digits(text.substr(5, 2));
  const auto day = parse_digits(text.substr(8, 2));
  if (!year || !month || !day) return {};
  return make_date(*year, *month, *day);
}

std::string to_text(Date date) {
  const std::chrono::year_month_day civil{std::chrono::sys_days{std::chrono::days{date.days}}};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(civil.year()), static_cast<unsigned>(civil.month()),
                     static_cast<unsigned>(civil.day()));
}

Date today() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  if (localtime_r(&now, &local) != nullptr) {
    if (const auto date = make_date(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday)) return *date;
  }
  return Date{static_cast<std::int32_t>(now / 86400)};
}

std::optional<Date> add_days(Date date, std::int64_t days) {
  if (days < first_day - last_day || days > last_day - first_day) return {};
  const std::int64_t sum = date.days + days;
  if (sum < first_day || sum > last_day) return {};
  return Date{static_cast<std::int32_t>(sum)};
}

std::int64_t days_between(Date from, Date to) { return std::int64_t{to.days} - from.days; }

}  // namespace stringline
