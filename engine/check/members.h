// Words for members of an axis: bass, 3, 4a, 1..4, wound, outer, E2 (the pitch in the player's tuning, where it is there once).
// Tested by tests/unit/reference_test.cc and the golden cases of `why`.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/check/program.h"

namespace stringline {

// The members a word means, and whether it names one member (else a group); nothing when it means none.
[[nodiscard]] std::optional<std::pair<std::vector<std::uint16_t>, bool>> members_named(const Program& program,
                                                                                       Axis axis,
                                                                                       const std::string& word);

}  // namespace stringline
