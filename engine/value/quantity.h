// Dimensions, units, and a number with both.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/value/ratio.h"

namespace stringline {

// Exponents of length, time, temperature, force, money, cents, humidity. A plain number has none.
struct Dimension {
  std::array<std::int8_t, 7> exponents{};

  friend bool operator==(const Dimension&, const Dimension&) = default;
};

namespace dimension {
inline constexpr Dimension number{};
inline constexpr Dimension length{{1, 0, 0, 0, 0, 0, 0}};
inline constexpr Dimension time{{0, 1, 0, 0, 0, 0, 0}};
inline constexpr Dimension temperature{{0, 0, 1, 0, 0, 0, 0}};
inline constexpr Dimension force{{0, 0, 0, 1, 0, 0, 0}};
inline constexpr Dimension money{{0, 0, 0, 0, 1, 0, 0}};
inline constexpr Dimension cents{{0, 0, 0, 0, 0, 1, 0}};
inline constexpr Dimension humidity{{0, 0, 0, 0, 0, 0, 1}};
inline constexpr Dimension frequency{{0, -1, 0, 0, 0, 0, 0}};
}  // namespace dimension

// Exponents stop at -127 and 127, far beyond any real expression.
[[nodiscard]] Dimension operator*(Dimension a, Dimension b);
[[nodiscard]] Dimension operator/(Dimension a, Dimension b);
// In words: "a length", "a plain number", "cents", "a length times a length", "money per time", "a frequency".
[[nodiscard]] std::string describe(Dimension dimension);

enum class Unit : std::uint8_t {
#define STRINGLINE_UNIT(name, written, dim, num, den, off_num, off_den) name,
#include "engine/value/units.def"
#undef STRINGLINE_UNIT
};

struct UnitInfo {
  Unit unit;
  std::string_view written;
  Dimension dimension;
  Ratio factor;
  Ratio offset;
};

[[nodiscard]] const UnitInfo& info(Unit unit);
[[nodiscard]] const std::vector<UnitInfo>& all_units();
// By its exact spelling; the empty one is Unit::none.
[[nodiscard]] std::optional<Unit> find_unit(std::string_view written);

// A number as its author wrote it: the value in base units, and the unit in which it is shown again.
struct Quantity {
  Ratio value;
  Unit unit = Unit::none;

  friend bool operator==(const Quantity&, const Quantity&) = default;
};

// `written` in `unit`, converted to base units; nothing when it does not fit, or a length is no whole tick of 1/16000
// nm or no int64 count of them (576 km).
[[nodiscard]] std::optional<Quantity> make_quantity(Ratio written, Unit unit);

// `value` (base units) in `unit`, without the unit's offset when `difference` is true.
[[nodiscard]] std::optional<Ratio> in_unit(Ratio value, Unit unit, bool difference = false);

// For people, in `unit`: "9 thou", "0.25 mm", "51 %RH", "-3 cents". Never an endless fraction, never "-0".
// - Inches as the trade writes them, where that is exact: reduced fractions down to 1/64, halves and quarters of a 64th
//   above the 64: "25 1/2 in", "3/32 in", "3.5/64 in". Turns likewise in eighths: "1/8 turns", "1 1/4 turns".
// - Without `step`: exactly when nine decimals are enough, else at the few decimals people use in that unit.
// - With `step` (base units): the nearest multiple of it, with the step's decimals (0.05 mm shows "0.10 mm"). A step at
//   home in another unit (1/128 in where mm are shown) only says how many decimals tell its multiples apart; a
//   reading of 2 mm never turns into 1.984375 mm.
[[nodiscard]] std::string to_text(Ratio value, Unit unit, std::optional<Ratio> step = std::nullopt,
                                  bool difference = false);

}  // namespace stringline
