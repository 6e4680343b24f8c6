#include "engine/model/string_data.h"

#include <cmath>
#include <numbers>

namespace stringline::model {
namespace {

constexpr double metres_per_mm = 1e-3;
constexpr double pascals_per_mpa = 1e6;

double speed(double length_mm, double hertz) { return 2.0 * length_mm * metres_per_mm * hertz; }

}  // namespace

double plain_mass(double diameter_mm, double density) {
  const double radius = 0.5 * diameter_mm * metres_per_mm;
  return density * std::numbers::pi * radius * radius;
}

double plain_stress_mpa(double length_mm, double hertz, double density) {
  const double v = speed(length_mm, hertz);
  return density * v * v / pascals_per_mpa;
}

double tension(double mass_kg_m, double length_mm, double hertz) {
  const double v = speed(length_mm, hertz);
  return mass_kg_m * v * v;
}

double wave_speed(double mass_kg_m, double tension_n) { return std::sqrt(tension_n / mass_kg_m); }

double frequency(double mass_kg_m, double length_mm, double tension_n) {
  return wave_speed(mass_kg_m, tension_n) / (2.0 * length_mm * metres_per_mm);
}

double round_area(double radius_mm) { return std::numbers::pi * radius_mm * radius_mm; }

double kappa_of_modulus(double modulus_mpa, double area_mm2, double tension_n) {
  return modulus_mpa * area_mm2 / tension_n;  // MPa * mm^2 is N
}

double kappa_of_stretch(double r_measured) { return 2.0 * r_measured + 1.0; }

double bending_b0(double kappa, double radius_mm, double length_mm) {
  return std::sqrt(kappa) * radius_mm / (2.0 * length_mm);
}

double inharmonicity(double b0) { return std::numbers::pi * std::numbers::pi * b0 * b0; }

double partial_cents(int partial, double b) { return 600.0 * std::log1p(b * partial * partial) / std::numbers::ln2; }

double kappa_at(double kappa, double tension_n, double other_tension_n) { return kappa * tension_n / other_tension_n; }

double total_pull(const std::vector<StrungString>& strings) {
  double sum = 0.0;
  for (const StrungString& string : strings) sum += string.pull();
  return sum;
}

PullChange pull_change(const std::vector<StrungString>& before, const std::vector<StrungString>& after) {
  return {total_pull(before), total_pull(after)};
}

}  // namespace stringline::model
