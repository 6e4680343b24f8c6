// The nearest known name, for "did you mean": by its spelling, or by the words it shares. Offers nothing when nothing is near.
// Tested by tests/unit/suggest_test.cc.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stringline {

// Among more names than this nothing is looked for: it would take longer than all else, and help less.
inline constexpr std::size_t most_candidates = 500;

// The candidate with the least edit distance (a swap of neighbours counts one), at most a third of the longer name's length
// (and at least 1); ties go to the first in alphabetical order.
[[nodiscard]] std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates);

// "; did you mean 'x'?" or, for a short list without a near one, "; known: a, b, c"; else empty.
[[nodiscard]] std::string did_you_mean(std::string_view word, const std::vector<std::string>& candidates);

// Something that can be named: its name, what people call it, and other words that speak of it. Only the name is written.
struct Known {
  std::string name;
  std::string label{};
  std::string about{};
};

// Those that share the most words with `word`, best first: "sand_feet" finds cut_saddle, "take wood off the bridge's feet".
// A word counts as shared with a longer or shorter form of it ("lean", "leaning"). Nothing when fewer than half of the words
// are found, or when more than three are equally near.
[[nodiscard]] std::vector<Known> nearest_by_words(std::string_view word, const std::vector<Known>& known);

// As above, by spelling or, where that finds nothing or none that is very near and words find all of `word`, by words: then
// with the label,
// "; did you mean 'cut_saddle' (take wood off the bridge's feet)?".
[[nodiscard]] std::string did_you_mean_one_of(std::string_view word, const std::vector<Known>& known);

}  // namespace stringline
