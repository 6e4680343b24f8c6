#include "engine/syntax/key_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string>

#include "engine/diag/suggest.h"
#include "engine/syntax/parse_expr.h"

namespace stringline {
namespace {

// "'price' is a key of a package, a part", when it is one elsewhere.
std::string where_known(std::string_view key) {
  std::string places;
  for (const KeyInfo& each : all_keys()) {
    if (each.key != key) continue;
    places += (places.empty() ? "" : ", ") + std::string(describe(each.context));
  }
  return places.empty() ? places : "'" + std::string(key) + "' is a key of " + places;
}

struct KeyHabit {
  KeyContext context;
  std::string_view written;
  std::string_view instead;
};
constexpr KeyHabit key_habits[] = {
#define STRINGLINE_KEY_HABIT(context, written, instead) {KeyContext::context, written, instead},
#include "engine/syntax/habits.def"
#undef STRINGLINE_KEY_HABIT
};

std::string habit_of(KeyContext context, std::string_view key) {
  const auto* const found = std::find_if(std::begin(key_habits), std::end(key_habits), [&](const KeyHabit& habit) {
    return habit.context == context && habit.written == key;
  });
  return found == std::end(key_habits) ? std::string() : std::string(found->instead);
}

std::string shape_hint(const KeyInfo& key, const Node& value) {
  if (value.is_list() && allows(key.shape, NodeKind::scalar))
    return "write one value after '" + std::string(key.key) + ":'";
  if (value.is_map() && allows(key.shape, NodeKind::list)) return "write a list: [a, b]";
  if (allows(key.shape, NodeKind::list)) return "write a list, with one item too: [a]";
  if (value.is_scalar() && value.text.find(':') != std::string::npos) return "a space stands behind the colon of a key";
  if (value.is_scalar()) return "write 'name: value' on lines of their own below '" + std::string(key.key) + ":'";
  return {};
}

}  // namespace

const KeyInfo* accept_key(const MapEntry& entry, KeyContext context, Diagnostics& out) {
  const std::string& key = entry.key.text;
  const KeyInfo* found = find_key(context, key);
  if (found == nullptr && out.is_full()) return nullptr;  // nothing more would be told
  if (found == nullptr) {
    const std::string habit = habit_of(context, key);
    const std::string home = habit.empty() ? where_known(key) : habit;
    const std::string near = home.empty() ? did_you_mean(key, keys_of(context)) : std::string();
    out.report(Code::unknown_key, entry.key.span,
               "unknown key '" + key + "' of " + std::string(describe(context)) + near,
               home.empty() && near.empty() ? fmt::format("its keys: {}", fmt::join(keys_of(context), ", ")) : home);
    return nullptr;
  }
  if (allows(found->shape, entry.value.kind)) return found;
  out.report(Code::wrong_shape, entry.value.span,
             "'" + key + "' takes " + std::string(describe(found->shape)) + ", not " + describe(entry.value.kind),
             shape_hint(*found, entry.value));
  return nullptr;
}

void require_keys(const Node& map, KeyContext context, Span owner, Diagnostics& out) {
  for (const KeyInfo& each : all_keys()) {
    if (each.context != context || !each.required || find_value(map, each.key) != nullptr) continue;
    const std::string key(each.key);
    out.report(Code::missing_key, owner, std::string(describe(context)) + " needs the key '" + key + "'",
               "'" + key + ":' takes " + std::string(describe(each.shape)) + ": " + std::string(each.help));
  }
}

const Node* find_value(const Node& map, std::string_view key) {
  const auto found = std::find_if(map.entries.begin(), map.entries.end(),
                                  [&](const MapEntry& entry) { return entry.key.text == key; });
  return found == map.entries.end() ? nullptr : &found->value;
}

bool want_map(const Node& node, std::string_view wanted, Diagnostics& out) {
  if (node.is_map()) return true;
  out.report(Code::wrong_shape, node.span,
             std::string(wanted) + " is a map of keys, not " + std::string(describe(node.kind)));
  return false;
}

bool want_part(const MapEntry& entry, KeyContext context, Removal removal, Diagnostics& out) {
  const bool removes = removal == Removal::by_none;
  if (entry.value.is_map() || (removes && is_none(entry.value))) return true;
  out.report(Code::wrong_shape, entry.value.span,
             "'" + entry.key.text + "' is " + std::string(describe(context)) + " and takes a map of keys, not " +
                 describe(entry.value.kind),
             removes ? "only 'none' stands here alone: it takes away what an earlier file said" : std::string());
  return false;
}

}  // namespace stringline
