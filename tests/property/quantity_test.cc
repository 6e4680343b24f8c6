// Random values against plain oracles. The seed is fixed and printed with every failure.
#include "engine/value/quantity.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>
#include <string>
#include <vector>

#include "engine/value/interval.h"
#include "engine/value/ratio.h"

using namespace stringline;

namespace {

__extension__ typedef __int128 Int128;

constexpr unsigned seed = 20260803;
constexpr int rounds = 20'000;

class Random {
 public:
  std::int64_t between(std::int64_t lo, std::int64_t hi) {
    return std::uniform_int_distribution<std::int64_t>{lo, hi}(engine_);
  }
  bool coin() { return between(0, 1) == 1; }
  // Every size from one bit to 63, so that both small and nearly overflowing numbers come up.
  std::int64_t any_size() {
    const std::int64_t limit = INT64_MAX >> between(0, 62);
    return between(-limit, limit);
  }
  Ratio ratio(std::int64_t num_limit, std::int64_t den_limit) {
    const std::int64_t num = between(-num_limit, num_limit);  // one by one: the order of arguments is not fixed
    return Ratio::make(num, between(1, den_limit)).value();
  }
  Ratio any_ratio() {
    const std::int64_t den = any_size();
    return Ratio::make(any_size(), den == 0 ? 1 : den).value();
  }

 private:
  std::mt19937 engine_{seed};
};

std::string shown(Ratio r) { return std::to_string(r.num()) + "/" + std::to_string(r.den()); }

// ---- Oracles

Int128 divisor_of(Int128 a, Int128 b) {
  while (b != 0) {
    const Int128 rest = a % b;
    a = b;
    b = rest;
  }
  return a < 0 ? -a : a;
}

// Whether `actual` is num/den in lowest terms, or absent exactly when those have no 64-bit form.
bool is_fraction(const std::optional<Ratio>& actual, Int128 num, Int128 den) {
  if (den == 0) return !actual;
  const Int128 divisor = divisor_of(num, den) * (den < 0 ? -1 : 1);
  num /= divisor;
  den /= divisor;
  if (num < INT64_MIN || num > INT64_MAX || den > INT64_MAX) return !actual;
  return actual && actual->num() == num && actual->den() == den;
}

// A whole number from 0 up, 16 bits a word, the lowest first: slow and plain.
using Big = std::vector<std::uint32_t>;

Big big(std::int64_t value) {
  auto rest = value < 0 ? ~static_cast<std::uint64_t>(value) + 1 : static_cast<std::uint64_t>(value);
  Big words;
  for (; rest != 0; rest >>= 16) words.push_back(static_cast<std::uint32_t>(rest & 0xffff));
  return words;
}

Big times(const Big& a, const Big& b) {
  Big result(a.size() + b.size(), 0);
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::uint32_t carry = 0;
    for (std::size_t j = 0; j < b.size() || carry != 0; ++j) {
      const std::uint64_t sum = std::uint64_t{result[i + j]} + carry + (j < b.size() ? std::uint64_t{a[i]} * b[j] : 0);
      result[i + j] = static_cast<std::uint32_t>(sum & 0xffff);
      carry = static_cast<std::uint32_t>(sum >> 16);
    }
  }
  while (!result.empty() && result.back() == 0) result.pop_back();
  return result;
}

int order_of(const Big& a, const Big& b) {
  if (a.size() != b.size()) return a.size() < b.size() ? -1 : 1;
  for (std::size_t i = a.size(); i-- > 0;) {
    if (a[i] != b[i]) return a[i] < b[i] ? -1 : 1;
  }
  return 0;
}

int order_of(std::strong_ordering order) { return order < 0 ? -1 : order > 0 ? 1 : 0; }

// a^2 against b in whole numbers.
int square_order(Ratio a, Ratio b) {
  if (b.negative()) return 1;
  return order_of(times(times(big(a.num()), big(a.num())), big(b.den())),
                  times(times(big(a.den()), big(a.den())), big(b.num())));
}

