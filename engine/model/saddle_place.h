// How far to move a saddle for a note that is out, and what a move does to it.
//
//   d = A F (r - 1) / (A - F r),   r = 2^(c/1200)     exact: open length A, fretted length F, note c cents sharp
//   d ~ A F / (A - F) * c ln 2 / 1200                  linear; at the 12th about 0.000577623 of the scale per cent
//
// Positive d is away from the nut: a note that is sharp when fretted wants the saddle back. The open string is retuned
// after the move, the part that stretch adds stays. Lengths in mm, speaking lengths with the setback of nut and saddle.
// Sources: derived; linear form as Anderson & Beausoleil 2024 (setback term of the approximate formula) have it;
// against T. Stock's field measurement, 0.14 in per 10 cents on a 25.5 in instrument. The often repeated 0.007 in per
// cent is how far the FRET would have to go: wrong by a factor of two for a saddle, and a test holds this file away
// from it.
// Limits: a setback nobody measured leaves 2 % of doubt.
// Tested by tests/unit/model_saddle_place_test.cc and tests/property/model_test.cc.
#pragma once

#include <optional>

#include "engine/model/range.h"

namespace stringline::model {

struct SpeakingLengths {
  double open_mm = 0.0;
  double fretted_mm = 0.0;
};

// Nothing where no place of the saddle helps: the error is as large as the interval itself.
[[nodiscard]] std::optional<double> saddle_move(const SpeakingLengths& lengths, double cents_sharp);
[[nodiscard]] double saddle_move_linear(const SpeakingLengths& lengths, double cents_sharp);
// By how many cents the fretted note changes against its target: negative for a move away from the nut. Nothing where
// the move would take the saddle past the fret.
[[nodiscard]] std::optional<double> cents_of_move(const SpeakingLengths& lengths, double move_mm);
[[nodiscard]] double cents_per_mm(const SpeakingLengths& lengths);

// What a profile knows of a string: its scale, and perhaps how far beyond it the saddle stands already.
struct SaddlePlace {
  double scale_mm = 0.0;
  std::optional<double> setback_mm = std::nullopt;
  double fret = 12.0;
};

inline constexpr double doubt_without_setback = 0.02;

[[nodiscard]] SpeakingLengths lengths_of(const SaddlePlace& place);
// A single number where the setback is known; else that of the bare scale, 2 % either way.
[[nodiscard]] std::optional<Range> saddle_move_range(const SaddlePlace& place, double cents_sharp);

}  // namespace stringline::model
