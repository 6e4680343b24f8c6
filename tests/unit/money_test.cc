#include "engine/value/money.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <string>

using namespace stringline;

namespace {

Ratio decimal(const std::string& text) { return Ratio::parse(text).value(); }
Currency currency(const std::string& code) { return find_currency(code).value(); }

}  // namespace

TEST_CASE("a currency is found by its code in capitals") {
  CHECK(currency("USD") == Currency{"USD", 2});
  CHECK(currency("JPY").minor_digits == 0);
  CHECK_FALSE(find_currency("usd"));
  CHECK_FALSE(find_currency(""));
  CHECK_FALSE(find_currency("US"));
  CHECK_FALSE(find_currency("XAU"));  // gold has no minor unit
  CHECK_FALSE(find_currency("QQQ"));
}

TEST_CASE("the table of currencies is in order, without doubles, and every code is three capitals") {
  const auto& table = all_currencies();
  const auto by_code = [](const Currency& a, const Currency& b) { return a.code < b.code; };
  CHECK(std::is_sorted(table.begin(), table.end(), by_code));
  CHECK(std::adjacent_find(table.begin(), table.end(), [](const auto& a, const auto& b) { return a.code == b.code; }) ==
        table.end());
  for (const Currency& each : table) {
    CAPTURE(each.code);
    CHECK(each.code.size() == 3);
    CHECK(std::all_of(each.code.begin(), each.code.end(), [](char c) { return c >= 'A' && c <= 'Z'; }));
    CHECK((each.minor_digits == 0 || (each.minor_digits >= 2 && each.minor_digits <= 4)));
  }
}

TEST_CASE("an amount becomes minor units by the rounding that was asked for") {
  const Currency usd = currency("USD");
  CHECK(to_minor(decimal("85"), usd) == 8500);
  CHECK(to_minor(decimal("1.005"), usd) == 101);
  CHECK(to_minor(decimal("-1.005"), usd) == -101);
  CHECK(to_minor(decimal("1.005"), usd, MoneyRounding::half_even) == 100);
  CHECK(to_minor(decimal("1.015"), usd, MoneyRounding::half_even) == 102);
  CHECK(to_minor(decimal("1.0051"), usd, MoneyRounding::half_even) == 101);
  CHECK(to_minor(decimal("1.001"), usd, MoneyRounding::up) == 101);
  CHECK(to_minor(decimal("-1.001"), usd, MoneyRounding::up) == -101);
  CHECK(to_minor(decimal("1.009"), usd, MoneyRounding::down) == 100);
  CHECK(to_minor(decimal("-1.009"), usd, MoneyRounding::down) == -100);
  CHECK(to_minor(Ratio::make(1, 3).value(), usd) == 33);
  CHECK(to_minor(Ratio::make(2, 3).value(), currency("KWD")) == 667);
  CHECK(to_minor(decimal("0.5"), currency("JPY")) == 1);
}

TEST_CASE("an amount that does not fit is refused") {
  const Ratio highest = std::numeric_limits<std::int64_t>::max();
  CHECK_FALSE(to_minor(highest, currency("USD")));
  CHECK(to_minor(highest, currency("JPY")) == std::numeric_limits<std::int64_t>::max());
}

TEST_CASE("money is shown with all digits of its minor unit") {
  CHECK(to_text(8500, currency("USD")) == "85.00 USD");
  CHECK(to_text(1250, currency("JPY")) == "1250 JPY");
  CHECK(to_text(3125, currency("KWD")) == "3.125 KWD");
  CHECK(to_text(-5, currency("USD")) == "-0.05 USD");
  CHECK(to_text(0, currency("USD")) == "0.00 USD");
  CHECK(to_text(std::numeric_limits<std::int64_t>::min(), currency("USD")) == "-92233720368547758.08 USD");
}
