// The work list as a tech reads it on a terminal.
#pragma once

#include <string>

#include "engine/plan/plan.h"

namespace stringline {

[[nodiscard]] std::string work_text(const Program& program, const Judgement& judgement, const Plan& plan,
                                    const std::string& title);
// Every rule with its one state; the counts add up to the number of rules.
[[nodiscard]] std::string ledger_text(const Program& program, const Judgement& judgement);

}  // namespace stringline
