// The walk through the house's phases on the predicted state: which jobs, in which order, and what is read again where.
//
// At a phase's turn the gates that void or hold one of its readings are opened first. A reading that stands and is out calls its
// job; one that does not stand is read again, with the job that follows if it is out (never one outside the package), and that
// job counts as not done. A job that earlier ones made needless is dropped; one that would put out a target that no job can
// bring back is refused; opposite requests on one control are a conflict. What a job sets is read again with the job itself;
// what a job leaves behind a closed gate is read once that is open; whatever still does not stand is read again before the last phase.
// Later jobs are not anticipated, but a cut that one of them would make too deep says so.
#pragma once

#include "engine/plan/plan.h"

namespace stringline {

// Adds the lines of the walk to `plan`, and what is told, left alone or in conflict.
void walk(const Program& program, const Judgement& judgement, Plan& plan);

}  // namespace stringline
