// Least squares by two QR decompositions, the only use of Eigen in the engine. The first, of the transposed rows, gives
// an orthonormal basis of what was read; in that basis the second problem has full rank, so that strings nobody
// measured cost nothing. Rows are scaled to unit size before ranks are judged: a reading's weight says nothing about
// its geometry.
#include "engine/model/neck_state.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/model/bounds.h"

namespace stringline::model {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

constexpr double rank_within = 1e-9;
// Next to readings with a stated u, one without counts as good to a nanometre; weights then stay within what QR bears.
constexpr double least_u_mm = 1e-6;

Index index(std::size_t size) { return static_cast<Index>(size); }

Eigen::Map<const VectorXd> as_vector(const std::vector<double>& values) {
  return {values.data(), index(values.size())};
}

Eigen::Map<const RowMajor> as_matrix(const std::vector<double>& values, std::size_t rows, std::size_t columns) {
  return {values.data(), index(rows), index(columns)};
}

std::vector<double> flat(const MatrixXd& matrix) {
  const RowMajor rows = matrix;
  return {rows.data(), rows.data() + rows.size()};
}

MatrixXd row_space(const MatrixXd& rows) {
  MatrixXd columns = rows.transpose();
  for (Index j = 0; j < columns.cols(); ++j) {
    const double size = columns.col(j).norm();
    if (size > 0.0) columns.col(j) /= size;
  }
  Eigen::ColPivHouseholderQR<MatrixXd> qr(columns);
  qr.setThreshold(rank_within);
  const MatrixXd q = qr.householderQ();
  return q.leftCols(qr.rank()).transpose();
}

}  // namespace

StateRow state_row(const GapRow& row, const StringLinks& links, const std::vector<FretRise>& rises) {
  StateRow result;
  result.known = rise_share(row, rises) + row.saddle_height * links.saddle_crown;
  const auto add = [&result](Unknown::Kind kind, int member, PhiLinear coefficient) {
    if (coefficient.base == 0.0 && coefficient.extra == 0.0) return;
    result.terms.push_back({{kind, member}, coefficient});
  };
  add(Unknown::Kind::nut_height, links.nut, {row.nut_height, 0.0});
  for (const StringLinks::Share& share : links.saddle) {
    add(Unknown::Kind::saddle_height, share.index, {row.saddle_height * share.weight, 0.0});
  }
  add(Unknown::Kind::neck_bend, 0, row.neck_bend);
  add(Unknown::Kind::pickup_height, links.pickup, {row.pickup_height, 0.0});
  return result;
}

NeckState::NeckState(std::vector<StateReading> readings, Range phi, StateLimits limits)
    : readings_(std::move(readings)), phi_(phi), limits_(limits) {
  for (const StateReading& reading : readings_) {
    collect(reading.row);
    equalities_ += reading.sense == ReadingSense::equals ? 1 : 0;
  }
  for (const double sample : sampled_phi()) solutions_.push_back(solve(sample));
  if (redundancy() > 0 && phi_.lo != phi_.hi) solutions_.push_back(solve(phi_.middle()));
}

void NeckState::collect(const StateRow& row) {
  for (const StateTerm& term : row.terms) {
    const auto place = std::lower_bound(unknowns_.begin(), unknowns_.end(), term.unknown);
    if (place == unknowns_.end() || *place != term.unknown) unknowns_.insert(place, term.unknown);
  }
}

std::vector<double> NeckState::sampled_phi() const {
  if (phi_.lo == phi_.hi) return {phi_.lo};
  return {phi_.lo, phi_.hi};
}

// Nothing where the row hangs on something that no reading touches.
std::optional<std::vector<double>> NeckState::dense(const StateRow& row, double phi) const {
  std::vector<double> result(unknowns_.size(), 0.0);
  for (const StateTerm& term : row.terms) {
    const double coefficient = term.coefficient.at(phi);
    if (coefficient == 0.0) continue;
    const auto place = std::lower_bound(unknowns_.begin(), unknowns_.end(), term.unknown);
    if (place == unknowns_.end() || *place != term.unknown) return std::nullopt;
    result[static_cast<std::size_t>(place - unknowns_.begin())] += coefficient;
  }
  return result;
}

