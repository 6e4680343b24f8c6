// Units and the way their numbers are shown.
// Tested by tests/unit/quantity_test.cc; tests/property/quantity_test.cc converts there and back in every pair.
#include "engine/value/quantity.h"

#include <algorithm>
#include <cassert>

#include <fmt/format.h>

#include "engine/value/wide.h"

namespace stringline {

namespace {

constexpr int exact_decimals = 9;  // a value that needs no more is shown exactly: 1e-9 mm is the finest one

std::int8_t saturated(int exponent) { return static_cast<std::int8_t>(std::clamp(exponent, -127, 127)); }

struct DimensionName {
  std::string_view with_article;
  std::string_view bare;
};

constexpr std::array<DimensionName, 7> dimension_names{{
    {"a length", "length"},
    {"a time", "time"},
    {"a temperature", "temperature"},
    {"a force", "force"},
    {"money", "money"},
    {"cents", "cents"},
    {"a humidity", "humidity"},
}};

// Decimals for a value that never ends in this unit, such as a third or a millimetre in inches.
int usual_decimals(Unit unit) {
  switch (unit) {
    case Unit::none:
    case Unit::in:
    case Unit::cm: return 4;
    case Unit::mm:
    case Unit::newton:
    case Unit::lbf:
    case Unit::kgf: return 3;
    case Unit::hertz:
    case Unit::hour:
    case Unit::day:
    case Unit::turns: return 2;
    case Unit::thou:
    case Unit::cents:
    case Unit::relative_humidity:
    case Unit::deg_c:
    case Unit::deg_f:
    case Unit::minute:
    case Unit::percent: return 1;
  }
  return 3;
}

// The finest part in which the trade counts this unit by fractions: 256ths of an inch, eighths of a turn; 0 elsewhere.
std::int64_t fraction_parts(Unit unit) {
  if (unit == Unit::in) return 256;
  return unit == Unit::turns ? 8 : 0;
}

bool counts_in(Ratio value, std::int64_t parts) { return parts != 0 && parts % value.den() == 0; }

// "3/32", "3.5/64", "25 1/2", "7"; `value` is a whole count of 256ths.
std::string to_fraction(Ratio value) {
  const UInt128 size = magnitude(value.num());
  const auto den = static_cast<std::uint64_t>(value.den());
  const auto whole = static_cast<std::uint64_t>(size / den);
  const auto part = static_cast<std::uint64_t>(size % den);
  std::string text = value.negative() ? "-" : "";
  if (whole > 0 || part == 0) text += std::to_string(whole);
  if (part == 0) return text;
  if (whole > 0) text += ' ';
  if (den <= 64) return text + fmt::format("{}/{}", part, den);
  // Halves and quarters of a 64th: den is 128 or 256.
  return text + (den == 128 ? fmt::format("{}.5/64", part / 2) : fmt::format("{}.{}/64", part / 4, part % 4 * 25));
}

// Without a step: exactly where nine decimals are enough.
std::string to_plain(Ratio number, Unit unit) {
  if (counts_in(number, fraction_parts(unit))) return to_fraction(number);
  const auto places = decimal_places(number);
  if (places && *places <= exact_decimals) return to_fixed(number, *places);
  const std::string rounded = to_fixed(number, usual_decimals(unit));
  return to_decimal(Ratio::parse(rounded).value_or(number));  // without its last zeros
}

// Decimals that tell two multiples of `step` apart: the last place is worth half a step or less.
int telling_decimals(Ratio step) {
  int digits = 0;
  for (std::int64_t power = 1; digits < exact_decimals && Ratio{2} > multiply(step, power).value_or(2); power *= 10) {
    ++digits;
  }
  return digits;
}

// `number` and `step` both in `unit`.
std::string to_stepped(Ratio number, Unit unit, Ratio step) {
  const auto places = decimal_places(step);
  const bool as_fraction = counts_in(step, fraction_parts(unit));
  const bool at_home = as_fraction || (places && *places <= std::max(3, usual_decimals(unit)));
  const auto rounded = round_to(number, step);
  if (!at_home || !rounded) return to_fixed(number, telling_decimals(step));
  return as_fraction ? to_fraction(*rounded) : to_fixed(*rounded, *places);
}

// "2 cents", and "1 cent".
std::string with_unit(std::string number, Unit unit) {
  std::string_view written = info(unit).written;
  if (written.empty()) return number;
  const bool one = number == "1" || number == "+1" || number == "-1";
  if (one && unit == Unit::cents) written.remove_suffix(1);
  return number.append(" ").append(written);
}

// How one factor of a dimension is named after "per" or in front of it.
void append_factor(std::string& text, std::string_view name, std::string_view joint) {
  if (!text.empty()) text += joint;
  text += name;
}

bool fits_ticks(Ratio millimetres) {
  const Int128 ticks = static_cast<Int128>(millimetres.num()) * (ticks_per_mm / millimetres.den());
  return narrow(ticks).has_value();
}

}  // namespace

Dimension operator*(Dimension a, Dimension b) {
  for (std::size_t i = 0; i < a.exponents.size(); ++i) a.exponents[i] = saturated(a.exponents[i] + b.exponents[i]);
  return a;
}

Dimension operator/(Dimension a, Dimension b) {
  for (std::size_t i = 0; i < a.exponents.size(); ++i) a.exponents[i] = saturated(a.exponents[i] - b.exponents[i]);
  return a;
}

std::string describe(Dimension dimension) {
  if (dimension == dimension::number) return "a plain number";
  if (dimension == dimension::frequency) return "a frequency";
  std::string text;
  for (std::size_t i = 0; i < dimension_names.size(); ++i) {
    for (int n = 0; n < dimension.exponents[i]; ++n) append_factor(text, dimension_names[i].with_article, " times ");
  }
  if (text.empty()) text = "a plain number";
  for (std::size_t i = 0; i < dimension_names.size(); ++i) {
    for (int n = 0; n > dimension.exponents[i]; --n) append_factor(text, dimension_names[i].bare, " per ");
  }
  return text;
}

const std::vector<UnitInfo>& all_units() {
  static const std::vector<UnitInfo> table{
#define STRINGLINE_UNIT(name, written, dim, num, den, off_num, off_den) \
  {Unit::name, written, dimension::dim, Ratio::make(num, den).value(), Ratio::make(off_num, off_den).value()},
#include "engine/value/units.def"
#undef STRINGLINE_UNIT
  };
  return table;
}

const UnitInfo& info(Unit unit) {
  const auto index = static_cast<std::size_t>(unit);
  assert(index < all_units().size() && "a unit is one of units.def");
  return all_units()[index];
}

std::optional<Unit> find_unit(std::string_view written) {
  if (written == "cent") return Unit::cents;  // as one of them is printed
  if (written == "turn") return Unit::turns;  // as lists print one of them, or a part of one: 1/8 turn
  const auto& units = all_units();
  const auto found =
      std::find_if(units.begin(), units.end(), [&](const auto& each) { return each.written == written; });
  return found == units.end() ? std::nullopt : std::optional<Unit>{found->unit};
}

std::optional<Quantity> make_quantity(Ratio written, Unit unit) {
  const UnitInfo& known = info(unit);
  const auto scaled = multiply(written, known.factor);
  const auto value = scaled ? add(*scaled, known.offset) : std::nullopt;
  if (!value) return {};
  if (known.dimension == dimension::length && !(is_whole_tick(*value) && fits_ticks(*value))) return {};
  return Quantity{*value, unit};
}

std::optional<Ratio> in_unit(Ratio value, Unit unit, bool difference) {
  const UnitInfo& known = info(unit);
  const auto scaled = difference ? std::optional<Ratio>{value} : subtract(value, known.offset);
  return scaled ? divide(*scaled, known.factor) : std::nullopt;
}

std::string to_text(Ratio value, Unit unit, std::optional<Ratio> step, bool difference) {
  const auto number = in_unit(value, unit, difference);
  if (!number) {  // beyond any bench: the exact number has no 64-bit form in this unit
    const double offset = difference ? 0.0 : info(unit).offset.to_double();
    return with_unit(fmt::format("{:.6g}", (value.to_double() - offset) / info(unit).factor.to_double()), unit);
  }
  const auto own_step = step ? in_unit(*step, unit, true) : std::nullopt;
  const bool stepped = own_step && *own_step > Ratio{0};
  return with_unit(stepped ? to_stepped(*number, unit, *own_step) : to_plain(*number, unit), unit);
}

}  // namespace stringline
