// Reads a map by a table of its keys. Unknown keys, wrong shapes and missing keys are found here, from keys.def, so
// that a reader is a table of {key, what to do with its value} and never a chain of comparisons.
//
//   static const KeyHandlers<StopTree> keys{{"when", set<&StopTree::when, read_expression>}, ..};
//   read_map(node, KeyContext::stop, name.span, keys, stop, in);
//
// Each key of the context in keys.def needs a handler (asserted). Tested by tests/unit/read_profile_test.cc.
#pragma once

#include <algorithm>
#include <cassert>
#include <functional>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/keys.h"
#include "engine/syntax/node.h"
#include "engine/syntax/read_word.h"
#include "engine/syntax/tree.h"
#include "engine/value/money.h"

namespace stringline {

// What every handler may need.
struct ReadContext {
  Diagnostics& out;
  std::optional<Currency> currency;  // of the house being read
};

template <class Tree>
struct KeyHandler {
  std::string_view key;
  void (*read)(const Node& value, Tree& into, ReadContext& in);
};
template <class Tree>
using KeyHandlers = std::vector<KeyHandler<Tree>>;

// The handler that gives a member what a reading function returns; nothing stays nothing.
template <auto member, auto read, class Tree>
void set(const Node& value, Tree& into, ReadContext& in) {
  into.*member = read(value, in.out);
}
// The same for a member that is always there, such as a name.
template <auto member, auto read, class Tree>
void set_value(const Node& value, Tree& into, ReadContext& in) {
  if (auto result = read(value, in.out)) into.*member = std::move(*result);
}

// Takes entries that are no keys of the table, such as facts; true when it took this one.
using OtherKeys = std::function<bool(const MapEntry&)>;

// The table's row for an entry's key; null when reported as an unknown key or a wrong shape.
[[nodiscard]] const KeyInfo* accept_key(const MapEntry& entry, KeyContext context, Diagnostics& out);
// Reports every required key that is not there, at `owner`.
void require_keys(const Node& map, KeyContext context, Span owner, Diagnostics& out);
// The value of `key`, or null.
[[nodiscard]] const Node* find_value(const Node& map, std::string_view key);
// True when `node` is a map; else reports it at its place.
[[nodiscard]] bool want_map(const Node& node, std::string_view wanted, Diagnostics& out);

template <class Tree>
void read_map(const Node& node, KeyContext context, Span owner, const KeyHandlers<Tree>& handlers, Tree& into,
              ReadContext& in, const OtherKeys& other = {}) {
  if (!want_map(node, describe(context), in.out)) return;
  for (const MapEntry& entry : node.entries) {
    const bool known = find_key(context, entry.key.text) != nullptr;
    if (!known && other && other(entry)) continue;
    if (accept_key(entry, context, in.out) == nullptr) continue;
    const auto handler = std::find_if(handlers.begin(), handlers.end(),
                                      [&](const KeyHandler<Tree>& each) { return each.key == entry.key.text; });
    assert(handler != handlers.end() && "every key of keys.def has a handler");
    if (handler != handlers.end()) handler->read(entry.value, into, in);
  }
  require_keys(node, context, owner, in.out);
}

// NAME: {..} for each entry of `map`. Where a later layer may take a part away, NAME: none does so.
enum class Removal : bool { no, by_none };

// Reports an entry's value that is neither a map nor, where that is possible, `none`.
[[nodiscard]] bool want_part(const MapEntry& entry, KeyContext context, Removal removal, Diagnostics& out);
[[nodiscard]] inline bool is_none(const Node& node) { return node.is_scalar() && node.text == "none"; }

template <class Tree>
void read_parts(const Node& map, KeyContext context, const KeyHandlers<Tree>& handlers, std::vector<Tree>& into,
                ReadContext& in) {
  for (const MapEntry& entry : map.entries) {
    Tree part;
    const auto name = read_name(entry.key, in.out);
    if (name) part.name = *name;
    if constexpr (requires { part.removed; }) {
      if (!want_part(entry, context, Removal::by_none, in.out)) continue;
      part.removed = is_none(entry.value);
    } else {
      if (!want_part(entry, context, Removal::no, in.out)) continue;
    }
    if (entry.value.is_map()) read_map(entry.value, context, entry.key.span, handlers, part, in);
    if (name) into.push_back(std::move(part));  // a part without a good name is read for its other mistakes
  }
}

}  // namespace stringline
