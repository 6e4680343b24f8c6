#include "engine/paper/dates.h"

#include <fmt/format.h>

#include <array>

namespace stringline {

std::string shown(Date date, DateForm form) {
  const std::string iso = to_text(date);
  if (form == DateForm::iso || iso.size() != 10) return iso;
  static constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const auto number = [&](std::size_t at) { return (iso[at] - '0') * 10 + (iso[at + 1] - '0'); };
  const char* month = months.at(static_cast<std::size_t>(number(5) - 1));
  const std::string year = iso.substr(0, 4);
  return form == DateForm::day_month ? fmt::format("{} {} {}", number(8), month, year)
                                     : fmt::format("{} {}, {}", month, number(8), year);
}

}  // namespace stringline
