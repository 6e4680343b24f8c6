// An exact fraction of two 64-bit integers, always reduced, its denominator above zero.
//
// Every number of the language is one: lengths are held in millimetres, and since each is a whole count of 1/16000 nm
// (an inch is 406 400 000 000 of them), thou, 64ths and decimals of a millimetre meet without loss.
// Arithmetic answers nothing when the result does not fit or the divisor is zero; it never wraps and never rounds.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace stringline {

class Ratio {
 public:
  constexpr Ratio() = default;
  constexpr Ratio(std::int64_t whole) : num_(whole) {}  // NOLINT: whole numbers are ratios

  // Reduced; nothing when `den` is zero or the reduced parts do not fit.
  [[nodiscard]] static std::optional<Ratio> make(std::int64_t num, std::int64_t den);
  // The value of a decimal such as "0.0546875" or "-12"; nothing for anything else ("1e3", ".5", "5.", "1_000", "").
  [[nodiscard]] static std::optional<Ratio> parse(std::string_view decimal);
  // The nearest multiple of 1/16000 nm at or below (above) `value` millimetres: the outward ends of a model's estimate.
  [[nodiscard]] static std::optional<Ratio> floor_of(double value);
  [[nodiscard]] static std::optional<Ratio> ceil_of(double value);

  [[nodiscard]] constexpr std::int64_t num() const { return num_; }
  [[nodiscard]] constexpr std::int64_t den() const { return den_; }
  [[nodiscard]] double to_double() const { return static_cast<double>(num_) / static_cast<double>(den_); }
  [[nodiscard]] constexpr bool negative() const { return num_ < 0; }

  friend std::strong_ordering operator<=>(const Ratio& a, const Ratio& b);
  friend bool operator==(const Ratio& a, const Ratio& b) = default;

 private:
  friend struct WideRatio;  // makes reduced ratios from 128-bit parts, engine/value/wide.h

  std::int64_t num_ = 0;
  std::int64_t den_ = 1;
};

[[nodiscard]] std::optional<Ratio> add(Ratio a, Ratio b);
[[nodiscard]] std::optional<Ratio> subtract(Ratio a, Ratio b);
[[nodiscard]] std::optional<Ratio> multiply(Ratio a, Ratio b);
[[nodiscard]] std::optional<Ratio> divide(Ratio a, Ratio b);
[[nodiscard]] std::optional<Ratio> negate(Ratio a);
[[nodiscard]] std::optional<Ratio> absolute(Ratio a);

// Compares a*a with b, exactly for every a and b (192-bit products inside).
[[nodiscard]] std::strong_ordering compare_square(Ratio a, Ratio b);

// `value` as a multiple of `step`: nearest with halves away from zero, or toward zero. Nothing when `step` is not above
// zero or the result does not fit.
enum class Rounding : std::uint8_t { nearest, toward_zero };
[[nodiscard]] std::optional<Ratio> round_to(Ratio value, Ratio step, Rounding mode = Rounding::nearest);

// True when `millimetres` is a whole count of 1/16000 nm.
[[nodiscard]] bool is_whole_tick(Ratio millimetres);

// How many decimals `value` has when written out; nothing when they never end (1/3).
[[nodiscard]] std::optional<int> decimal_places(Ratio value);

// The shortest decimal that is exactly `value` ("0.25", "-3"), or "num/den" when none is finite; no exponent, no
// locale.
[[nodiscard]] std::string to_decimal(Ratio value);
// Rounded half away from zero to `digits` decimals, all of them shown: (1.005, 2) gives "1.01".
[[nodiscard]] std::string to_fixed(Ratio value, int digits);

}  // namespace stringline
