#include "engine/model/chord.h"

#include <algorithm>
#include <charconv>

namespace stringline::model {
namespace {

constexpr int highest_fret = 36;

// One string's part: `x`, or a fret number that is the whole of `part`.
bool read_part(std::string_view part, ChordFrets& chord) {
  if (part == "x" || part == "X") {
    chord.emplace_back(std::nullopt);
    return true;
  }
  int fret = 0;
  const char* end = part.data() + part.size();
  const auto [rest, error] = std::from_chars(part.data(), end, fret);
  if (error != std::errc() || rest != end || fret < 0 || fret > highest_fret) return false;
  chord.emplace_back(fret);
  return true;
}

std::vector<std::string_view> parts_of(std::string_view text) {
  std::vector<std::string_view> parts;
  if (text.find('-') == std::string_view::npos) {
    for (std::size_t i = 0; i < text.size(); ++i) parts.push_back(text.substr(i, 1));
    return parts;
  }
  for (std::size_t start = 0;;) {
    const std::size_t dash = text.find('-', start);
    parts.push_back(text.substr(start, dash - start));
    if (dash == std::string_view::npos) return parts;
    start = dash + 1;
  }
}

}  // namespace

std::optional<ChordFrets> parse_chord(std::string_view text) {
  ChordFrets chord;
  for (const std::string_view part : parts_of(text)) {
    if (!read_part(part, chord)) return std::nullopt;
  }
  const bool sounds = std::any_of(chord.begin(), chord.end(), [](const auto& fret) { return fret.has_value(); });
  if (!sounds) return std::nullopt;
  return chord;
}

std::optional<ChordErrors> chord_errors(const ChordFrets& chord, const std::vector<FrettedString>& strings) {
  if (chord.size() != strings.size()) return std::nullopt;
  ChordErrors errors;
  for (std::size_t i = 0; i < chord.size(); ++i) {
    if (!chord[i]) continue;
    const int fret = *chord[i];
    errors.notes.push_back({i, fret, fret == 0 ? 0.0 : fretted_cents(strings[i], fret).total()});
  }
  if (errors.notes.empty()) return std::nullopt;
  const auto flatter = [](const ChordNote& a, const ChordNote& b) { return a.cents < b.cents; };
  errors.flattest = *std::min_element(errors.notes.begin(), errors.notes.end(), flatter);
  errors.sharpest = *std::max_element(errors.notes.begin(), errors.notes.end(), flatter);
  errors.spread = errors.sharpest.cents - errors.flattest.cents;
  return errors;
}

}  // namespace stringline::model
