// What nobody looked at and is taken to be in order, as far as it matters to an owner.
//
// A reading of states is named when it is assumed everywhere, has a `for_owner:` name, and another state of it would stop the work
// or plan a job that needs a yes. It is not named when the player's own words touch it, by a word of its name or of a bad state: then it
// was complained about; nor when a job of the plan changes it. Tested by tests/unit/assumed_test.cc.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/plan.h"

namespace stringline {

// `says`: what the player complains about, in any words. Names in the order of the readings.
[[nodiscard]] std::vector<std::string> assumed_in_order(const Program& program, const Judgement& judgement,
                                                        const Plan& plan, const std::string& says);

}  // namespace stringline
