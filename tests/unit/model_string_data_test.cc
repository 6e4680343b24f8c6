#include "engine/model/string_data.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/model/frets.h"
#include "tests/support/model_oracle.h"

using namespace stringline::model;

TEST_CASE("waves on strings run as the textbook says") {
  // OpenStax University Physics vol. 1, Example 16.5 and problems of 16.3.
  CHECK(wave_speed(3.09e-4, 56.40) == Approx(427.23).margin(0.01).epsilon(0));
  CHECK(5.78e-3 * 427.23 * 427.23 == Approx(1055.00).margin(0.01).epsilon(0));
  CHECK(tension(5.78e-3, 500.0, 427.23) == Approx(1055.00).margin(0.01).epsilon(0));  // 2 L = 1 m
  CHECK(plain_mass(2.40, 8920) == Approx(0.040).margin(0.0005).epsilon(0));
  // Published 15.75 from the rounded 0.040 kg/m would be 15.81; unrounded 15.742.
  CHECK(wave_speed(plain_mass(2.40, 8920), 10.0) == Approx(15.75).margin(0.01).epsilon(0));
  CHECK(wave_speed(5e-3 / 3.0, 500.0) == Approx(547.723).margin(0.001).epsilon(0));
  CHECK(3.0 / wave_speed(5e-3 / 3.0, 500.0) == Approx(5.48e-3).margin(5e-6).epsilon(0));
  CHECK(wave_speed(0.012, 1000.0) == Approx(288.68).margin(0.01).epsilon(0));
  CHECK(wave_speed(0.012, 1000.0) / 393.88 == Approx(0.73).margin(0.01).epsilon(0));
}

TEST_CASE("a nylon set pulls as its paper prints") {
  // Anderson & Beausoleil 2024: tension within 0.15 %, kappa = 2R + 1 within 0.2, from the modulus within 0.4, B0 1e-5.
  for (const published::NylonString& string : published::nylon_set) {
    CAPTURE(string.note);
    CHECK(tension(string.mass_g_m * 1e-3, 650.0, string.hertz) == Approx(string.tension_n).epsilon(0.0015));
    CHECK(kappa_of_stretch(string.stretch_r) == Approx(string.kappa).margin(0.2).epsilon(0));
    const double area = round_area(string.radius_mm);
    const double kappa = kappa_of_modulus(string.modulus_gpa * 1e3, area, string.tension_n);
    CHECK(kappa == Approx(string.kappa).margin(0.4).epsilon(0));
    CHECK(bending_b0(string.kappa, string.radius_mm, 650.0) == Approx(string.b0).margin(1e-5).epsilon(0));
  }
  // R by hand in the same paper, (614/3) * 0.116, given as 24.
  CHECK((kappa_of_stretch((614.0 / 3.0) * 0.116) - 1.0) / 2.0 == Approx(24.0).margin(0.5).epsilon(0));
}

TEST_CASE("nylon does not weigh its density times its area") {
  // Anderson & Beausoleil 2024: 0.374 g/m at radius 0.356 mm is 939 kg/m^3; handbook nylon is 1140 or so.
  CHECK(0.374e-3 / plain_mass(0.712, 1.0) == Approx(939.0).margin(0.5).epsilon(0));
}

TEST_CASE("plain steel pulls as published") {
  // M. Krimmel, GAL Data Sheet 144, as quoted by a bouzouki maker, 660 mm, kgf, 1 %.
  const auto kgf = [](double inch, int note) {
    return tension(plain_mass(inch * 25.4), 660.0, note_hertz(note)) / newton_per_kgf;
  };
  CHECK(kgf(.017, 57) == Approx(9.89).epsilon(0.01));
  CHECK(kgf(.010, 62) == Approx(6.13).epsilon(0.01));
  CHECK(kgf(.010, 64) == Approx(7.72).epsilon(0.01));
  // Published steel strings, Hz, speaking length in m, diameter in mm, N; 0.1 %.
  struct Row {
    double hertz, length_m, diameter, newton;
  };
  const Row rows[] = {
      {220.49, .773, 1.102, 870}, {220.49, .773, 1.027, 755}, {65.55, 2.417, 1.056, 690}, {104.06, 1.564, 1.160, 879}};
  for (const Row& row : rows) {
    CAPTURE(row.hertz, row.diameter);
    CHECK(tension(plain_mass(row.diameter), row.length_m * 1e3, row.hertz) == Approx(row.newton).epsilon(0.001));
  }
}

