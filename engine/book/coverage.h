// Trials -> what of the profile they exercise.
//
// A part (a row of a target's range, low:, high: or floor:, a rule, a gate, a stop) counts only when some trial that comes out
// as expected would not without it: the part is taken out of the program and the trial is run again. Nothing takes a row's
// place but `otherwise`. A job counts when an expected list names it. A condition is looked at where each trial ends.
// Cost: for every part the trials up to the first that fails without it, those that name it or look at its reading before the
// others; a row whose table asks facts alone is tried only where it applies. Tested by tests/unit/coverage_test.cc and the golden cases of `trial`.
#pragma once

#include <string>
#include <vector>

#include "engine/book/trial.h"
#include "engine/text/source.h"

namespace stringline {

struct Part {
  enum class Kind : std::uint8_t { row, rule, gate, stop, job };
  Kind kind = Kind::row;
  std::string name;  // "action (bass), range, by style: tapping", "worn_first"
  Span place;
  std::string by;  // a trial that exercises it, the first that was found; empty: none does
};
inline constexpr std::size_t part_kinds = 5;
[[nodiscard]] const char* to_text(Part::Kind kind);

struct Condition {
  std::string name;  // "gate at_pitch"
  Span place;
  bool seen_true = false;
  bool seen_false = false;
  bool seen_unknown = false;
  bool can_be_unknown = false;  // by something that is read, or a fact nobody stated
};

struct Coverage {
  std::vector<Part> parts;  // by kind; rows as they stand in the files, the others by name
  std::vector<Condition> conditions;
  int runs = 0;  // of trials with a part taken out

  [[nodiscard]] bool is_complete() const;
};

// `runs` of the trials as they are, in the same order.
[[nodiscard]] Coverage coverage(const std::vector<Trial>& trials, const std::vector<TrialRun>& runs,
                                const Sources& sources);

}  // namespace stringline
