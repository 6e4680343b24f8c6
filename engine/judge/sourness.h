// Why a chord sounds sour: how far each of its notes is out, what each cause adds, and which job would help.
//
// The heights come from the readings that stand (nut gap, action, relief) through the model; inner strings get theirs on the
// line between the two sides, which never yields a cut. The saddle's place comes from the octave error where it was read, else
// it is taken to be right. String data: plain steel by diameter and music wire's modulus; wound steel by a core of 0.4 of its
// diameter; nylon by a measured R of 25, the middle of the published ones (Anderson & Beausoleil 2024). The last two are
// defaults and every result says so. Under 2 cents nobody hears a difference (common practice, no source). Limits: those of model/fretted_pitch.h; frets level.
// Tested by tests/unit/sound_test.cc.
#pragma once

#include <string>
#include <vector>

#include "engine/judge/judge.h"

namespace stringline {

struct SourCause {
  std::string what;  // "the nut's height"
  double cents = 0;  // of the note's error that would go with it
};

struct SourNote {
  int string = 0;  // place on the string axis
  int fret = 0;
  double cents = 0;               // against equal temperament over its own open string
  std::vector<SourCause> causes;  // largest first; what is put right is what the house aims at
};

struct SourChord {
  std::string written;               // x02220
  std::vector<SourNote> notes;       // fretted ones, sharpest first
  double spread = 0;                 // between the sharpest and the flattest; an open string of the chord is at 0
  bool heard = false;                // it, or a note against the open strings, is 2 cents and more
  std::vector<std::string> missing;  // readings or facts it can not do without; then there are no notes
  std::vector<std::string> assumed;  // defaults in use
};

// One for each chord that the visit names.
[[nodiscard]] std::vector<SourChord> sourness(const Program& program, const Judgement& judgement);

}  // namespace stringline
