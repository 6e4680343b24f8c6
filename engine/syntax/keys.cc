#include "engine/syntax/keys.h"

#include <algorithm>
#include <array>

namespace stringline {
namespace {

struct ContextInfo {
  std::string_view words;
  bool open;
};

const ContextInfo& info(KeyContext context) {
  constexpr bool closed = false;
  constexpr bool open = true;
  static constexpr std::array table{
#define STRINGLINE_CONTEXT(context, words, keys) ContextInfo{words, keys},
#include "engine/syntax/keys.def"
  };
  return table[static_cast<std::size_t>(context)];
}

struct ShapeInfo {
  unsigned kinds;
  std::string_view words;
};

unsigned bit(NodeKind kind) { return 1U << static_cast<unsigned>(kind); }

const ShapeInfo& info(KeyShape shape) {
  static const unsigned scalar = bit(NodeKind::scalar);
  static const unsigned list = bit(NodeKind::list);
  static const unsigned map = bit(NodeKind::map);
  static const std::array table{
#define STRINGLINE_SHAPE(shape, kinds, words) ShapeInfo{kinds, words},
#include "engine/syntax/keys.def"
  };
  return table[static_cast<std::size_t>(shape)];
}

}  // namespace

const std::vector<KeyInfo>& all_keys() {
  constexpr bool required = true;
  constexpr bool optional = false;
  static const std::vector<KeyInfo> table{
#define STRINGLINE_KEY(context, key, shape, need, help) {KeyContext::context, key, KeyShape::shape, need, help},
#include "engine/syntax/keys.def"
  };
  return table;
}

const std::vector<WordInfo>& all_words() {
  static const std::vector<WordInfo> table{
#define STRINGLINE_WORD(set, word, help) {WordSet::set, word, help},
#include "engine/syntax/keys.def"
  };
  return table;
}

const KeyInfo* find_key(KeyContext context, std::string_view key) {
  const auto& keys = all_keys();
  const auto found = std::find_if(keys.begin(), keys.end(),
                                  [&](const KeyInfo& each) { return each.context == context && each.key == key; });
  return found == keys.end() ? nullptr : &*found;
}

std::vector<std::string> keys_of(KeyContext context) {
  std::vector<std::string> keys;
  for (const auto& each : all_keys()) {
    if (each.context == context) keys.emplace_back(each.key);
  }
  return keys;
}

std::string_view describe(KeyContext context) { return info(context).words; }

bool is_open(KeyContext context) { return info(context).open; }

std::string_view describe(KeyShape shape) { return info(shape).words; }

bool allows(KeyShape shape, NodeKind kind) { return (info(shape).kinds & bit(kind)) != 0; }

std::vector<std::string> words_of(WordSet set) {
  std::vector<std::string> words;
  for (const auto& each : all_words()) {
    if (each.set == set) words.emplace_back(each.word);
  }
  return words;
}

bool is_reserved(std::string_view word) {
  static constexpr std::array table{
#define STRINGLINE_RESERVED(word) std::string_view(word),
#include "engine/syntax/keys.def"
  };
  return std::find(table.begin(), table.end(), word) != table.end();
}

}  // namespace stringline
