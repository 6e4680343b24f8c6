// Chords as players write them, and how far each of their notes is out.
//
// Thickest string first: `x02220` is the open A shape; where a fret is over 9, dashes stand between all:
// `x-0-12-12-10-x`. `x` (or `X`) is a string left out, `0` an open one. Cents, as in fretted_pitch.h, whose limits hold
// here too.
// Limits: each note against equal temperament from its own open string, which is taken to be in tune; how sweet the
// tempered chord itself sounds is no fault of the instrument and is left out.
// Tested by tests/unit/model_chord_test.cc.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "engine/model/fretted_pitch.h"

namespace stringline::model {

using ChordFrets = std::vector<std::optional<int>>;  // thickest string first; nothing: left out

// Nothing unless every string is `x` or a fret up to 36, and at least one sounds. Accepted: x02220, x-0-12-12-10-x.
// Refused: "x-0-" (a dash too many), "x 0 2", "xxxxxx". How many strings there are is for the caller to hold it
// against.
[[nodiscard]] std::optional<ChordFrets> parse_chord(std::string_view text);

struct ChordNote {
  std::size_t string = 0;  // place in the chord, thickest is 0
  int fret = 0;
  double cents = 0.0;  // 0 for an open string
};

struct ChordErrors {
  std::vector<ChordNote> notes;  // those that sound
  double spread = 0.0;           // between the sharpest and the flattest: what is heard as sour
  ChordNote sharpest = {};
  ChordNote flattest = {};
};

// Nothing where the chord has another number of strings than `strings` (thickest first).
[[nodiscard]] std::optional<ChordErrors> chord_errors(const ChordFrets& chord,
                                                      const std::vector<FrettedString>& strings);

}  // namespace stringline::model
