// The work list as a page to hang at the bench: the same content as work_text, with squares to tick, amounts that are read at
// arm's length, room to write what is read again, and pictures.
// Tested by tests/golden/html and tests/unit/page_test.cc.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/judge/clean.h"
#include "engine/judge/sourness.h"
#include "engine/plan/plan.h"

namespace stringline {

// What stands above the list; what is empty is left out.
struct WorkPageHead {
  std::string title;
  std::string owner;
  std::string due;
  std::string says;  // the player's own words
};

// What the pictures need besides the plan.
struct WorkPageSound {
  const std::vector<CleanSide>& clean;
  const std::vector<SourChord>& chords;
  const std::optional<Judgement>& before;  // as it came in
};

[[nodiscard]] std::string work_page(const Program& program, const Judgement& judgement, const Plan& plan,
                                    const WorkPageHead& head, const WorkPageSound& sound);

}  // namespace stringline