// Reads back what to_text writes: "-25 1/2 in", "3.5/64 in", "0.25 mm".
std::optional<Ratio> read_number(std::string text) {
  const bool negative = text.front() == '-';
  if (negative) text.erase(0, 1);
  Ratio whole;
  const auto slash = text.find('/');
  if (slash == std::string::npos) {
    whole = Ratio::parse(text).value();
  } else {
    const auto space = text.find(' ');
    const auto from = space == std::string::npos ? 0 : space + 1;
    if (from != 0) whole = Ratio::parse(text.substr(0, space)).value();
    const Ratio num = Ratio::parse(text.substr(from, slash - from)).value();
    whole = add(whole, divide(num, Ratio::parse(text.substr(slash + 1)).value()).value()).value();
  }
  return negative ? negate(whole) : whole;
}

// ---- Intervals

struct Sample {
  Interval interval;
  Ratio inside;
};

// Either end may be absent.
Sample sample(Random& random) {
  std::vector<Ratio> points{random.ratio(50, 8), random.ratio(50, 8), random.ratio(50, 8)};
  std::sort(points.begin(), points.end());
  Sample result{{points[0], points[2], random.coin()}, points[1]};
  if (random.between(0, 5) == 0) result.interval.lo.reset();
  if (random.between(0, 5) == 0) result.interval.hi.reset();
  return result;
}

bool holds(const Interval& interval, Ratio value) {
  return (!interval.lo || *interval.lo <= value) && (!interval.hi || value <= *interval.hi);
}

bool agrees(Truth truth, bool at_the_point) { return truth == Truth::unknown || (truth == Truth::yes) == at_the_point; }

}  // namespace

TEST_CASE("conversion there and back gives the same value in every pair of units of one dimension") {
  INFO("seed " << seed);
  Random random;
  int pairs = 0;
  for (const UnitInfo& from : all_units()) {
    for (const UnitInfo& to : all_units()) {
      if (from.dimension != to.dimension) continue;
      ++pairs;
      for (int i = 0; i < 200; ++i) {
        const std::int64_t den = std::int64_t{1} << random.between(0, 7);
        const Ratio written = Ratio::make(random.between(-100'000, 100'000), den).value();
        CAPTURE(from.written, to.written, shown(written));
        const auto original = make_quantity(written, from.unit);
        REQUIRE(original);
        const auto converted = in_unit(original->value, to.unit);
        REQUIRE(converted);
        // A value of one unit may be no whole tick when written in the other, so the way back goes by the factors.
        const auto back = add(multiply(*converted, to.factor).value(), to.offset);
        REQUIRE(back == original->value);
        REQUIRE(in_unit(*back, from.unit) == written);
      }
    }
  }
  CHECK(pairs > 40);
}

