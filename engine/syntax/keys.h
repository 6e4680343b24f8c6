// The tables of keys.def: which keys each map of our files knows, what each takes, and the words kept by the language.
// Tested by tests/unit/read_profile_test.cc, which writes a map of every context with each of its keys.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "engine/syntax/node.h"

namespace stringline {

enum class KeyContext : std::uint8_t {
#define STRINGLINE_CONTEXT(context, words, keys) context,
#include "engine/syntax/keys.def"
};

enum class KeyShape : std::uint8_t {
#define STRINGLINE_SHAPE(shape, kinds, words) shape,
#include "engine/syntax/keys.def"
};

enum class WordSet : std::uint8_t {
  file_kind,
  verdict,
  decide,
  rounding,
  date_form,
  paper_kind,
  axis,
  reading_kind,
  control,
};

struct KeyInfo {
  KeyContext context;
  std::string_view key;
  KeyShape shape;
  bool required;
  std::string_view help;
};

struct WordInfo {
  WordSet set;
  std::string_view word;
  std::string_view help;
};

// In the order of keys.def, which is the order of the manual.
[[nodiscard]] const std::vector<KeyInfo>& all_keys();
[[nodiscard]] const std::vector<WordInfo>& all_words();

// Null when `context` has no such key.
[[nodiscard]] const KeyInfo* find_key(KeyContext context, std::string_view key);
[[nodiscard]] std::vector<std::string> keys_of(KeyContext context);
// "a job", "a house file": for messages.
[[nodiscard]] std::string_view describe(KeyContext context);
// True when keys outside the table are names of the author's (an instrument's facts).
[[nodiscard]] bool is_open(KeyContext context);

// "one name or a list of them": what a key of this shape takes.
[[nodiscard]] std::string_view describe(KeyShape shape);
[[nodiscard]] bool allows(KeyShape shape, NodeKind kind);

[[nodiscard]] std::vector<std::string> words_of(WordSet set);
[[nodiscard]] bool is_reserved(std::string_view word);

}  // namespace stringline
