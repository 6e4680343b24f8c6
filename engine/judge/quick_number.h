// A number of an expression as a sum of products of columns, exact: what a comparison comes down to before it becomes a table.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "engine/judge/quick_plan.h"
#include "engine/value/ratio.h"

namespace stringline::quick {

struct Number {
  struct Part {
    std::vector<Column> columns;  // in order; none: the constant
    Ratio factor;                 // for base units
    double weight =
        0;  // the sum of weight x the product of max(1, |column|) bounds all that is met on the way to the value
  };
  std::vector<Part> parts;  // no two of the same columns
  std::int64_t denominators =
      1;  // a multiple of every denominator that its constants bring; huge when it would not fit

  [[nodiscard]] static Number constant(Ratio value);
  [[nodiscard]] static Number column(Column column);
  // Nothing, once the column is read.
  [[nodiscard]] static Number zero_of(Column column);
  [[nodiscard]] std::optional<Ratio> as_constant() const;
  [[nodiscard]] int degree() const;
  [[nodiscard]] Ratio constant_part() const;
};

// Nothing where a factor does not fit.
[[nodiscard]] std::optional<Number> negated(Number a);
[[nodiscard]] std::optional<Number> sum_of(const Number& a, const Number& b);
[[nodiscard]] std::optional<Number> product_of(const Number& a, const Number& b);
[[nodiscard]] std::optional<Number> divided(const Number& a, Ratio by);

// `value` times `by` where that is whole, else rounded down (up).
[[nodiscard]] std::optional<std::int64_t> floor_times(Ratio value, Ratio by);
[[nodiscard]] std::optional<std::int64_t> ceil_times(Ratio value, Ratio by);

}  // namespace stringline::quick
