// How hard the strings pull, each and in all, and against those that the nut was cut for.
//
// T = mu (2 L f)^2. A plain steel string's mu follows from its diameter; a wound one is taken to weigh `wound_share` of solid steel
// as thick [value from memory], which `assumed` says. A nylon string's pull can not be told from its gauge (its effective density
// is off by tens of per cent, model/string_data.h), so none is given. A short string is as long as from its first fret on.
// More pull bends a neck forward; how far depends on the neck, and nothing here says it. Units: newton. Tested by
// tests/unit/pull_test.cc.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/check/program.h"

namespace stringline {

inline constexpr double wound_share = 0.82;

struct StringPull {
  std::string string;  // "1", "4a"
  std::string what;    // "10p at E4"
  std::optional<double> newton;
  std::optional<double> of_the_slot;  // of the string that its slot was cut for, at the same pitch; where that is known
};

struct Pull {
  std::vector<StringPull> strings;
  std::optional<double> all;           // where each is known
  std::optional<double> of_the_slots;  // where a slot's gauge is known
  std::string assumed;
};

// "+12 % against the last visit; more pull bends the neck forward, so relief grows, how far only a reading tells"
[[nodiscard]] std::string change_of_pull(double before, double now, const std::string& against);
[[nodiscard]] double mass_of(const Gauge& steel);  // kg/m
[[nodiscard]] Pull pull_of(const Program& program);

}  // namespace stringline
