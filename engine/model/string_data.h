// What a string is: its mass, its pull, how it stiffens and how it stretches.
//
//   T = mu (2 L f)^2                 pull; v = 2 L f is the wave's speed
//   mu = rho pi d^2 / 4              plain strings only; stress = rho (2 L f)^2, whatever the diameter
//   kappa = E A / T = 2R + 1         stretch; R = d ln f / d ln L as measured by pulling the string longer
//   B0 = sqrt(kappa) rad / (2 L)     bending; rad and A are those of the part that bends and pulls: a wound steel
//                                    string's core, a nylon string's whole
//   B = pi^2 B0^2                    f_n = n f0 sqrt(1 + B n^2); partial n is 600 log2(1 + B n^2) cents sharp
//
// Units: mm, Hz, N, MPa, kg/m (a published unit weight in mg/mm is the same as g/m). Sources: OpenStax University
// Physics 16; Anderson & Beausoleil 2024; Fletcher & Rossing 2.18 (B as quoted); Shigley, Table 10-5 for the modulus of
// music wire; spring-wire tables for its density. Limits: nylon and wound strings go by their unit weight and a
// MEASURED R or an effective modulus: density times area and handbook moduli are off by tens of per cent there.
// Tested by tests/unit/model_string_data_test.cc.
#pragma once

#include <vector>

namespace stringline::model {

inline constexpr double steel_density = 7850.0;      // kg/m^3
inline constexpr double steel_modulus_mpa = 203400;  // music wire up to 0.8 mm
inline constexpr double newton_per_kgf = 9.80665;
inline constexpr double newton_per_lbf = 4.4482216152605;

[[nodiscard]] double plain_mass(double diameter_mm, double density = steel_density);  // kg/m
[[nodiscard]] double plain_stress_mpa(double length_mm, double hertz, double density = steel_density);

[[nodiscard]] double tension(double mass_kg_m, double length_mm, double hertz);  // N
[[nodiscard]] double wave_speed(double mass_kg_m, double tension_n);             // m/s
[[nodiscard]] double frequency(double mass_kg_m, double length_mm, double tension_n);

[[nodiscard]] double round_area(double radius_mm);  // mm^2
[[nodiscard]] double kappa_of_modulus(double modulus_mpa, double area_mm2, double tension_n);
[[nodiscard]] double kappa_of_stretch(double r_measured);
[[nodiscard]] double bending_b0(double kappa, double radius_mm, double length_mm);
[[nodiscard]] double inharmonicity(double bending_b0);
[[nodiscard]] double partial_cents(int partial, double inharmonicity);

// One string as strung. With the modulus and area unchanged, kappa goes as 1/T: `kappa_at` follows it to another pull.
struct StrungString {
  double mass_kg_m = 0.0;
  double length_mm = 0.0;
  double hertz = 0.0;

  [[nodiscard]] double pull() const { return tension(mass_kg_m, length_mm, hertz); }
};

[[nodiscard]] double kappa_at(double kappa, double tension_n, double other_tension_n);
[[nodiscard]] double total_pull(const std::vector<StrungString>& strings);  // N

// What a change of gauges or tuning does to the neck's load, before any rod is turned.
struct PullChange {
  double before_n = 0.0;
  double after_n = 0.0;

  [[nodiscard]] double difference_n() const { return after_n - before_n; }
  [[nodiscard]] double share() const { return before_n > 0.0 ? after_n / before_n - 1.0 : 0.0; }
};

[[nodiscard]] PullChange pull_change(const std::vector<StrungString>& before, const std::vector<StrungString>& after);

}  // namespace stringline::model
