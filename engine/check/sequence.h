// In which order jobs stand that their phase does not name: as the lists that call them have it, else by name.
//
// `do: [stand_bridge, slacken_a_little, retune]` of a gate, a stop or a rule is written in the order of work, so within a phase
// they come in that order; other jobs keep theirs by name. Lists that contradict each other are broken at the first by name.
// Tested by tests/unit/sequence_test.cc.
#pragma once

#include "engine/check/program.h"

namespace stringline {

// Fills `place` of every job.
void place_jobs(Program& program);

}  // namespace stringline
