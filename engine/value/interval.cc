// Interval arithmetic over exact fractions; an absent end is infinitely far away.
// Tested by tests/unit/interval_test.cc; tests/property/quantity_test.cc checks that results hold every point result.
#include "engine/value/interval.h"

#include <algorithm>
#include <array>
#include <cassert>

namespace stringline {

namespace {

using End = std::optional<Ratio>;

// A corner of a product: a number, or infinitely far down or up.
struct Corner {
  int infinite = 0;  // -1, 0, 1
  Ratio value;
};

Corner lower(const Interval& a) { return a.lo ? Corner{0, *a.lo} : Corner{-1, {}}; }
Corner upper(const Interval& a) { return a.hi ? Corner{0, *a.hi} : Corner{1, {}}; }

int sign(const Corner& corner) {
  if (corner.infinite != 0) return corner.infinite;
  return corner.value.negative() ? -1 : static_cast<int>(corner.value.num() != 0);
}

// Zero times infinitely far is zero: no value inside is infinite.
std::optional<Corner> product(const Corner& a, const Corner& b) {
  if (a.infinite != 0 || b.infinite != 0) return Corner{sign(a) * sign(b), {}};
  const auto value = multiply(a.value, b.value);
  if (!value) return {};
  return Corner{0, *value};
}

bool below(const Corner& a, const Corner& b) {
  if (a.infinite != b.infinite) return a.infinite < b.infinite;
  return a.infinite == 0 && a.value < b.value;
}

End to_end(const Corner& corner) { return corner.infinite == 0 ? End{corner.value} : End{}; }

// Ends that must both be there, and the result must fit.
template <typename Operation>
bool combine(const End& a, const End& b, Operation operation, End& out) {
  if (!a || !b) return true;
  out = operation(*a, *b);
  return out.has_value();
}

// 1/b for a divisor that keeps clear of zero.
std::optional<Interval> reciprocal(const Interval& b) {
  const bool above = b.lo && *b.lo > Ratio{0};
  const bool under = b.hi && *b.hi < Ratio{0};
  if (!above && !under) return {};
  const auto lo = b.hi ? divide(1, *b.hi) : Ratio{0};  // infinitely far away: as near zero as one likes
  const auto hi = b.lo ? divide(1, *b.lo) : Ratio{0};
  if (!lo || !hi) return {};
  return Interval{lo, hi, b.estimate};
}

End least(const End& a, const End& b) { return a && b ? End{std::min(*a, *b)} : End{}; }
End greatest(const End& a, const End& b) { return a && b ? End{std::max(*a, *b)} : End{}; }

}  // namespace

Interval Interval::estimated(double lo, double hi) {
  assert(!(lo > hi) && "a model's estimate has its lower end first");
  return {Ratio::floor_of(lo), Ratio::ceil_of(hi), true};
}

std::optional<Interval> add(const Interval& a, const Interval& b) {
  const auto sum = [](const Ratio& x, const Ratio& y) { return add(x, y); };
  Interval result{{}, {}, a.estimate || b.estimate};
  if (!combine(a.lo, b.lo, sum, result.lo) || !combine(a.hi, b.hi, sum, result.hi)) return {};
  return result;
}

std::optional<Interval> subtract(const Interval& a, const Interval& b) {
  const auto difference = [](const Ratio& x, const Ratio& y) { return subtract(x, y); };
  Interval result{{}, {}, a.estimate || b.estimate};
  if (!combine(a.lo, b.hi, difference, result.lo) || !combine(a.hi, b.lo, difference, result.hi)) return {};
  return result;
}

std::optional<Interval> multiply(const Interval& a, const Interval& b) {
  const std::array<std::optional<Corner>, 4> corners{product(lower(a), lower(b)), product(lower(a), upper(b)),
                                                     product(upper(a), lower(b)), product(upper(a), upper(b))};
  if (std::any_of(corners.begin(), corners.end(), [](const auto& corner) { return !corner; })) return {};
  const auto order = [](const auto& x, const auto& y) { return below(*x, *y); };
  const auto [least_corner, greatest_corner] = std::minmax_element(corners.begin(), corners.end(), order);
  return Interval{to_end(**least_corner), to_end(**greatest_corner), a.estimate || b.estimate};
}

std::optional<Interval> divide(const Interval& a, const Interval& b) {
  const auto inverse = reciprocal(b);
  return inverse ? multiply(a, *inverse) : std::nullopt;
}

std::optional<Interval> negate(const Interval& a) {
  Interval result{a.hi ? negate(*a.hi) : End{}, a.lo ? negate(*a.lo) : End{}, a.estimate};
  if (result.lo.has_value() != a.hi.has_value() || result.hi.has_value() != a.lo.has_value()) return {};
  return result;
}

std::optional<Interval> absolute(const Interval& a) {
  if (a.lo && !a.lo->negative()) return a;
  const auto mirrored = negate(a);
  if (!mirrored) return {};
  if (a.hi && *a.hi <= Ratio{0}) return mirrored;
  return Interval{Ratio{0}, greatest(a.hi, mirrored->hi), a.estimate};
}

Interval min_of(const Interval& a, const Interval& b) {
  const End hi = a.hi && b.hi ? End{std::min(*a.hi, *b.hi)} : (a.hi ? a.hi : b.hi);
  return {least(a.lo, b.lo), hi, a.estimate || b.estimate};
}

Interval max_of(const Interval& a, const Interval& b) {
  const End lo = a.lo && b.lo ? End{std::max(*a.lo, *b.lo)} : (a.lo ? a.lo : b.lo);
  return {lo, greatest(a.hi, b.hi), a.estimate || b.estimate};
}

Interval hull(const Interval& a, const Interval& b) {
  return {least(a.lo, b.lo), greatest(a.hi, b.hi), a.estimate || b.estimate};
}

Truth less(const Interval& a, const Interval& b) {
  if (a.hi && b.lo && *a.hi < *b.lo) return Truth::yes;
  if (a.lo && b.hi && *a.lo >= *b.hi) return Truth::no;
  return Truth::unknown;
}

Truth less_or_equal(const Interval& a, const Interval& b) { return !less(b, a); }

Truth equal(const Interval& a, const Interval& b) {
  if (less(a, b) == Truth::yes || less(b, a) == Truth::yes) return Truth::no;
  return a.is_point() && b.is_point() ? Truth::yes : Truth::unknown;
}

Truth operator!(Truth a) {
  if (a == Truth::unknown) return a;
  return a == Truth::yes ? Truth::no : Truth::yes;
}

Truth and_of(Truth a, Truth b) {
  if (a == Truth::no || b == Truth::no) return Truth::no;
  return a == Truth::yes && b == Truth::yes ? Truth::yes : Truth::unknown;
}

Truth or_of(Truth a, Truth b) { return !and_of(!a, !b); }

}  // namespace stringline
