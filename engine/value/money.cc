// Minor units and the ISO 4217 table. Tested by tests/unit/money_test.cc and outside_checks_test.cc.
#include "engine/value/money.h"

#include <algorithm>

#include "engine/value/wide.h"

namespace stringline {

namespace {

std::int64_t minor_per_unit(const Currency& currency) {
  std::int64_t power = 1;
  for (int i = 0; i < currency.minor_digits; ++i) power *= 10;
  return power;
}

// Whether `rest`/`den`, the part that is no whole minor unit, lifts `whole` by one.
bool lifts(UInt128 whole, UInt128 rest, UInt128 den, MoneyRounding rounding) {
  switch (rounding) {
    case MoneyRounding::down: return false;
    case MoneyRounding::up: return rest > 0;
    case MoneyRounding::half_up: return rest >= den - rest;
    case MoneyRounding::half_even: return rest > den - rest || (rest == den - rest && whole % 2 == 1);
  }
  return false;
}

}  // namespace

const std::vector<Currency>& all_currencies() {
  static const std::vector<Currency> table{
#define STRINGLINE_CURRENCY(code, minor_digits) {#code, minor_digits},
#include "engine/value/currencies.def"
#undef STRINGLINE_CURRENCY
  };
  return table;
}

std::optional<Currency> find_currency(std::string_view code) {
  const auto& table = all_currencies();
  const auto found = std::find_if(table.begin(), table.end(), [&](const Currency& each) { return each.code == code; });
  return found == table.end() ? std::nullopt : std::optional<Currency>{*found};
}

namespace {

// num/den rounded to a whole number; den above zero.
std::optional<std::int64_t> rounded(bool negative, UInt128 num, UInt128 den, MoneyRounding rounding) {
  UInt128 whole = num / den;
  if (lifts(whole, num % den, den, rounding)) ++whole;
  return narrow(negative ? -static_cast<Int128>(whole) : static_cast<Int128>(whole));
}

}  // namespace

std::optional<std::int64_t> to_minor(Ratio units, const Currency& currency, MoneyRounding rounding) {
  const UInt128 num = magnitude(units.num()) * magnitude(minor_per_unit(currency));
  return rounded(units.negative(), num, magnitude(units.den()), rounding);
}

std::optional<std::int64_t> share_of(std::int64_t minor, Ratio share, MoneyRounding rounding) {
  const UInt128 num = magnitude(minor) * magnitude(share.num());
  return rounded((minor < 0) != share.negative(), num, magnitude(share.den()), rounding);
}

std::optional<std::int64_t> add_minor(std::int64_t a, std::int64_t b) {
  return narrow(static_cast<Int128>(a) + static_cast<Int128>(b));
}

std::optional<std::int64_t> times_minor(std::int64_t minor, std::int64_t count) {
  return narrow(static_cast<Int128>(minor) * static_cast<Int128>(count));
}

std::string to_digits(std::int64_t minor, const Currency& currency) {
  const auto units = Ratio::make(minor, minor_per_unit(currency));
  return units ? to_fixed(*units, currency.minor_digits) : std::to_string(minor);
}

std::string to_text(std::int64_t minor, const Currency& currency) {
  const std::string digits = to_digits(minor, currency);
  return currency.code.empty() ? digits : digits + ' ' + currency.code;
}

}  // namespace stringline
