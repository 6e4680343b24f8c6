// A number that may be known only between two ends: a reading of "at least 1.2 mm", a count with unread members, a
// model's prediction. Exact when both ends are the same and no model had a hand in it. All ends belong to the interval,
// and the lower one is never above the upper one.
#pragma once

#include <cstdint>
#include <optional>

#include "engine/value/ratio.h"

namespace stringline {

enum class Truth : std::uint8_t { no, yes, unknown };

struct Interval {
  std::optional<Ratio> lo;  // absent: no lower end
  std::optional<Ratio> hi;
  bool estimate = false;  // came from the model; never becomes exact again

  [[nodiscard]] static Interval exactly(Ratio value) { return {value, value, false}; }
  [[nodiscard]] static Interval anything() { return {}; }
  // Ends in millimetres (or cents) from the model, rounded outward. An end that is no finite number, or too large, is
  // absent: nothing is known on that side.
  [[nodiscard]] static Interval estimated(double lo, double hi);
  [[nodiscard]] bool is_exact() const { return lo && hi && *lo == *hi && !estimate; }
  [[nodiscard]] bool is_point() const { return lo && hi && *lo == *hi; }

  friend bool operator==(const Interval&, const Interval&) = default;
};

// Nothing where an end (for a product, any product of two ends) does not fit, or a divisor may be zero.
// The result holds every result of two values inside; what a model had a hand in stays an estimate.
[[nodiscard]] std::optional<Interval> add(const Interval& a, const Interval& b);
[[nodiscard]] std::optional<Interval> subtract(const Interval& a, const Interval& b);
[[nodiscard]] std::optional<Interval> multiply(const Interval& a, const Interval& b);
[[nodiscard]] std::optional<Interval> divide(const Interval& a, const Interval& b);
[[nodiscard]] std::optional<Interval> negate(const Interval& a);
[[nodiscard]] std::optional<Interval> absolute(const Interval& a);
[[nodiscard]] Interval min_of(const Interval& a, const Interval& b);
[[nodiscard]] Interval max_of(const Interval& a, const Interval& b);
[[nodiscard]] Interval hull(const Interval& a, const Interval& b);

// Three-valued: decided only where every pair of values inside agrees.
[[nodiscard]] Truth less(const Interval& a, const Interval& b);           // a < b
[[nodiscard]] Truth less_or_equal(const Interval& a, const Interval& b);  // a <= b
[[nodiscard]] Truth equal(const Interval& a, const Interval& b);

[[nodiscard]] Truth operator!(Truth a);
[[nodiscard]] Truth and_of(Truth a, Truth b);
[[nodiscard]] Truth or_of(Truth a, Truth b);

}  // namespace stringline
