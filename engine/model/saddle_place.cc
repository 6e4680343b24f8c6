#include "engine/model/saddle_place.h"

#include <cmath>
#include <numbers>

#include "engine/model/frets.h"

namespace stringline::model {

std::optional<double> saddle_move(const SpeakingLengths& lengths, double cents_sharp) {
  const auto& [open, fretted] = lengths;
  const double rest = open - fretted * ratio_of_cents(cents_sharp);
  if (!(rest > 0.0)) return std::nullopt;
  const double excess = std::expm1(cents_sharp * std::numbers::ln2 / 1200.0);  // r - 1, without cancellation
  return open * fretted * excess / rest;
}

double saddle_move_linear(const SpeakingLengths& lengths, double cents_sharp) {
  return cents_sharp / cents_per_mm(lengths);
}

std::optional<double> cents_of_move(const SpeakingLengths& lengths, double move_mm) {
  const auto& [open, fretted] = lengths;
  if (!(fretted + move_mm > 0.0)) return std::nullopt;
  return (std::log1p(move_mm / open) - std::log1p(move_mm / fretted)) * 1200.0 / std::numbers::ln2;
}

double cents_per_mm(const SpeakingLengths& lengths) {
  return (1.0 / lengths.fretted_mm - 1.0 / lengths.open_mm) * 1200.0 / std::numbers::ln2;
}

SpeakingLengths lengths_of(const SaddlePlace& place) {
  const double setback = place.setback_mm.value_or(0.0);
  return {place.scale_mm + setback, fret_to_saddle(place.scale_mm, place.fret) + setback};
}

std::optional<Range> saddle_move_range(const SaddlePlace& place, double cents_sharp) {
  const std::optional<double> move = saddle_move(lengths_of(place), cents_sharp);
  if (!move) return std::nullopt;
  if (place.setback_mm) return exactly(*move);
  return ordered(*move * (1.0 - doubt_without_setback), *move * (1.0 + doubt_without_setback));
}

}  // namespace stringline::model
