// Words for members of an axis: bass, 3, 4a, 1..4, wound, outer, E2 (the pitch in the player's tuning, of one course).
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

// Whether a word that may stand for one string or for the two of a course means one course: bass, 4, E2.
[[nodiscard]] bool names_one_course(Axis axis, const std::string& word);

// Whether a word means one of the two strings of a course while no strings are written: 4b.
[[nodiscard]] bool names_unwritten_mate(const Program& program, Axis axis, const std::string& word);

// What a reading over these axes can be asked at, short: "1..5, 1a, 1b .., D5, A4, D4, A3, D3".
[[nodiscard]] std::string known_members(const Program& program, const std::vector<Axis>& axes);

}  // namespace stringline
