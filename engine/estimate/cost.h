// An amount that may be known only between two ends: on a good day, as a rule, on a bad day. Whole minor units.
//
// Sums that do not fit stay marked (`fits`), through everything made from them; who prints an amount asks first.
// Tested by tests/unit/cost_test.cc.
#pragma once

#include <cstdint>

#include "engine/value/money.h"

namespace stringline {

struct Cost {
  std::int64_t low = 0;
  std::int64_t typical = 0;
  std::int64_t high = 0;
  bool fits = true;

  [[nodiscard]] static Cost exactly(std::int64_t minor) { return {minor, minor, minor, true}; }
  [[nodiscard]] static Cost too_large() { return {0, 0, 0, false}; }
  [[nodiscard]] bool is_exact() const { return low == typical && typical == high; }
  [[nodiscard]] bool is_zero() const { return low == 0 && typical == 0 && high == 0; }

  friend bool operator==(const Cost&, const Cost&) = default;
};

[[nodiscard]] Cost operator+(const Cost& a, const Cost& b);
[[nodiscard]] Cost operator-(const Cost& a, const Cost& b);  // each end from the same end of the other
[[nodiscard]] Cost times(const Cost& cost, std::int64_t count);
[[nodiscard]] Cost share_of(const Cost& cost, Ratio share, MoneyRounding rounding);
[[nodiscard]] Cost lesser(const Cost& a, const Cost& b);  // end by end
[[nodiscard]] Cost at_most(const Cost& cost, std::int64_t most);
[[nodiscard]] Cost at_least(const Cost& cost, std::int64_t least);

}  // namespace stringline
