// Notes of the equal-tempered scale. Tested by tests/unit/pitch_test.cc and outside_checks_test.cc.
#include "engine/value/pitch.h"

#include <array>
#include <cmath>

namespace stringline {

namespace {

constexpr int a4_note = 69;
constexpr double a4_hertz = 440.0;

// Semitones above C of A, B, C, D, E, F, G.
constexpr std::array<int, 7> semitones{9, 11, 0, 2, 4, 5, 7};

}  // namespace

std::optional<Pitch> parse_pitch(std::string_view text) {
  if (text.size() < 2 || text.size() > 3) return {};
  const char letter = text.front();
  const char octave = text.back();
  if (letter < 'A' || letter > 'G' || octave < '0' || octave > '9') return {};
  int shift = 0;
  if (text.size() == 3) {
    if (text[1] != '#' && text[1] != 'b') return {};
    shift = text[1] == '#' ? 1 : -1;
  }
  const int note = 12 * (octave - '0' + 1) + semitones[static_cast<std::size_t>(letter - 'A')] + shift;
  return Pitch{note, std::string{text}};
}

double frequency(const Pitch& pitch) { return a4_hertz * std::exp2((pitch.note - a4_note) / 12.0); }

double cents_between(double hertz, double reference) { return 1200.0 * std::log2(hertz / reference); }

}  // namespace stringline
