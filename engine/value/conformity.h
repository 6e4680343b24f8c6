// A reading against a range, with what the tool and the hand can tell apart.
//
// U^2 = d^2/3 + 4 rep^2/n: twice the standard uncertainty of a reading whose smallest difference told apart is d
// (rectangular, u = d/sqrt(12), GUM F.2.2.1) and whose repeatability is rep (1 sigma) averaged over n readings.
// Limits belong to the range (JCGM 106:2012, 3.3.5 note). Squares are compared, so nothing is rounded.
#pragma once

#include <cstdint>
#include <optional>

#include "engine/value/ratio.h"

namespace stringline {

struct Tolerance {
  std::optional<Ratio> lo;  // absent: one-sided
  std::optional<Ratio> hi;
};

struct Uncertainty {
  Ratio resolution;  // d
  Ratio repeat;      // rep
  int readings = 1;  // n
};

enum class Conformity : std::uint8_t { within, high, low, too_close };

// U^2; nothing on overflow, or with fewer than one reading.
[[nodiscard]] std::optional<Ratio> expanded_square(const Uncertainty& uncertainty);

// Tested by tests/unit/conformity_test.cc and, against published values, by tests/unit/outside_checks_test.cc.
// high: y above hi and (y - hi)^2 > U^2; low likewise; within: inside and both squared distances at least U^2.
// With U = 0 this is the plain comparison. Nothing on overflow.
[[nodiscard]] std::optional<Conformity> judge_value(Ratio value, const Tolerance& tolerance, Ratio expanded_square);

// JCGM 106 equations 10 and 11: the probability that the true value lies in the range, u = U/2. 0 or 1 when u is 0.
[[nodiscard]] double probability(double value, const Tolerance& tolerance, double standard_uncertainty);

// C_m = T/(2U) (JCGM 106 equation 12); nothing when one-sided or U is 0.
[[nodiscard]] std::optional<double> measuring_capability(const Tolerance& tolerance, Ratio expanded_square);

}  // namespace stringline
