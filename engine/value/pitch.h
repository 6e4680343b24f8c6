// A note of the equal-tempered scale. 440 Hz for A4 (ISO 16:1975); C4 is note 60.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace stringline {

struct Pitch {
  int note = 0;         // semitones, A4 = 69
  std::string written;  // "Bb3" as the author spelt it; equality looks at the note alone

  friend bool operator==(const Pitch& a, const Pitch& b) { return a.note == b.note; }
};

// "E2", "Bb3", "F#4": a capital letter, at most one sharp or flat, an octave from 0 to 9.
[[nodiscard]] std::optional<Pitch> parse_pitch(std::string_view text);
[[nodiscard]] double frequency(const Pitch& pitch);  // Hz
[[nodiscard]] double cents_between(double hertz, double reference);

}  // namespace stringline
