// See quick_number.h.
#include "engine/judge/quick_number.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stringline::quick {
namespace {

constexpr std::int64_t huge = std::int64_t{1} << 62U;

std::int64_t times(std::int64_t a, std::int64_t b) { return a > huge / b ? huge : a * b; }
std::int64_t common(std::int64_t a, std::int64_t b) { return times(a, b / std::gcd(a, b)); }

double size(Ratio value) { return std::abs(value.to_double()); }

bool add_part(std::vector<Number::Part>& parts, const Number::Part& part) {
  const auto same =
      std::find_if(parts.begin(), parts.end(), [&](const Number::Part& each) { return each.columns == part.columns; });
  if (same == parts.end()) {
    parts.push_back(part);
    return true;
  }
  const auto factor = add(same->factor, part.factor);
  if (!factor) return false;
  same->factor = *factor;
  same->weight += part.weight;
  return true;
}

}  // namespace

Number Number::constant(Ratio value) { return {{{{}, value, size(value)}}, value.den()}; }
Number Number::column(Column column) { return {{{{column}, 1, 1}}, 1}; }
Number Number::zero_of(Column column) { return {{{{column}, 0, 1}}, 1}; }

std::optional<Ratio> Number::as_constant() const {
  return degree() == 0 ? std::optional(constant_part()) : std::nullopt;
}

int Number::degree() const {
  std::size_t most = 0;
  for (const Part& part : parts) most = std::max(most, part.columns.size());
  return static_cast<int>(most);
}

Ratio Number::constant_part() const {
  const auto part = std::find_if(parts.begin(), parts.end(), [](const Part& each) { return each.columns.empty(); });
  return part == parts.end() ? Ratio(0) : part->factor;
}

std::optional<Number> negated(Number a) {
  for (Number::Part& part : a.parts) {
    const auto factor = negate(part.factor);
    if (!factor) return std::nullopt;
    part.factor = *factor;
  }
  return a;
}

std::optional<Number> sum_of(const Number& a, const Number& b) {
  Number sum = a;
  for (const Number::Part& part : b.parts) {
    if (!add_part(sum.parts, part)) return std::nullopt;
  }
  sum.denominators = common(a.denominators, b.denominators);
  return sum;
}

std::optional<Number> product_of(const Number& a, const Number& b) {
  const auto is_zero = [](const Number& number) {
    const auto constant = number.as_constant();
    return constant && *constant == Ratio(0);
  };
  if (is_zero(a) || is_zero(b)) return Number::constant(0);  // whatever the other is
  Number product{{}, times(a.denominators, b.denominators)};
  for (const Number::Part& left : a.parts) {
    for (const Number::Part& right : b.parts) {
      const auto factor = multiply(left.factor, right.factor);
      if (!factor) return std::nullopt;
      Number::Part part{left.columns, *factor, std::max(1.0, left.weight) * std::max(1.0, right.weight)};
      part.columns.insert(part.columns.end(), right.columns.begin(), right.columns.end());
      std::sort(part.columns.begin(), part.columns.end());
      if (!add_part(product.parts, part)) return std::nullopt;
    }
  }
  return product;
}

std::optional<Number> divided(const Number& a, Ratio by) {
  const auto inverse = divide(Ratio(1), by);
  if (!inverse) return std::nullopt;
  auto quotient = product_of(a, Number::constant(*inverse));
  return quotient;
}

std::optional<std::int64_t> floor_times(Ratio value, Ratio by) {
  const auto product = multiply(value, by);
  if (!product) return std::nullopt;
  const std::int64_t whole = product->num() / product->den();
  return whole - static_cast<std::int64_t>(product->num() % product->den() < 0);
}

std::optional<std::int64_t> ceil_times(Ratio value, Ratio by) {
  const auto product = multiply(value, by);
  if (!product) return std::nullopt;
  const std::int64_t whole = product->num() / product->den();
  return whole + static_cast<std::int64_t>(product->num() % product->den() > 0);
}

}  // namespace stringline::quick
