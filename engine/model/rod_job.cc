#include "engine/model/rod_job.h"

#include <algorithm>
#include <cmath>

namespace stringline::model {
namespace {

// reading_change * relief(phi) = relief_change * reading(phi) is linear in phi: `slope * phi = target`.
struct PhiEquation {
  double slope = 0.0;
  double target = 0.0;
  double u = 0.0;  // of `target - slope * phi`

  [[nodiscard]] double phi() const { return target / slope; }
  [[nodiscard]] double u_phi() const { return u / std::fabs(slope); }
};

PhiEquation equation_of(const RodPair& pair, double near_phi) {
  PhiEquation equation;
  equation.slope = pair.reading_change * pair.relief.extra - pair.relief_change * pair.reading.extra;
  equation.target = pair.relief_change * pair.reading.base - pair.reading_change * pair.relief.base;
  equation.u = std::hypot(pair.u_reading * pair.relief.at(near_phi), pair.u_relief * pair.reading.at(near_phi));
  return equation;
}

// Far below any move of a rod: a pair with less of a slope carries no news of phi.
constexpr double least_slope_mm = 1e-6;
// Stands in for the u of a pair that states none, so that it can be weighed at all.
constexpr double least_u_mm = 1e-6;

std::vector<PhiEquation> usable_equations(const std::vector<RodPair>& pairs, double near_phi) {
  std::vector<PhiEquation> equations;
  for (const RodPair& pair : pairs) {
    PhiEquation equation = equation_of(pair, near_phi);
    equation.u = std::max(equation.u, least_u_mm);
    if (std::fabs(equation.slope) > least_slope_mm) equations.push_back(equation);
  }
  return equations;
}

double weighted_phi(const std::vector<PhiEquation>& equations) {
  double top = 0.0;
  double bottom = 0.0;
  for (const PhiEquation& equation : equations) {
    const double weight = 1.0 / (equation.u * equation.u);
    top += weight * equation.slope * equation.target;
    bottom += weight * equation.slope * equation.slope;
  }
  return top / bottom;
}

// What the pairs scatter beyond their own u (the moment estimate that is usual for a mean of unequal readings).
double excess_scatter(const std::vector<PhiEquation>& equations, double phi) {
  if (equations.size() < 2) return 0.0;
  double chi_squared = 0.0;
  double weights = 0.0;
  double weights_squared = 0.0;
  for (const PhiEquation& equation : equations) {
    const double weight = 1.0 / (equation.u_phi() * equation.u_phi());
    chi_squared += weight * (equation.phi() - phi) * (equation.phi() - phi);
    weights += weight;
    weights_squared += weight * weight;
  }
  const double spare = weights - weights_squared / weights;
  const double degrees = static_cast<double>(equations.size() - 1);
  if (!(spare > 0.0)) return 0.0;
  return std::sqrt(std::max(0.0, (chi_squared - degrees) / spare));
}

double mean_u(const std::vector<PhiEquation>& equations, double scatter) {
  double weights = 0.0;
  for (const PhiEquation& equation : equations) {
    weights += 1.0 / (equation.u_phi() * equation.u_phi() + scatter * scatter);
  }
  return 1.0 / std::sqrt(weights);
}

}  // namespace

PhiLinear saddle_lift(const NeckGeometry& neck) { return {0.0, 4.0 * (1.0 / neck.joint() - 1.0)}; }

PhiLinear effect(const GapRow& row, const NeckGeometry& neck, Control control) {
  switch (control) {
    case Control::neck_bend:
      return {row.neck_bend.base, row.neck_bend.extra + row.saddle_height * saddle_lift(neck).extra};
    case Control::nut_height: return {row.nut_height, 0.0};
    case Control::saddle_height: return {row.saddle_height, 0.0};
    case Control::pickup_height: return {row.pickup_height, 0.0};
    case Control::fret_plane: return {row.fret_plane, 0.0};
  }
  return {};
}

std::optional<Range> per_measured(const PhiLinear& reading, const PhiLinear& relief, Range phi) {
  const Range moved = relief.over(phi);
  if (moved.lo <= 0.0 && moved.hi >= 0.0) return std::nullopt;
  return ordered(reading.at(phi.lo) / relief.at(phi.lo), reading.at(phi.hi) / relief.at(phi.hi));
}

std::optional<LearntPhi> learn_phi(const std::vector<RodPair>& pairs) {
  LearntPhi learnt;
  std::vector<PhiEquation> equations;
  // The weights depend a little on phi itself; three rounds settle them far below any u.
  for (int round = 0; round < 3; ++round) {
    equations = usable_equations(pairs, learnt.phi);
    if (equations.empty()) return std::nullopt;
    learnt.phi = std::clamp(weighted_phi(equations), 0.0, 1.0);
  }
  const double raw_phi = weighted_phi(equations);
  learnt.scatter = excess_scatter(equations, raw_phi);
  learnt.u = mean_u(equations, learnt.scatter);
  learnt.pairs_used = static_cast<int>(equations.size());
  const double reach = 2.0 * std::hypot(learnt.u, learnt.scatter);
  learnt.range = {std::max(0.0, learnt.phi - reach), std::min(1.0, learnt.phi + reach)};
  return learnt;
}

}  // namespace stringline::model
