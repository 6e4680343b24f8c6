#include "engine/model/bounds.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace stringline::model {
namespace {

constexpr double feasible_within = 1e-9;
constexpr double pivot_above = 1e-11;

// Maximise cost . y under A y <= b, y >= 0. Row i of the tableau is the basic variable `basis[i]`; columns are all
// variables, then slacks, then one artificial variable for every row that started out with b < 0, then b.
class Tableau {
 public:
  Tableau(const std::vector<std::vector<double>>& a, const std::vector<double>& b, std::size_t variables)
      : variables_(variables), slacks_(a.size()) {
    for (const double bound : b) artificials_ += bound < 0.0 ? 1 : 0;
    std::size_t artificial = variables_ + slacks_;
    for (std::size_t i = 0; i < a.size(); ++i) add_row(a[i], b[i], i, artificial);
  }

  // Drives the artificial variables out. False where no y meets the rows.
  [[nodiscard]] bool find_start() {
    std::vector<double> cost(columns(), 0.0);
    for (std::size_t j = variables_ + slacks_; j < columns(); ++j) cost[j] = -1.0;
    if (maximise(cost, columns()) < -feasible_within) return false;
    for (std::size_t i = 0; i < rows_.size(); ++i) expel_artificial(i);
    return true;
  }

  [[nodiscard]] double greatest(const std::vector<double>& form) {
    std::vector<double> cost(columns(), 0.0);
    std::copy(form.begin(), form.end(), cost.begin());
    return maximise(cost, variables_ + slacks_);
  }

 private:
  [[nodiscard]] std::size_t columns() const { return variables_ + slacks_ + artificials_; }

  void add_row(const std::vector<double>& a, double b, std::size_t index, std::size_t& artificial) {
    const double sign = b < 0.0 ? -1.0 : 1.0;
    std::vector<double> row(columns() + 1, 0.0);
    for (std::size_t j = 0; j < variables_; ++j) row[j] = sign * a[j];
    row[variables_ + index] = sign;
    row[columns()] = sign * b;
    std::size_t basic = variables_ + index;
    if (sign < 0.0) {
      basic = artificial++;
      row[basic] = 1.0;
    }
    rows_.push_back(std::move(row));
    basis_.push_back(basic);
  }

  // Gain of the cost per unit of column j, given the present basis.
  [[nodiscard]] double gain(const std::vector<double>& cost, std::size_t j) const {
    double reduced = cost[j];
    for (std::size_t i = 0; i < rows_.size(); ++i) reduced -= cost[basis_[i]] * rows_[i][j];
    return reduced;
  }

  double maximise(const std::vector<double>& cost, std::size_t allowed) {
    for (bool improved = true; improved;) {
      improved = false;
      for (std::size_t j = 0; j < allowed && !improved; ++j) {
        if (gain(cost, j) > feasible_within) improved = enter(j);
      }
    }
    double value = 0.0;
    for (std::size_t i = 0; i < rows_.size(); ++i) value += cost[basis_[i]] * rows_[i][columns()];
    return value;
  }

  // Bland's rule: of the rows that stop column j first, the one with the smallest variable leaves.
  bool enter(std::size_t j) {
    std::optional<std::size_t> leaving;
    double step = 0.0;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      if (rows_[i][j] <= pivot_above) continue;
      const double ratio = rows_[i][columns()] / rows_[i][j];
      const bool sooner = !leaving || ratio < step || (ratio == step && basis_[i] < basis_[*leaving]);
      if (sooner) {
        leaving = i;
        step = ratio;
      }
    }
    if (!leaving) return false;  // cannot happen where every variable is bounded
    pivot(*leaving, j);
    return true;
  }

  void expel_artificial(std::size_t i) {
    if (basis_[i] < variables_ + slacks_) return;
    for (std::size_t j = 0; j < variables_ + slacks_; ++j) {
      if (std::fabs(rows_[i][j]) > pivot_above) {
        pivot(i, j);
        return;
      }
    }
  }

  void pivot(std::size_t row, std::size_t column) {
    const double by = rows_[row][column];
    for (double& value : rows_[row]) value /= by;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const double factor = rows_[i][column];
      if (i == row || factor == 0.0) continue;
      for (std::size_t j = 0; j <= columns(); ++j) rows_[i][j] -= factor * rows_[row][j];
    }
    basis_[row] = column;
  }

  std::size_t variables_;
  std::size_t slacks_;
  std::size_t artificials_ = 0;
  std::vector<std::vector<double>> rows_;
  std::vector<std::size_t> basis_;
};

// Variables are counted from their own lower ends, so that all are >= 0.
struct Inequalities {
  std::vector<std::vector<double>> a;
  std::vector<double> b;

  void at_most(std::vector<double> row, double bound) {
    if (std::isinf(bound)) return;
    a.push_back(std::move(row));
    b.push_back(bound);
  }
};

double dot(const std::vector<double>& row, const std::vector<Range>& variables) {
  double sum = 0.0;
  for (std::size_t j = 0; j < row.size(); ++j) sum += row[j] * variables[j].lo;
  return sum;
}

std::vector<double> negated(std::vector<double> row) {
  for (double& value : row) value = -value;
  return row;
}

Inequalities inequalities_of(const std::vector<BoundedRow>& rows, const std::vector<Range>& variables) {
  Inequalities all;
  for (std::size_t j = 0; j < variables.size(); ++j) {
    std::vector<double> unit(variables.size(), 0.0);
    unit[j] = 1.0;
    all.at_most(std::move(unit), variables[j].width());
  }
  for (const BoundedRow& row : rows) {
    const double shift = dot(row.coefficients, variables);
    all.at_most(row.coefficients, row.value.hi - shift);
    all.at_most(negated(row.coefficients), shift - row.value.lo);
  }
  return all;
}

}  // namespace

std::optional<Range> extremes(const std::vector<double>& form, const std::vector<BoundedRow>& rows,
                              const std::vector<Range>& variables) {
  const Inequalities all = inequalities_of(rows, variables);
  Tableau tableau(all.a, all.b, variables.size());
  if (!tableau.find_start()) return std::nullopt;
  const double shift = dot(form, variables);
  const double hi = shift + tableau.greatest(form);
  const double lo = shift - tableau.greatest(negated(form));
  return Range{lo, hi};
}

}  // namespace stringline::model
