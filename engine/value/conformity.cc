// Judging one reading. The decision compares squares of exact fractions; only the probability, which decides nothing,
// is a double.
#include "engine/value/conformity.h"

#include <algorithm>
#include <cmath>

namespace stringline {

namespace {

// The normal distribution's upper tail, 1 - Phi(z), without loss for large z.
double upper_tail(double z) { return 0.5 * std::erfc(z / std::sqrt(2.0)); }

double scaled(const std::optional<Ratio>& limit, double value, double u, double absent) {
  return limit ? (limit->to_double() - value) / u : absent;
}

// How a reading lies to one limit: `beyond` is how far it is past it, below zero inside.
enum class Side : std::uint8_t { clearly_in, near, clearly_out };

Side side_of(Ratio beyond, Ratio expanded_square) {
  const auto distance = compare_square(beyond, expanded_square);
  if (beyond > Ratio{0}) return distance > 0 ? Side::clearly_out : Side::near;
  return distance >= 0 ? Side::clearly_in : Side::near;
}

}  // namespace

std::optional<Ratio> expanded_square(const Uncertainty& uncertainty) {
  if (uncertainty.readings < 1) return {};
  const auto resolution = multiply(uncertainty.resolution, uncertainty.resolution);
  const auto repeat = multiply(uncertainty.repeat, uncertainty.repeat);
  if (!resolution || !repeat) return {};
  const auto of_tool = divide(*resolution, 3);
  const auto share = Ratio::make(4, uncertainty.readings);
  const auto of_hand = share ? multiply(*repeat, *share) : std::nullopt;
  if (!of_tool || !of_hand) return {};
  return add(*of_tool, *of_hand);
}

std::optional<Conformity> judge_value(Ratio value, const Tolerance& tolerance, Ratio expanded_square) {
  Side above = Side::clearly_in;
  Side under = Side::clearly_in;
  if (tolerance.hi) {
    const auto beyond = subtract(value, *tolerance.hi);
    if (!beyond) return {};
    above = side_of(*beyond, expanded_square);
  }
  if (tolerance.lo) {
    const auto beyond = subtract(*tolerance.lo, value);
    if (!beyond) return {};
    under = side_of(*beyond, expanded_square);
  }
  if (above == Side::clearly_out) return Conformity::high;
  if (under == Side::clearly_out) return Conformity::low;
  return above == Side::clearly_in && under == Side::clearly_in ? Conformity::within : Conformity::too_close;
}

double probability(double value, const Tolerance& tolerance, double standard_uncertainty) {
  if (standard_uncertainty <= 0.0) {
    const bool inside =
        (!tolerance.lo || value >= tolerance.lo->to_double()) && (!tolerance.hi || value <= tolerance.hi->to_double());
    return inside ? 1.0 : 0.0;
  }
  double from = scaled(tolerance.lo, value, standard_uncertainty, -HUGE_VAL);
  double to = scaled(tolerance.hi, value, standard_uncertainty, HUGE_VAL);
  if (to < 0.0) {  // mirrored, so that both tails are small numbers and their difference keeps its digits
    std::swap(from, to);
    from = -from;
    to = -to;
  }
  return std::clamp(upper_tail(from) - upper_tail(to), 0.0, 1.0);
}

std::optional<double> measuring_capability(const Tolerance& tolerance, Ratio expanded_square) {
  if (!tolerance.lo || !tolerance.hi || expanded_square <= Ratio{0}) return {};
  return (tolerance.hi->to_double() - tolerance.lo->to_double()) / (2.0 * std::sqrt(expanded_square.to_double()));
}

}  // namespace stringline
