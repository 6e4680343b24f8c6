// Money: a whole count of a currency's minor units. No floating point touches it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/value/ratio.h"

namespace stringline {

// An ISO 4217 currency.
struct Currency {
  std::string code = "USD";
  int minor_digits = 2;

  friend bool operator==(const Currency&, const Currency&) = default;
};

// By its code in capitals. Nothing for codes without a minor unit (gold, test codes): no shop counts in them.
[[nodiscard]] std::optional<Currency> find_currency(std::string_view code);
[[nodiscard]] const std::vector<Currency>& all_currencies();

enum class MoneyRounding : std::uint8_t { half_up, half_even, down, up };

// `units` (1.005 of a currency unit) as minor units. Half up rounds halves away from zero; up goes
// away from zero and down toward it, whatever the fraction. Nothing when it does not fit.
[[nodiscard]] std::optional<std::int64_t> to_minor(Ratio units, const Currency& currency,
                                                   MoneyRounding rounding = MoneyRounding::half_up);
// `share` of `minor` (0.25 of 8500), rounded. Nothing when it does not fit.
[[nodiscard]] std::optional<std::int64_t> share_of(std::int64_t minor, Ratio share,
                                                   MoneyRounding rounding = MoneyRounding::half_up);
// Nothing when the result does not fit.
[[nodiscard]] std::optional<std::int64_t> add_minor(std::int64_t a, std::int64_t b);
[[nodiscard]] std::optional<std::int64_t> times_minor(std::int64_t minor, std::int64_t count);
// "85.00", as many decimals as the currency has.
[[nodiscard]] std::string to_digits(std::int64_t minor, const Currency& currency);
// "85.00 USD", "1250 JPY", "3.125 KWD".
[[nodiscard]] std::string to_text(std::int64_t minor, const Currency& currency);

}  // namespace stringline
