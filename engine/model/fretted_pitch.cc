#include "engine/model/fretted_pitch.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/model/frets.h"
#include "engine/model/string_data.h"

namespace stringline::model {
namespace {

double log2_of_one_plus(double x) { return std::log1p(x) / std::numbers::ln2; }

// How bending raises a string's pitch, saddle pinned and fret clamped; 1 is left out, so that ratios keep their digits.
double bending_excess(double b) { return b + (1.0 + 0.5 * std::numbers::pi * std::numbers::pi) * b * b; }

struct Paths {
  double open = 0.0;    // L0
  double played = 0.0;  // Ln
  double behind = 0.0;  // Ln'

  [[nodiscard]] double stretch() const { return (played + behind - open) / open; }
};

Paths paths_of(const FrettedString& string, int fret) {
  const FretTop top = string.top(fret);
  const double contact = fret_to_saddle(string.scale_mm, fret) - 0.5 * top.flat_mm;
  const double nut = string.nut_height - top.height_mm;
  const double saddle = string.saddle_height - top.height_mm;
  const double played = contact + string.saddle_setback;
  const double finger = string.touch.finger_mm;
  const double push = finger > 0.0 ? string.touch.push_mm : 0.0;
  const double depth = std::max(push, saddle * finger / played);
  const double open = string.scale_mm + string.saddle_setback + string.nut_setback;
  Paths paths;
  paths.open = std::hypot(open, saddle - nut);
  paths.played = std::hypot(played, saddle);
  paths.behind = std::hypot(finger, depth) + std::hypot(open - played - finger, nut + depth);
  return paths;
}

// Both setbacks' effect on every error, by central differences; the errors are all but linear in them.
struct Slopes {
  double saddle = 0.0;
  double nut = 0.0;
};

Slopes slopes_at(FrettedString string, int fret) {
  constexpr double step_mm = 1e-3;
  const auto cents_with = [&](double saddle, double nut) {
    FrettedString moved = string;
    moved.saddle_setback += saddle;
    moved.nut_setback += nut;
    return fretted_cents(moved, fret).total();
  };
  return {(cents_with(step_mm, 0.0) - cents_with(-step_mm, 0.0)) / (2.0 * step_mm),
          (cents_with(0.0, step_mm) - cents_with(0.0, -step_mm)) / (2.0 * step_mm)};
}

// One Gauss-Newton step over the normal equations, two unknowns.
Slopes best_step(const FrettedString& string, int first, int last) {
  double ss = 0.0, sn = 0.0, nn = 0.0, se = 0.0, ne = 0.0;
  for (int fret = first; fret <= last; ++fret) {
    const Slopes slope = slopes_at(string, fret);
    const double error = fretted_cents(string, fret).total();
    ss += slope.saddle * slope.saddle;
    sn += slope.saddle * slope.nut;
    nn += slope.nut * slope.nut;
    se += slope.saddle * error;
    ne += slope.nut * error;
  }
  const double determinant = ss * nn - sn * sn;
  return {(sn * ne - nn * se) / determinant, (sn * se - ss * ne) / determinant};
}

}  // namespace

FretTop FrettedString::top(int fret) const {
  const auto place = static_cast<std::size_t>(fret - 1);
  return place < tops.size() ? tops[place] : FretTop{};
}

double stretch(const FrettedString& string, int fret) { return paths_of(string, fret).stretch(); }

CentsTerms fretted_cents(const FrettedString& string, int fret) {
  const Paths paths = paths_of(string, fret);
  const double q = paths.stretch();
  const double b_open = bending_b0(string.kappa, string.bending_radius, paths.open);
  const double b_fretted = b_open * (paths.open / paths.played) / std::sqrt(1.0 + string.kappa * q);
  CentsTerms cents;
  cents.length = 1200.0 * std::log2(paths.open / paths.played) - 100.0 * fret;
  cents.density = 600.0 * log2_of_one_plus(q);
  cents.tension = 600.0 * log2_of_one_plus(string.kappa * q);
  cents.stiffness = 1200.0 * (log2_of_one_plus(bending_excess(b_fretted)) - log2_of_one_plus(bending_excess(b_open)));
  return cents;
}

double rms_cents(const FrettedString& string, int first, int last) {
  double sum = 0.0;
  for (int fret = first; fret <= last; ++fret) {
    const double error = fretted_cents(string, fret).total();
    sum += error * error;
  }
  return std::sqrt(sum / (last - first + 1));
}

Offsets optimal_offsets(FrettedString string, int first, int last) {
  constexpr int most_rounds = 20;
  constexpr double settled_mm = 1e-7;
  for (int round = 0; round < most_rounds; ++round) {
    const Slopes step = best_step(string, first, last);
    string.saddle_setback += step.saddle;
    string.nut_setback += step.nut;
    if (std::fabs(step.saddle) + std::fabs(step.nut) < settled_mm) break;
  }
  return {string.saddle_setback, string.nut_setback, rms_cents(string, first, last)};
}

}  // namespace stringline::model
