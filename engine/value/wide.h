// 128-bit steps inside the exact arithmetic. For the .cc files of engine/value only.
#pragma once

#include <cstdint>
#include <limits>
#include <numeric>
#include <optional>

#include "engine/value/ratio.h"

namespace stringline {

// __extension__: both compilers have the type, but it is not in the standard.
__extension__ typedef __int128 Int128;
__extension__ typedef unsigned __int128 UInt128;

inline constexpr std::int64_t ticks_per_mm = 16'000'000'000;  // 1/16000 nm each

[[nodiscard]] constexpr UInt128 magnitude(Int128 value) {
  return value < 0 ? UInt128{0} - static_cast<UInt128>(value) : static_cast<UInt128>(value);
}

[[nodiscard]] constexpr UInt128 greatest_divisor(UInt128 a, UInt128 b) {
  constexpr UInt128 small = std::numeric_limits<std::uint64_t>::max();
  while (b != 0) {
    if (a <= small && b <= small) return std::gcd(static_cast<std::uint64_t>(a), static_cast<std::uint64_t>(b));
    const UInt128 rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

// `value` where it fits 64 bits, the lowest one included.
[[nodiscard]] constexpr std::optional<std::int64_t> narrow(Int128 value) {
  if (value < std::numeric_limits<std::int64_t>::min() || value > std::numeric_limits<std::int64_t>::max()) return {};
  return static_cast<std::int64_t>(value);
}

// The only maker of fractions whose parts were computed in 128 bits.
struct WideRatio {
  // num/den reduced; nothing when `den` is zero or the reduced parts do not fit.
  [[nodiscard]] static std::optional<Ratio> reduce(Int128 num, Int128 den);
};

}  // namespace stringline