TEST_CASE("limits compare across units as their whole counts of ticks do") {
  INFO("seed " << seed);
  Random random;
  const std::vector<std::pair<Unit, std::int64_t>> lengths{
      // ticks of 1/16000 nm in a thousandth of the unit, counted by hand from 25.4 mm
      {Unit::mm, 16'000'000},
      {Unit::cm, 160'000'000},
      {Unit::in, 406'400'000},
      {Unit::thou, 406'400},
  };
  for (const auto& [unit_a, ticks_a] : lengths) {
    for (const auto& [unit_b, ticks_b] : lengths) {
      for (int i = 0; i < 2000; ++i) {
        const std::int64_t a = random.between(-100'000, 100'000);
        // Near a's own length, so that ties and near misses come up.
        const std::int64_t b = a * ticks_a / ticks_b + random.between(-1, 1);
        CAPTURE(a, b, info(unit_a).written, info(unit_b).written);
        const auto left = make_quantity(Ratio::make(a, 1000).value(), unit_a);
        const auto right = make_quantity(Ratio::make(b, 1000).value(), unit_b);
        REQUIRE((left && right));
        REQUIRE((left->value <=> right->value) == (Int128{a} * ticks_a <=> Int128{b} * ticks_b));
      }
    }
  }
}

TEST_CASE("ratio arithmetic agrees with plain 128-bit fractions") {
  INFO("seed " << seed);
  Random random;
  for (int i = 0; i < rounds; ++i) {
    const Ratio a = random.any_ratio();
    const Ratio b = random.any_ratio();
    CAPTURE(shown(a), shown(b));
    const Int128 an = a.num();
    const Int128 ad = a.den();
    const Int128 bn = b.num();
    const Int128 bd = b.den();
    REQUIRE(is_fraction(add(a, b), an * bd + bn * ad, ad * bd));
    REQUIRE(is_fraction(subtract(a, b), an * bd - bn * ad, ad * bd));
    REQUIRE(is_fraction(multiply(a, b), an * bn, ad * bd));
    REQUIRE(is_fraction(divide(a, b), an * bd, ad * bn));
    REQUIRE((a <=> b) == (an * bd <=> bn * ad));
    REQUIRE((a == b) == (an * bd == bn * ad));
  }
}

TEST_CASE("squares compare as whole numbers of any length do") {
  INFO("seed " << seed);
  Random random;
  for (int i = 0; i < rounds; ++i) {
    const Ratio a = random.any_ratio();
    const Ratio b = random.any_ratio();
    CAPTURE(shown(a), shown(b));
    REQUIRE(order_of(compare_square(a, b)) == square_order(a, b));
  }
}

TEST_CASE("squares compare exactly at and next to equality") {
  INFO("seed " << seed);
  Random random;
  for (int i = 0; i < rounds; ++i) {
    const Ratio a = random.ratio(3'000'000'000, 3'000'000'000);
    const Ratio square = multiply(a, a).value();
    CAPTURE(shown(a));
    REQUIRE(compare_square(a, square) == std::strong_ordering::equal);
    const auto above = Ratio::make(square.num() + 1, square.den());
    REQUIRE((!above || compare_square(a, *above) == std::strong_ordering::less));
    const auto under = Ratio::make(square.num() - 1, square.den());
    REQUIRE((!under || compare_square(a, *under) == std::strong_ordering::greater));
    const Int128 left = Int128{a.num()} * a.num();  // small parts: 128 bits hold the products
    const Ratio b = random.ratio(1000, 1000);
    const Ratio c = random.ratio(30'000, 1000);
    REQUIRE(left >= 0);
    REQUIRE((compare_square(b, c) == std::strong_ordering::less) ==
            (Int128{b.num()} * b.num() * c.den() < Int128{b.den()} * b.den() * c.num()));
  }
}

TEST_CASE("rounding gives the multiple that no other multiple is nearer to") {
  INFO("seed " << seed);
  Random random;
  for (int i = 0; i < rounds; ++i) {
    const Ratio value = random.ratio(100'000, 1000);
    const std::int64_t step_num = random.between(1, 500);
    const Ratio step = Ratio::make(step_num, random.between(1, 500)).value();
    CAPTURE(shown(value), shown(step));
    const Ratio nearest = round_to(value, step).value();
    REQUIRE(divide(nearest, step)->den() == 1);
    const Ratio off = absolute(subtract(nearest, value).value()).value();
    const Ratio doubled = multiply(off, 2).value();
    REQUIRE(doubled <= step);
    if (doubled == step) REQUIRE(absolute(nearest).value() > absolute(value).value());
    const Ratio cut = round_to(value, step, Rounding::toward_zero).value();
    REQUIRE(divide(cut, step)->den() == 1);
    REQUIRE(absolute(cut).value() <= absolute(value).value());
    REQUIRE(absolute(subtract(value, cut).value()).value() < step);
  }
}

TEST_CASE("decimals read back as the value they were written from") {
  INFO("seed " << seed);
  Random random;
  for (int i = 0; i < rounds; ++i) {
    std::int64_t den = 1;
    for (std::int64_t n = random.between(0, 40); n > 0; --n) {
      const std::int64_t factor = random.coin() ? 2 : 5;
      if (den <= INT64_MAX / factor) den *= factor;
    }
    const Ratio value = Ratio::make(random.any_size(), den).value();
    CAPTURE(to_decimal(value));
    REQUIRE(Ratio::parse(to_decimal(value)) == value);
    const int digits = static_cast<int>(random.between(0, 6));
    std::int64_t power = 1;
    for (int n = 0; n < digits; ++n) power *= 10;
    REQUIRE(Ratio::parse(to_fixed(value, digits)) == round_to(value, Ratio::make(1, power).value()));
  }
}

TEST_CASE("a model's double lies between its two ticks, which are neighbours") {
  INFO("seed " << seed);
  Random random;
  const Ratio tick = Ratio::make(1, 16'000'000'000).value();
  for (int i = 0; i < rounds; ++i) {
    // Odd over a power of two, within 53 bits: exact as a double and as a Ratio.
    const std::int64_t num = random.between(-(std::int64_t{1} << 40), std::int64_t{1} << 40);
    const int shift = static_cast<int>(random.between(0, 45));
    const Ratio exact = Ratio::make(num, std::int64_t{1} << shift).value();
    CAPTURE(shown(exact));
    const auto lo = Ratio::floor_of(exact.to_double());
    const auto hi = Ratio::ceil_of(exact.to_double());
    REQUIRE((lo && hi));
    REQUIRE((is_whole_tick(*lo) && is_whole_tick(*hi)));
    REQUIRE((*lo <= exact && exact <= *hi));
    REQUIRE(subtract(*hi, *lo) == (is_whole_tick(exact) ? Ratio{0} : tick));
  }
}

TEST_CASE("what is shown without a step is read back as the same value where it can be") {
  INFO("seed " << seed);
  Random random;
  int read = 0;
  for (const UnitInfo& unit : all_units()) {
    for (int i = 0; i < 500; ++i) {
      const std::int64_t den = random.coin() ? 256 : 100'000;
      const Ratio written = Ratio::make(random.between(-1'000'000, 1'000'000), den).value();
      const auto quantity = make_quantity(written, unit.unit);
      if (!quantity) continue;  // 1/256 thou is no whole tick
      ++read;
      std::string text = to_text(quantity->value, unit.unit);
      CAPTURE(text);
      if (!unit.written.empty()) {
        const std::size_t tail = unit.written.size() + 1;
        REQUIRE(text.size() > tail);
        REQUIRE(text.substr(text.size() - tail) == " " + std::string{unit.written});
        text.erase(text.size() - tail);
      }
      REQUIRE(read_number(text) == written);
    }
  }
  CHECK(read > 8000);
}

TEST_CASE("interval results hold the result of every pair of points inside") {
  INFO("seed " << seed);
  Random random;
  int divided = 0;
  for (int i = 0; i < rounds; ++i) {
    const auto [a, x] = sample(random);
    const auto [b, y] = sample(random);
    CAPTURE(shown(x), shown(y));
    REQUIRE(holds(add(a, b).value(), add(x, y).value()));
    REQUIRE(holds(subtract(a, b).value(), subtract(x, y).value()));
    REQUIRE(holds(multiply(a, b).value(), multiply(x, y).value()));
    REQUIRE(holds(negate(a).value(), negate(x).value()));
    REQUIRE(holds(absolute(a).value(), absolute(x).value()));
    REQUIRE(holds(min_of(a, b), std::min(x, y)));
    REQUIRE(holds(max_of(a, b), std::max(x, y)));
    REQUIRE((holds(hull(a, b), x) && holds(hull(a, b), y)));
    REQUIRE(agrees(less(a, b), x < y));
    REQUIRE(agrees(less_or_equal(a, b), x <= y));
    REQUIRE(agrees(equal(a, b), x == y));
    const auto quotient = divide(a, b);
    REQUIRE(quotient.has_value() == !holds(b, 0));
    if (!quotient) continue;
    ++divided;
    REQUIRE(holds(*quotient, divide(x, y).value()));
  }
  CHECK(divided > rounds / 10);
}

TEST_CASE("interval results of known ends are no wider than their corners") {
  INFO("seed " << seed);
  Random random;
  for (int i = 0; i < rounds; ++i) {
    const Interval a = sample(random).interval;
    const Interval b = sample(random).interval;
    if (!a.lo || !a.hi || !b.lo || !b.hi) continue;
    std::vector<Ratio> corners;
    for (const Ratio& x : {*a.lo, *a.hi}) {
      for (const Ratio& y : {*b.lo, *b.hi}) corners.push_back(multiply(x, y).value());
    }
    const Interval product = multiply(a, b).value();
    REQUIRE(product.lo == *std::min_element(corners.begin(), corners.end()));
    REQUIRE(product.hi == *std::max_element(corners.begin(), corners.end()));
    REQUIRE(add(a, b)->hi == add(*a.hi, *b.hi));
    REQUIRE(subtract(a, b)->lo == subtract(*a.lo, *b.hi));
  }
}
