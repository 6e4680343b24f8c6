// Exact fractions. Intermediate products are taken in 128 bits and reduced before they are tried against 64, so a
// result is refused only when it really has no 64-bit form.
// Tested by tests/unit/ratio_test.cc and, against a plain 128-bit oracle, by tests/property/quantity_test.cc.
#include "engine/value/ratio.h"

#include <array>
#include <cmath>

#include "engine/value/wide.h"

namespace stringline {

namespace {

// An unsigned 192-bit number, the most significant word first.
struct Wide192 {
  std::uint64_t high;
  std::uint64_t middle;
  std::uint64_t low;

  friend auto operator<=>(const Wide192&, const Wide192&) = default;
};

Wide192 multiply_wide(UInt128 a, std::uint64_t b) {
  const UInt128 low = static_cast<UInt128>(static_cast<std::uint64_t>(a)) * b;
  const UInt128 high = (a >> 64) * b + (low >> 64);
  return {static_cast<std::uint64_t>(high >> 64), static_cast<std::uint64_t>(high), static_cast<std::uint64_t>(low)};
}

std::uint64_t magnitude64(std::int64_t value) { return static_cast<std::uint64_t>(magnitude(value)); }

UInt128 square(std::int64_t value) {
  const UInt128 size = magnitude(value);
  return size * size;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// 0.DIGITS, read from its last digit to its first. Each step is the fraction part of the value times a power of ten, so
// its denominator divides the value's own: no step overflows unless the value has no place in a Ratio.
std::optional<Ratio> parse_fraction(std::string_view digits) {
  Ratio value;
  for (auto digit = digits.rbegin(); digit != digits.rend(); ++digit) {
    if (!is_digit(*digit)) return {};
    const Int128 num = static_cast<Int128>(*digit - '0') * value.den() + value.num();
    const auto next = WideRatio::reduce(num, static_cast<Int128>(value.den()) * 10);
    if (!next) return {};
    value = *next;
  }
  return value;
}

std::optional<Int128> parse_whole(std::string_view digits) {
  Int128 value = 0;
  for (const char digit : digits) {
    if (!is_digit(digit)) return {};
    value = value * 10 + (digit - '0');
    if (value > Int128{1} << 63) return {};
  }
  return value;
}

// Adds one in the last place of a row of digits.
void increment(std::string& digits) {
  for (auto digit = digits.rbegin(); digit != digits.rend(); ++digit) {
    if (*digit != '9') {
      ++*digit;
      return;
    }
    *digit = '0';
  }
  digits.insert(digits.begin(), '1');
}

}  // namespace

std::optional<Ratio> WideRatio::reduce(Int128 num, Int128 den) {
  if (den == 0) return {};
  const UInt128 divisor = greatest_divisor(magnitude(num), magnitude(den));
  const UInt128 small_num = magnitude(num) / divisor;
  const UInt128 small_den = magnitude(den) / divisor;
  constexpr UInt128 limit = UInt128{1} << 63;
  if (small_num > limit || small_den >= limit) return {};
  const bool negative = num != 0 && (num < 0) != (den < 0);
  const auto fitted = narrow(negative ? -static_cast<Int128>(small_num) : static_cast<Int128>(small_num));
  if (!fitted) return {};
  Ratio result;
  result.num_ = *fitted;
  result.den_ = static_cast<std::int64_t>(small_den);
  return result;
}

std::optional<Ratio> Ratio::make(std::int64_t num, std::int64_t den) { return WideRatio::reduce(num, den); }

std::optional<Ratio> Ratio::parse(std::string_view decimal) {
  const bool negative = !decimal.empty() && decimal.front() == '-';
  if (negative) decimal.remove_prefix(1);
  const auto point = decimal.find('.');
  const std::string_view before = decimal.substr(0, point);
  if (before.empty() || (point != std::string_view::npos && point + 1 == decimal.size())) return {};
  const auto whole = parse_whole(before);
  const auto fraction = point == std::string_view::npos ? Ratio{} : parse_fraction(decimal.substr(point + 1));
  if (!whole || !fraction) return {};
  const Int128 num = *whole * fraction->den() + fraction->num();
  return WideRatio::reduce(negative ? -num : num, fraction->den());
}

// Exact: a double is a whole number of 53 bits times a power of two, so no product here is rounded.
std::optional<Ratio> Ratio::floor_of(double value) {
  if (!std::isfinite(value)) return {};
  int exponent = 0;
  const double fraction = std::frexp(value, &exponent);
  Int128 ticks = static_cast<Int128>(std::ldexp(fraction, 53)) * ticks_per_mm;  // below 2^87
  exponent -= 53;
  if (exponent > 38) return {};
  if (exponent >= 0) {
    ticks *= Int128{1} << exponent;
  } else {
    ticks >>= exponent < -126 ? 126 : -exponent;  // an arithmetic shift rounds down
  }
  return WideRatio::reduce(ticks, ticks_per_mm);
}

std::optional<Ratio> Ratio::ceil_of(double value) {
  const auto mirrored = floor_of(-value);
  return mirrored ? negate(*mirrored) : std::nullopt;
}

std::strong_ordering operator<=>(const Ratio& a, const Ratio& b) {
  return static_cast<Int128>(a.num_) * b.den_ <=> static_cast<Int128>(b.num_) * a.den_;
}

std::optional<Ratio> add(Ratio a, Ratio b) {
  const Int128 num = static_cast<Int128>(a.num()) * b.den() + static_cast<Int128>(b.num()) * a.den();
  return WideRatio::reduce(num, static_cast<Int128>(a.den()) * b.den());
}

std::optional<Ratio> subtract(Ratio a, Ratio b) {
  const Int128 num = static_cast<Int128>(a.num()) * b.den() - static_cast<Int128>(b.num()) * a.den();
  return WideRatio::reduce(num, static_cast<Int128>(a.den()) * b.den());
}

std::optional<Ratio> multiply(Ratio a, Ratio b) {
  return WideRatio::reduce(static_cast<Int128>(a.num()) * b.num(), static_cast<Int128>(a.den()) * b.den());
}

std::optional<Ratio> divide(Ratio a, Ratio b) {
  return WideRatio::reduce(static_cast<Int128>(a.num()) * b.den(), static_cast<Int128>(a.den()) * b.num());
}

std::optional<Ratio> negate(Ratio a) { return WideRatio::reduce(-static_cast<Int128>(a.num()), a.den()); }

std::optional<Ratio> absolute(Ratio a) { return a.negative() ? negate(a) : a; }

std::strong_ordering compare_square(Ratio a, Ratio b) {
  if (b.negative()) return std::strong_ordering::greater;
  return multiply_wide(square(a.num()), magnitude64(b.den())) <=> multiply_wide(square(a.den()), magnitude64(b.num()));
}

std::optional<Ratio> round_to(Ratio value, Ratio step, Rounding mode) {
  if (step <= Ratio{0}) return {};
  const UInt128 num = magnitude(value.num()) * magnitude(step.den());
  const UInt128 den = magnitude(value.den()) * magnitude(step.num());
  UInt128 count = num / den;
  const UInt128 rest = num % den;
  if (mode == Rounding::nearest && rest >= den - rest) ++count;
  const UInt128 divisor = greatest_divisor(count, magnitude(step.den()));
  count /= divisor;  // now no factor of it is left in the denominator: past 64 bits it can only be too large
  if (count > UInt128{1} << 63) return {};
  const Int128 size = static_cast<Int128>(count) * step.num();
  return WideRatio::reduce(value.negative() ? -size : size, step.den() / static_cast<std::int64_t>(divisor));
}

bool is_whole_tick(Ratio millimetres) { return ticks_per_mm % millimetres.den() == 0; }

std::optional<int> decimal_places(Ratio value) {
  std::int64_t rest = value.den();
  std::array<int, 2> count{};
  for (const std::size_t which : {0U, 1U}) {
    const std::int64_t prime = which == 0 ? 2 : 5;
    for (; rest % prime == 0; rest /= prime) ++count[which];
  }
  if (rest != 1) return {};
  return count[0] > count[1] ? count[0] : count[1];
}

std::string to_decimal(Ratio value) {
  if (const auto places = decimal_places(value)) return to_fixed(value, *places);
  return std::to_string(value.num()) + '/' + std::to_string(value.den());
}

std::string to_fixed(Ratio value, int digits) {
  const UInt128 den = magnitude(value.den());
  std::string text = std::to_string(magnitude64(value.num()) / magnitude64(value.den()));
  UInt128 rest = magnitude(value.num()) % den;
  const std::size_t decimals = digits > 0 ? static_cast<std::size_t>(digits) : 0;
  for (std::size_t i = 0; i < decimals; ++i) {
    rest *= 10;
    text += static_cast<char>('0' + static_cast<int>(rest / den));
    rest %= den;
  }
  if (rest * 2 >= den) increment(text);
  const bool zero = text.find_first_not_of('0') == std::string::npos;
  if (decimals > 0) text.insert(text.size() - decimals, 1, '.');
  if (value.negative() && !zero) text.insert(text.begin(), '-');
  return text;
}

}  // namespace stringline
