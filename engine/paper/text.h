// The work list as a tech reads it on a terminal.
#pragma once

#include <string>
#include <vector>

#include "engine/judge/clean.h"
#include "engine/judge/sourness.h"
#include "engine/plan/plan.h"

namespace stringline {

// Which notes choke at the action that is aimed at, and the lowest clean action with and without fret work; empty when none does.
[[nodiscard]] std::string clean_text(const Program& program, const Judgement& judgement,
                                     const std::vector<CleanSide>& sides);
// What the chords that the player named sound like, and why; empty when none was named.
[[nodiscard]] std::string chords_text(const Program& program, const std::vector<SourChord>& chords);
// The numbered lines alone.
[[nodiscard]] std::string lines_text(const Program& program, const Judgement& judgement, const Plan& plan);
// `sound`: what clean_text and chords_text say; it stands before the assumptions.
[[nodiscard]] std::string work_text(const Program& program, const Judgement& judgement, const Plan& plan,
                                    const std::string& title, const std::string& sound = "");
// Every rule with its one state; the counts add up to the number of rules.
[[nodiscard]] std::string ledger_text(const Program& program, const Judgement& judgement);

}  // namespace stringline
