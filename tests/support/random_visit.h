// Visits with random readings, for tests that want many instruments on the bench: what a profile can read, and one way to fill it in.
#pragma once

#include <map>
#include <random>
#include <string>

#include "engine/check/program.h"

namespace stringline::testing {

// Readings by point name, each as it stands in a log: "0.35 mm", "sound", "[E4, B3]", "at least 1.2 mm", "contact".
using Readings = std::map<std::string, std::string>;

class RandomVisit {
 public:
  // `program` is the profile with the house, checked without a visit. Same seed, same visits.
  RandomVisit(const Program& program, std::string profile, unsigned seed)
      : program_(program), profile_(std::move(profile)), random_(seed) {}

  // Each point that can be read is read with a probability that differs from call to call. Numbers lie in what the profile calls
  // plausible, more often near their target's limits. With `odd`, some are bounds, contact, unknown or not_measurable.
  [[nodiscard]] Readings readings(bool odd);
  // A value for one point; empty where there is none to give (it is computed, or of a kind nobody reads with a tool).
  [[nodiscard]] std::string value(PointId point);
  // The player's and the instrument's choices, at random, some left out.
  [[nodiscard]] std::string head();
  // The whole file: `head`, then one entry with the readings.
  [[nodiscard]] static std::string text(const std::string& head, const Readings& readings);

 private:
  [[nodiscard]] int below(int n) { return std::uniform_int_distribution<int>(0, n - 1)(random_); }
  [[nodiscard]] std::string number(PointId point);

  const Program& program_;
  std::string profile_;
  std::mt19937 random_;
};

}  // namespace stringline::testing