NeckState::Solution NeckState::solve(double phi) const {
  Solution solution;
  solution.phi = phi;
  MatrixXd rows(index(equalities_), index(unknowns_.size()));
  VectorXd values(index(equalities_));
  VectorXd u(index(equalities_));
  std::vector<std::size_t> source;
  bool any_u = false;
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    if (readings_[i].sense != ReadingSense::equals) continue;
    const Index at = index(source.size());
    rows.row(at) = as_vector(*dense(readings_[i].row, phi)).transpose();
    values(at) = readings_[i].value - readings_[i].row.known;
    u(at) = readings_[i].u;
    any_u = any_u || readings_[i].u > 0.0;
    source.push_back(i);
  }
  if (source.empty() || unknowns_.empty()) return solution;
  if (any_u) u = u.cwiseMax(least_u_mm);

  const MatrixXd basis = row_space(rows);
  solution.rank = static_cast<std::size_t>(basis.rows());
  const VectorXd weights = any_u ? VectorXd(u.cwiseInverse()) : VectorXd(VectorXd::Ones(u.size()));
  const MatrixXd weighted = weights.asDiagonal() * rows * basis.transpose();
  const MatrixXd inverse =
      Eigen::ColPivHouseholderQR<MatrixXd>(weighted).solve(MatrixXd::Identity(weighted.rows(), weighted.rows()));
  const VectorXd found = inverse * weights.cwiseProduct(values);
  const MatrixXd covariance =
      any_u ? MatrixXd(inverse * inverse.transpose()) : MatrixXd(MatrixXd::Zero(basis.rows(), basis.rows()));
  solution.basis = flat(basis);
  solution.state = flat(basis.transpose() * found);
  solution.covariance = flat(basis.transpose() * covariance * basis);

  // What is left of a reading's own variance after the fit; none where nothing else speaks to it.
  const MatrixXd fitted = weighted * inverse;
  for (Index i = 0; any_u && i < values.size(); ++i) {
    const double spare = 1.0 - fitted(i, i);
    if (spare < 1e-6) continue;
    const double residual = values(i) - rows.row(i).dot(as_vector(solution.state));
    const double u_residual = u(i) * std::sqrt(spare);
    if (std::fabs(residual) > 2.0 * u_residual) {
      solution.outliers.push_back({source[static_cast<std::size_t>(i)], residual, u_residual});
    }
  }
  return solution;
}

bool NeckState::spans(const Solution& solution, const std::vector<double>& row) {
  const auto wanted = as_vector(row);
  const auto basis = as_matrix(solution.basis, solution.rank, row.size());
  const VectorXd rest = wanted - basis.transpose() * (basis * wanted);
  return rest.norm() <= rank_within * wanted.norm();
}

bool NeckState::determined(const StateRow& row) const {
  return std::all_of(solutions_.begin(), solutions_.end(), [&](const Solution& solution) {
    const auto wanted = dense(row, solution.phi);
    return wanted && spans(solution, *wanted);
  });
}

std::optional<DeterminedValue> NeckState::value(const StateRow& row) const {
  if (!determined(row)) return std::nullopt;
  constexpr double infinity = std::numeric_limits<double>::infinity();
  DeterminedValue result{{infinity, -infinity}, 0.0};
  for (const Solution& solution : solutions_) {
    const std::vector<double> wanted = *dense(row, solution.phi);
    const auto form = as_vector(wanted);
    const double value = row.known + form.dot(as_vector(solution.state));
    const VectorXd spread = as_matrix(solution.covariance, wanted.size(), wanted.size()) * form;
    result.value = hull(result.value, exactly(value));
    result.u = std::max(result.u, std::sqrt(std::max(0.0, form.dot(spread))));
  }
  return result;
}

Range NeckState::limits_of(const Unknown& unknown) const {
  switch (unknown.kind) {
    case Unknown::Kind::nut_height: return limits_.nut_height;
    case Unknown::Kind::saddle_height: return limits_.saddle_height;
    case Unknown::Kind::neck_bend: return limits_.neck_bend;
    case Unknown::Kind::pickup_height: return limits_.pickup_height;
  }
  return {};
}

std::optional<Range> NeckState::interval_at(const StateRow& row, double phi) const {
  constexpr double infinity = std::numeric_limits<double>::infinity();
  std::vector<BoundedRow> rows;
  for (const StateReading& reading : readings_) {
    const double value = reading.value - reading.row.known;
    Range within{value - 2.0 * reading.u, value + 2.0 * reading.u};
    if (reading.sense == ReadingSense::at_least) within = {value, infinity};
    if (reading.sense == ReadingSense::at_most) within = {-infinity, value};
    rows.push_back({*dense(reading.row, phi), within});
  }
  std::vector<Range> variables;
  for (const Unknown& unknown : unknowns_) variables.push_back(limits_of(unknown));
  const std::optional<Range> found = extremes(*dense(row, phi), rows, variables);
  if (!found) return std::nullopt;
  return Range{found->lo + row.known, found->hi + row.known};
}

std::optional<Range> NeckState::interval(const StateRow& row) const {
  // Unknowns that no reading touches join in with their limits alone.
  NeckState widened = *this;
  widened.collect(row);
  std::optional<Range> result;
  for (const Solution& solution : solutions_) {
    const std::optional<Range> found = widened.interval_at(row, solution.phi);
    if (found) result = result ? hull(*result, *found) : *found;
  }
  return result;
}

bool NeckState::would_determine(const StateRow& candidate, const StateRow& row) const {
  std::vector<StateReading> readings = readings_;
  readings.push_back({candidate, 0.0, 0.0, ReadingSense::equals});
  return NeckState(std::move(readings), phi_, limits_).determined(row);
}

int NeckState::redundancy() const {
  std::size_t rank = 0;
  for (const Solution& solution : solutions_) rank = std::max(rank, solution.rank);
  return static_cast<int>(equalities_) - static_cast<int>(rank);
}

std::vector<Contradiction> NeckState::contradictions() const {
  std::vector<Contradiction> result = solutions_.front().outliers;
  for (const Solution& solution : solutions_) {
    std::vector<Contradiction> agreed;
    for (const Contradiction& so_far : result) {
      for (const Contradiction& here : solution.outliers) {
        if (here.reading != so_far.reading) continue;
        agreed.push_back(std::fabs(here.residual) < std::fabs(so_far.residual) ? here : so_far);
      }
    }
    result = std::move(agreed);
  }
  return result;
}

}  // namespace stringline::model
