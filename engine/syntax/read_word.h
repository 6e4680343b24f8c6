// Scalars that are words: names, ids, texts, true and false. Each function takes any node, reports what it can not
// read at its place, and returns nothing exactly when it reported at least one error.
// Tested by tests/unit/read_profile_test.cc.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/keys.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// True when `node` is a scalar; else reports that `wanted` ("one name") stands there.
[[nodiscard]] bool want_scalar(const Node& node, std::string_view wanted, Diagnostics& out);

// A text of one or more words, not blank.
[[nodiscard]] std::optional<Word> read_text(const Node& node, Diagnostics& out);
// `nut_gap`, but not `nut gap`, `nutGap`, nor a word of the language.
[[nodiscard]] std::optional<Word> read_name(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<Word> read_name_or_none(const Node& node, Diagnostics& out);
// Letters, digits, - and _: 2026-0731, SL-0412.
[[nodiscard]] std::optional<Word> read_id(const Node& node, Diagnostics& out);
[[nodiscard]] bool is_id_character(char c);
// Exactly `true` or `false`.
[[nodiscard]] std::optional<bool> read_truth(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<Word> read_word(const Node& node, WordSet set, Diagnostics& out);
template <WordSet set>
[[nodiscard]] std::optional<Word> read_word_of(const Node& node, Diagnostics& out) {
  return read_word(node, set, out);
}

// One or a list of them. Bad items are reported and left out; so are empty lists and, but for texts, repeated items.
[[nodiscard]] std::vector<Word> read_names(const Node& node, Diagnostics& out);
[[nodiscard]] std::vector<Word> read_states(const Node& node, Diagnostics& out);  // names, and `none`
[[nodiscard]] std::vector<Word> read_axes(const Node& node, Diagnostics& out);
[[nodiscard]] std::vector<Word> read_texts(const Node& node, Diagnostics& out);

// The node itself, or its items when it is a list; reports an empty list.
[[nodiscard]] std::vector<const Node*> one_or_list(const Node& node, Diagnostics& out);
// The words of a list, in which none stands twice.
class ListedOnce {
 public:
  ListedOnce() = default;
  explicit ListedOnce(const std::vector<Word>& before);
  // Reports a word that was here before.
  [[nodiscard]] bool is_new(const Word& word, Diagnostics& out);

 private:
  std::unordered_map<std::string, Span> first_;
};

// "nut_gap": letters without capitals, digits and _, a letter first.
[[nodiscard]] bool is_snake_case(std::string_view text);
// "nut gap", "nutGap" and "Nut-Gap" give "nut_gap"; nothing when no legal name is left.
[[nodiscard]] std::optional<std::string> suggest_name(std::string_view text);

}  // namespace stringline
