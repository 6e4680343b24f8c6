// A closed interval of doubles: what the model says where it does not know one number.
#pragma once

#include <algorithm>

namespace stringline::model {

struct Range {
  double lo = 0.0;
  double hi = 0.0;

  [[nodiscard]] double middle() const { return 0.5 * (lo + hi); }
  [[nodiscard]] double width() const { return hi - lo; }
  [[nodiscard]] bool contains(double value) const { return lo <= value && value <= hi; }

  friend bool operator==(const Range&, const Range&) = default;
};

[[nodiscard]] inline Range exactly(double value) { return {value, value}; }
[[nodiscard]] inline Range ordered(double a, double b) { return {std::min(a, b), std::max(a, b)}; }
[[nodiscard]] inline Range hull(Range a, Range b) { return {std::min(a.lo, b.lo), std::max(a.hi, b.hi)}; }

}  // namespace stringline::model
