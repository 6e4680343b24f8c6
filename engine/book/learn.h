// What a shop's own logs say of how necks bend: phi of model/rod_job.h from every rod job read before and after.
//
// A pair is a relief and another gap, each read before and after one rod job with nothing else done between. Pairs are taken
// together by profile, since a neck's shape goes with its kind. Nothing is changed: the result names what to write.
// Tested by tests/unit/sound_test.cc.
#pragma once

#include <string>
#include <vector>

#include "engine/check/program.h"
#include "engine/model/rod_job.h"

namespace stringline {

struct RodEvidence {
  int jobs = 0;  // rod jobs with a relief before and after
  std::vector<model::RodPair> pairs;
};

// What one visit's log holds.
[[nodiscard]] RodEvidence rod_evidence(const Program& program);

struct Learnt {
  std::string profile;
  int visits = 0;  // with at least one pair
  int jobs = 0;
  int pairs = 0;
  std::optional<model::LearntPhi> phi;  // nothing where no pair tells it
};

// By profile, in the order of their names. Programs of one book.
[[nodiscard]] std::vector<Learnt> learn(const std::vector<Program>& programs);

}  // namespace stringline