TEST_CASE("plain steel on a 25.5 inch scale") {
  // Derived, density 7850.
  const auto newton = [](double inch, int note) { return tension(plain_mass(inch * 25.4), 647.7, note_hertz(note)); };
  CHECK(newton(.009, 64) == Approx(58.74).margin(0.005).epsilon(0));
  CHECK(newton(.010, 64) == Approx(72.52).margin(0.005).epsilon(0));
  CHECK(newton(.010, 64) / newton_per_lbf == Approx(16.30).margin(0.005).epsilon(0));
  CHECK(newton(.012, 64) == Approx(104.43).margin(0.005).epsilon(0));
  CHECK(newton(.013, 59) == Approx(68.79).margin(0.005).epsilon(0));
  CHECK(newton(.016, 59) == Approx(104.20).margin(0.005).epsilon(0));
  CHECK(newton(.017, 55) == Approx(74.10).margin(0.005).epsilon(0));
  CHECK(plain_stress_mpa(647.7, note_hertz(64)) == Approx(1431.0).margin(0.5).epsilon(0));
  CHECK(frequency(plain_mass(.254), 647.7, newton(.010, 64)) == Approx(note_hertz(64)));
}

TEST_CASE("moduli and forces convert as their tables do") {
  // Shigley, Table 10-5: 29.5 Mpsi is 203.4 GPa (203.395). UAF physics page: 46.96 kgf, "roughly 100 pounds" (103.53).
  const double mpa_per_psi = newton_per_lbf / (25.4 * 25.4);
  CHECK(29.5e6 * mpa_per_psi == Approx(203395.0).margin(0.5).epsilon(0));
  CHECK(29.5e6 * mpa_per_psi == Approx(steel_modulus_mpa).margin(50.0).epsilon(0));
  CHECK(46.96 * newton_per_kgf / newton_per_lbf == Approx(103.53).margin(0.005).epsilon(0));
}

TEST_CASE("a set's pull is the sum of its strings, and a change is told as one") {
  const StrungString light{plain_mass(.254), 647.7, note_hertz(64)};
  const StrungString heavy{plain_mass(.3048), 647.7, note_hertz(64)};
  const StrungString down{plain_mass(.254), 647.7, note_hertz(62)};
  CHECK(total_pull({light, heavy}) == Approx(72.52 + 104.43).margin(0.01).epsilon(0));
  CHECK(pull_change({light}, {heavy}).share() == Approx(1.44 - 1.0));                   // diameter squared
  CHECK(pull_change({light}, {down}).share() == Approx(std::exp2(-4.0 / 12.0) - 1.0));  // pitch squared
  CHECK(pull_change({light}, {down}).difference_n() < 0.0);
  CHECK(kappa_at(60.0, 70.0, 35.0) == Approx(120.0));
}

TEST_CASE("partials of a stiff string are sharp by the derived cents") {
  // Derived from f_n = n f0 sqrt(1 + B n^2), B = 1e-4.
  const double cents[] = {.087, .346, .779, 1.384, 2.161, 3.111, 4.231, 5.522, 6.983, 8.613};
  for (int n = 1; n <= 10; ++n) {
    CAPTURE(n);
    CHECK(partial_cents(n, 1e-4) == Approx(cents[n - 1]).margin(6e-4).epsilon(0));
  }
}

TEST_CASE("the two stiffness constants are one") {
  // Anderson & Beausoleil 2024's sample: E 5 GPa, T 60 N, r .5 mm, L 650, "3e-3" (3.112e-3).
  const double kappa = kappa_of_modulus(5000.0, round_area(0.5), 60.0);
  const double b0 = bending_b0(kappa, 0.5, 650.0);
  CHECK(b0 == Approx(3e-3).margin(5e-4).epsilon(0));
  CHECK(b0 == Approx(3.112e-3).margin(5e-7).epsilon(0));
  // Fletcher & Rossing 2.18 as quoted: pi^3 E d^4/(64 T L^2) is pi^2 times its square.
  const double pi = std::acos(-1.0);
  const double fletcher = pi * pi * pi * 5e9 * std::pow(1e-3, 4) / (64.0 * 60.0 * 0.65 * 0.65);
  CHECK(inharmonicity(b0) == Approx(fletcher));
}

TEST_CASE("plain steel trebles are hardly inharmonic") {
  // Derived: 25.5 in, E 203.4 GPa.
  const auto b_of = [](double inch, int note) {
    const double diameter = inch * 25.4;
    const double pull = tension(plain_mass(diameter), 647.7, note_hertz(note));
    const double kappa = kappa_of_modulus(steel_modulus_mpa, round_area(diameter / 2.0), pull);
    return inharmonicity(bending_b0(kappa, diameter / 2.0, 647.7));
  };
  CHECK(b_of(.010, 64) == Approx(1.35e-5).margin(5e-8).epsilon(0));
  CHECK(b_of(.016, 59) == Approx(6.15e-5).margin(5e-8).epsilon(0));
  CHECK(b_of(.017, 55) == Approx(1.10e-4).margin(5e-7).epsilon(0));
}
