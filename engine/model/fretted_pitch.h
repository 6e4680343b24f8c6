// How many cents a fretted note is sharp, and why.
//
// Heights are mm above the fret line, lengths mm; X0 scale, b nut height, h saddle height, c = h - b, dS saddle setback
// (+ longer), dN nut setback (- shorter), d finger behind the fret, g = 2^(n/12):
//   L0  = sqrt((X0 + dS + dN)^2 + c^2)
//   Xn  = X0/g - flat/2                              a worn flat top is met at its edge toward the saddle
//   Ln  = sqrt((Xn + dS)^2 + h^2)
//   s   = h d/(Xn + dS), or the push depth where that is deeper
//   Ln' = sqrt(d^2 + s^2) + sqrt((X0 - Xn + dN - d)^2 + (b + s)^2)
//   Q   = (Ln + Ln' - L0)/L0
//   B0  = sqrt(kappa) rad/(2 L0),   Bn = B0 (L0/Ln)/sqrt(1 + kappa Q),   H(B) = 1 + B + (1 + pi^2/2) B^2
//   cents = 1200 log2(L0/(g Ln)) + 600 log2(1 + Q) + 600 log2(1 + kappa Q) + 1200 log2(H(Bn)/H(B0))
//           length                 density           tension                  stiffness
// A fret that stands t above the line (rise, or relief at its place) sees b - t and h - t.
//
// Source: Anderson & Beausoleil 2024, sections II and III (the root divides in Bn, by the paper's own definition of the
// pull; its printed multiplier is a slip). Held against the paper's prototype, its table of strings and its measured
// guitar. Flat tops: derived (half the flat's width). The push below the fret top: NO OUTSIDE CHECK.
// Limits: saddle pinned, string clamped on the fret; kappa and rad are those of string_data.h; no bends, no vibration.
// Tested by tests/unit/model_fretted_pitch_test.cc and tests/property/model_test.cc.
#pragma once

#include <vector>

namespace stringline::model {

struct Touch {
  double finger_mm = 0.0;  // d; 0: pressed on the fret itself, and then no push depth counts
  double push_mm = 0.0;    // how far below the fret top the finger carries the string; no outside check
};

struct FretTop {
  double height_mm = 0.0;  // above the fret line, as fret_line() of string_line.h and a fret's rise give it
  double flat_mm = 0.0;    // width of the worn flat
};

// One string of an instrument. A short string has the scale of its own open length and frets counted from its own
// start.
struct FrettedString {
  double scale_mm = 0.0;
  double nut_height = 0.0;
  double saddle_height = 0.0;
  double saddle_setback = 0.0;
  double nut_setback = 0.0;
  double kappa = 0.0;
  double bending_radius = 0.0;  // of the part that bends, mm
  Touch touch = {};
  std::vector<FretTop> tops = {};  // fret 1 first; frets not listed are full and level

  [[nodiscard]] FretTop top(int fret) const;
};

// The four terms of the formula.
struct CentsTerms {
  double length = 0.0;
  double density = 0.0;
  double tension = 0.0;
  double stiffness = 0.0;

  [[nodiscard]] double total() const { return length + density + tension + stiffness; }
};

// Cents against equal temperament above the open string as tuned; fret 1 or higher.
[[nodiscard]] CentsTerms fretted_cents(const FrettedString& string, int fret);
[[nodiscard]] double stretch(const FrettedString& string, int fret);  // Q

// The setbacks that make the root mean square error over frets `first`..`last` as small as it can be.
struct Offsets {
  double saddle_setback = 0.0;
  double nut_setback = 0.0;
  double rms_cents = 0.0;
};
[[nodiscard]] double rms_cents(const FrettedString& string, int first = 1, int last = 12);
[[nodiscard]] Offsets optimal_offsets(FrettedString string, int first = 1, int last = 12);

}  // namespace stringline::model
