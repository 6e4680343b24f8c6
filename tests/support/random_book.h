// Small random shops: a house, one profile and one visit, as texts. Everything the language has of conditions, tables, verdicts,
// gates, stops, rules and jobs may stand in them; of what needs the instrument model: gaps under open strings, and jobs at nut and
// saddle, string by string.
#pragma once

#include <cstdint>
#include <string>

namespace stringline::testing {

struct RandomBook {
  std::string house;
  std::string profile;
  std::string visit;
};

// The same seed gives the same texts in every run of one program.
[[nodiscard]] RandomBook random_book(std::uint32_t seed);

}  // namespace stringline::testing
