// A calendar day, as RFC 3339 writes a full-date: 2026-08-03.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace stringline {

struct Date {
  std::int32_t days = 0;  // since 1970-01-01

  friend auto operator<=>(const Date&, const Date&) = default;
};

// "2026-08-03" and nothing else: four, two and two digits, a day that the Gregorian calendar has, years 0000 to 9999.
[[nodiscard]] std::optional<Date> parse_date(std::string_view text);
[[nodiscard]] std::string to_text(Date date);
[[nodiscard]] Date today();  // of the machine's clock, local time

// Nothing outside the years 0000 to 9999.
[[nodiscard]] std::optional<Date> add_days(Date date, std::int64_t days);
// Below zero when `to` comes before `from`.
[[nodiscard]] std::int64_t days_between(Date from, Date to);

}  // namespace stringline
