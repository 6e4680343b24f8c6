// A second, straightforward implementation of the instrument model, written from the published formulas and from plain
// geometry, in long double, sharing no code with engine/model. It is slow and keeps no coefficients: heights are laid
// out point by point, effects are differences between two instruments, moves are found by halving an interval.
// tests/property/model_test.cc first holds it against the published values, then holds the engine against it.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

namespace oracle {

using Real = long double;

// A reading as a log writes it, the same under every locale.
inline std::string mm(Real value) { return fmt::format("{:.6f} mm", static_cast<double>(value)); }

inline Real share(Real fret) { return 1.0L - std::pow(2.0L, -fret / 12.0L); }

// Anderson & Beausoleil 2024, sections II and III; with flat tops, fret heights and push as the engine describes them.
struct Note {
  Real scale = 0, nut = 0, saddle = 0, saddle_setback = 0, nut_setback = 0, kappa = 0, radius = 0;
  Real finger = 0, push = 0, flat = 0, height = 0;
};

inline Real open_length(const Note& s) {
  const Real along = s.scale + s.saddle_setback + s.nut_setback;
  const Real c = s.saddle - s.nut;
  return std::sqrt(along * along + c * c);
}

inline Real played_length(const Note& s, int n) {
  const Real along = s.scale / std::pow(2.0L, n / 12.0L) - s.flat / 2 + s.saddle_setback;
  const Real h = s.saddle - s.height;
  return std::sqrt(along * along + h * h);
}

inline Real stretch(const Note& s, int n) {
  const Real contact = s.scale / std::pow(2.0L, n / 12.0L) - s.flat / 2;
  Real depth = (s.saddle - s.height) * s.finger / (contact + s.saddle_setback);
  if (s.finger > 0 && s.push > depth) depth = s.push;
  const Real to_nut = s.scale - contact + s.nut_setback - s.finger;
  const Real b = s.nut - s.height;
  const Real behind =
      std::sqrt(s.finger * s.finger + depth * depth) + std::sqrt(to_nut * to_nut + (b + depth) * (b + depth));
  return (played_length(s, n) + behind - open_length(s)) / open_length(s);
}

// The fundamental of a stiff string pinned at one end and clamped at the other, against an ideal one.
inline Real bending_factor(Real b) {
  const Real pi = std::acos(-1.0L);
  return 1 + b + (1 + pi * pi / 2) * b * b;
}

// One logarithm of the whole frequency ratio, not a sum of four.
inline Real cents(const Note& s, int n) {
  const Real open = open_length(s), played = played_length(s, n), q = stretch(s, n);
  const Real b0 = std::sqrt(s.kappa) * s.radius / (2 * open);
  const Real bn = b0 * (open / played) / std::sqrt(1 + s.kappa * q);
  const Real ratio = open / played * std::sqrt((1 + q) * (1 + s.kappa * q)) * bending_factor(bn) / bending_factor(b0);
  return 1200 * std::log2(ratio / std::pow(2.0L, n / 12.0L));
}

// A neck with every height laid out. Pickup height counts from the fret line carried on.
struct Instrument {
  Real joint = 0, bend = 0, phi = 0, nut = 0, saddle = 0, pickup = 0;
  int first_fret = 0;
  std::vector<Real> rise;  // fret 1 first
};

inline Real line(const Instrument& g, Real x) {
  const Real j = share(g.joint);
  if (x <= j) return -4 * g.bend * x * (j - x) / (j * j);
  return 4 * g.phi * g.bend * (x / j - 1);
}

inline Real top(const Instrument& g, int fret) {
  const auto place = static_cast<std::size_t>(fret - 1);
  return line(g, share(fret)) + (place < g.rise.size() ? g.rise[place] : 0.0L);
}

// Height of the string at x: between the two nearest things that hold it.
inline Real string_height(const Instrument& g, Real x, const std::vector<int>& held) {
  Real x0 = share(g.first_fret), y0 = line(g, x0) + g.nut, x1 = 1, y1 = g.saddle;
  for (const int fret : held) {
    const Real at = share(fret);
    if (at < x && at > x0) x0 = at, y0 = top(g, fret);
    if (at > x && at < x1) x1 = at, y1 = top(g, fret);
  }
  return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

inline Real gap_at_fret(const Instrument& g, int fret, const std::vector<int>& held) {
  return string_height(g, share(fret), held) - top(g, fret);
}

inline Real gap_at_pickup(const Instrument& g, Real x, const std::vector<int>& held) {
  return string_height(g, x, held) - line(g, x) - g.pickup;
}

// The neck turns against the body: phi of the turn at the joint carries the saddle along.
inline Instrument after_rod(Instrument g, Real dr) {
  g.bend += dr;
  g.saddle += 4 * g.phi * dr * (1 / share(g.joint) - 1);
  return g;
}

inline Instrument after_level(Instrument g, int frets, Real metal) {
  g.rise.resize(static_cast<std::size_t>(frets), 0);
  for (Real& r : g.rise) r -= metal;
  return g;
}

// Nut and saddle height from one nut reading and one at the 12th, relief read at `at` with `from` and the joint held.
struct Heights {
  Real bend, nut, saddle;
};
inline Heights heights_from(Real joint_fret, Real relief, int at, int from, Real nut_gap, Real action12) {
  const Real j = share(joint_fret), x1 = share(1);
  const Real r = relief * j * j / (4 * (share(at) - share(from)) * (j - share(at)));
  const Real c1 = nut_gap - 4 * r * x1 * (j - x1) / (j * j);
  const Real a12 = action12 - 2 * r * (j - 0.5L) / (j * j);
  const Real nut = (c1 - 2 * x1 * a12) / (1 - 2 * x1);
  return {r, nut, 2 * a12 - nut};
}

// The saddle place at which the retuned string plays in tune, by halving.
inline Real saddle_move(Real open, Real fretted, Real sharp) {
  const auto left = [&](Real d) { return sharp + 1200 * std::log2((open + d) / (fretted + d) * fretted / open); };
  Real lo = -0.9L * fretted, hi = 50 * open;
  for (int i = 0; i < 200; ++i) {
    const Real middle = (lo + hi) / 2;
    (left(middle) > 0 ? lo : hi) = middle;
  }
  return (lo + hi) / 2;
}

// The lowest saddle at which no fretted or open note touches, by halving.
inline Real lowest_saddle(Instrument g, int frets, Real margin) {
  const auto clean = [&](Real saddle) {
    g.saddle = saddle;
    for (int n = g.first_fret; n < frets; ++n) {
      for (int k = n + 1; k <= frets; ++k) {
        const std::vector<int> held = n > g.first_fret ? std::vector<int>{n} : std::vector<int>{};
        if (gap_at_fret(g, k, held) < margin) return false;
      }
    }
    return true;
  };
  Real lo = -200, hi = 200;
  for (int i = 0; i < 60; ++i) {
    const Real middle = (lo + hi) / 2;
    (clean(middle) ? hi : lo) = middle;
  }
  return hi;
}

}  // namespace oracle

// Published tables that several tests read.
namespace published {

// Anderson & Beausoleil 2024, one set of nylon strings as printed, 650 mm; offsets from their regression, b 1, c 4.
struct NylonString {
  const char* note;
  double hertz, radius_mm, mass_g_m, tension_n, stretch_r, kappa, b0, modulus_gpa, saddle_setback, nut_setback, rms;
};
inline const std::vector<NylonString> nylon_set{
    {"E4", 329.63, .356, .374, 68.6, 23.6, 48.2, .00190, 8.33, 1.48, -.36, .15},
    {"B3", 246.94, .409, .505, 52.0, 23.8, 48.7, .00220, 4.82, 1.69, -.36, .15},
    {"G3", 196.00, .512, .836, 54.2, 28.8, 58.6, .00301, 3.87, 2.33, -.43, .19},
    {"D3", 146.83, .368, 1.920, 70.0, 22.5, 46.0, .00192, 7.56, 1.48, -.34, .14},
    {"A2", 110.00, .445, 3.289, 67.3, 23.9, 48.7, .00239, 5.28, 1.82, -.36, .15},
    {"E2", 82.41, .546, 5.470, 62.8, 28.6, 58.2, .00321, 3.90, 2.46, -.43, .19}};

// The same paper's measured guitar: scale 652, b 1.4, c 5.5, d 10, dS -3.5, dN 0; what was measured, and (derived) what
// the full formula gives.
struct MeasuredString {
  double fret12_lo, fret12_hi, formula1, formula12;
};
inline const std::vector<MeasuredString> measured_guitar{{15.75, 17.5, 4.58, 16.18}, {15.75, 17.5, 4.65, 16.77},
                                                         {18.5, 19.5, 5.51, 19.04},  {15.75, 17.5, 4.41, 16.05},
                                                         {15.75, 17.5, 4.67, 17.13}, {18.5, 19.5, 5.50, 19.40}};
inline constexpr double measured_fret1_lo = 4.5;
inline constexpr double measured_fret1_hi = 5.75;
inline constexpr double measured_band = 0.25;

}  // namespace published
