// Why a fretted note is out: what each cause adds, in cents.
//
// A cause's share is what would go if that cause alone were put right: the note's error as it is, less its error with
// the cause set as in a reference. Causes work on each other (a high nut costs more under a high saddle), so the shares
// alone do not add up to the whole; what is left over is stated as `together`, and
//   total = reference + sum of shares + together          holds to the last bit of arithmetic.
// Cents throughout. Source: derived from fretted_pitch.h, whose limits hold here too.
// Limits: the order of causes plays no part, which is why the rest is not shared out among them.
// Tested by tests/unit/model_pitch_causes_test.cc.
#pragma once

#include <array>

#include "engine/model/fretted_pitch.h"

namespace stringline::model {

enum class Cause {
  nut_height,
  saddle_height,
  saddle_place,
  nut_place,
  touch,             // finger behind the fret, and push
  fret_height,       // relief and rise, under this note
  flat_top,          // worn flat under this note
  string_stiffness,  // bending
};
inline constexpr std::array<Cause, 8> all_causes{Cause::nut_height, Cause::saddle_height,   Cause::saddle_place,
                                                 Cause::nut_place,  Cause::touch,           Cause::fret_height,
                                                 Cause::flat_top,   Cause::string_stiffness};

struct CauseShare {
  Cause cause = Cause::nut_height;
  double cents = 0.0;
};

struct CausesOfError {
  double total = 0.0;      // the note as it is
  double reference = 0.0;  // with every cause as in the reference
  std::array<CauseShare, all_causes.size()> shares = {};
  double together = 0.0;

  [[nodiscard]] double of(Cause cause) const;
};

// The string with one cause set as in `reference`.
[[nodiscard]] FrettedString without(FrettedString string, Cause cause, const FrettedString& reference);
// Against a string that plays in tune by itself: no heights, no setbacks, pressed on the fret, full frets, no
// stiffness.
[[nodiscard]] FrettedString causeless(const FrettedString& string);

[[nodiscard]] CausesOfError causes_of_error(const FrettedString& string, int fret);
[[nodiscard]] CausesOfError causes_of_error(const FrettedString& string, int fret, const FrettedString& reference);

}  // namespace stringline::model
