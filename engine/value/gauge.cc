#include "engine/value/gauge.h"

#include "engine/value/quantity.h"

namespace stringline {
namespace {

std::optional<Gauge> parse_gauge(std::string_view text) {
  if (text.size() < 2) return std::nullopt;
  const char kind = text.back();
  if (kind != 'p' && kind != 'w') return std::nullopt;
  text.remove_suffix(1);
  const bool inches = text.front() == '.';
  const auto number = Ratio::parse(inches ? "0" + std::string(text) : std::string(text));
  if (!number || *number <= Ratio(0)) return std::nullopt;
  const auto size = make_quantity(*number, inches ? Unit::in : Unit::thou);
  if (!size) return std::nullopt;
  return Gauge{size->value, kind == 'w'};
}

}  // namespace

std::optional<Course> parse_course(std::string_view text) {
  Course course{{}, std::string(text)};
  while (true) {
    const std::size_t plus = text.find('+');
    const auto gauge = parse_gauge(text.substr(0, plus));
    if (!gauge) return std::nullopt;
    course.strings.push_back(*gauge);
    if (plus == std::string_view::npos) return course;
    text.remove_prefix(plus + 1);
  }
}

}  // namespace stringline
