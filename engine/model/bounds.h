// The least and greatest value of a linear form, given what is known of its variables only as inequalities.
//
//   lo <= row . x <= hi   for every row,   lo <= x_j <= hi   for every variable
//
// This is linear programming on a tiny scale: a few dozen variables and rows at most. Dense two-phase simplex with
// Bland's rule, which cannot cycle. Source: textbook method. Units: whatever the rows are in.
// Limits: every variable needs finite bounds, so a form is never unbounded.
// Tested by tests/unit/model_bounds_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/model/range.h"

namespace stringline::model {

struct BoundedRow {
  std::vector<double> coefficients;  // one for each variable
  Range value;                       // infinite ends are legal
};

// Nothing where no x meets all the bounds, that is, where the readings contradict them.
[[nodiscard]] std::optional<Range> extremes(const std::vector<double>& form, const std::vector<BoundedRow>& rows,
                                            const std::vector<Range>& variables);

}  // namespace stringline::model
