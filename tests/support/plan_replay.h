// An independent check of plans: a real instrument, every height of it known, is measured, gets a plan, and the plan is carried
// out on it line by line. Heights, gaps and rod jobs come from model_oracle.h, which shares no code with the engine.
#pragma once

#include <random>
#include <string>
#include <vector>

#include "engine/plan/plan.h"
#include "tests/support/model_oracle.h"

namespace replay {

// Strings count from the treble side; saddles and pickups have a bass and a treble height, inner strings stand between.
struct Instrument {
  oracle::Real joint = 0, bend = 0, phi = 0;
  std::vector<oracle::Real> nut;  // by string
  oracle::Real saddle_bass = 0, saddle_treble = 0;
  std::vector<oracle::Real> pickup_bass, pickup_treble;  // by pickup
};

[[nodiscard]] Instrument random_instrument(std::mt19937& random, int strings, int pickups, oracle::Real joint_fret);

// What the tool would show at a point, unrounded; the reading's own method.
[[nodiscard]] double gap(const stringline::Program& program, const Instrument& instrument, stringline::PointId point);

struct Replay {
  std::vector<std::string> wrong;
  Instrument now;
  bool list_again = false;  // a reading was out and its job followed: the list is made again from here
};

// Carries the plan out, up to the first reading that is out and whose job follows. Nothing is wrong when every job's reading
// stood when it was used, every amount led to its aim, every expected interval held what came, and (at the end of the list)
// every gap target is met or listed as open.
[[nodiscard]] Replay carry_out(const stringline::Program& program, const stringline::Judgement& judgement,
                               const stringline::Plan& plan, Instrument instrument);

}  // namespace replay
