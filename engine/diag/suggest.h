// The nearest known name, for "did you mean". Offers nothing when nothing is near.
// Tested by tests/unit/suggest_test.cc.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stringline {

// The candidate with the least edit distance (a swap of neighbours counts one), at most a third of the longer name's length
// (and at least 1); ties go to the first in alphabetical order.
[[nodiscard]] std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates);

// "; did you mean 'x'?" or, for a short list without a near one, "; known: a, b, c"; else empty.
[[nodiscard]] std::string did_you_mean(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace stringline
