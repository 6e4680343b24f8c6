#include "engine/syntax/read_path.h"

#include <algorithm>
#include <charconv>
#include <string_view>
#include <unordered_map>

#include "engine/syntax/parse_expr.h"
#include "engine/syntax/read_number.h"
#include "engine/syntax/read_word.h"
#include "engine/value/pitch.h"

namespace stringline {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::size_t digits_end(std::string_view text, std::size_t at) {
  while (at < text.size() && is_digit(text[at])) ++at;
  return at;
}

// Where the member that begins at `begin` ends: at the next dot that is not part of `1..4`.
std::size_t member_end(std::string_view text, std::size_t begin) {
  const std::size_t number = digits_end(text, begin);
  if (number > begin && text.substr(number, 2) == "..") return digits_end(text, number + 2);
  return std::min(text.find('.', begin), text.size());
}

int to_int(std::string_view digits) {
  int value = 0;
  const auto end = digits.data() + digits.size();
  const auto [stop, error] = std::from_chars(digits.data(), end, value);
  return error == std::errc() && stop == end ? value : 0;
}

// 1..4, from 1 on and not backwards.
bool is_member_range(std::string_view text) {
  const std::size_t dots = text.find("..");
  if (dots == std::string_view::npos) return false;
  const int low = to_int(text.substr(0, dots));
  return low >= 1 && low <= to_int(text.substr(dots + 2));
}

// 4, 4a
bool is_member_number(std::string_view text) {
  const std::size_t end = digits_end(text, 0);
  if (end == 0 || to_int(text.substr(0, end)) < 1) return false;
  const bool mate = end + 1 == text.size() && text[end] >= 'a' && text[end] <= 'z';
  return end == text.size() || mate;
}

bool is_member(std::string_view text) {
  return is_snake_case(text) || is_member_number(text) || is_member_range(text) || parse_pitch(text).has_value();
}

// Adds the members of `key` from offset `at` on; false when reported.
bool add_members(KeyPath& path, const Node& key, std::size_t at, Diagnostics& out) {
  while (true) {
    const std::size_t end = member_end(key.text, at);
    const Node member = part_of(key, at, end);
    if (!is_member(member.text)) {
      out.report(Code::bad_member, member.text.empty() ? key.span : member.span,
                 "'" + member.text + "' is no member of '" + path.name.text + "'",
                 "a member is a word, a number, '4a', '1..4' or a pitch");
      return false;
    }
    path.members.push_back(Word{member.text, member.span});
    if (end >= key.text.size()) return true;
    at = end + 1;
  }
}

struct Walk {
  bool (*is_leaf)(const Node& map);
  const PathLeaf& leaf;
  Diagnostics& out;
  std::unordered_map<std::string, Span> seen;  // by path
};

bool is_first(const KeyPath& path, Walk& walk) {
  const auto [first, is_new] = walk.seen.emplace(to_text(path), path.span);
  if (!is_new) {
    walk.out.report(Code::written_twice, path.span, "'" + first->first + "' is written twice", {},
                    {{first->second, "first written here"}});
  }
  return is_new;
}

void walk_entries(const Node& map, const std::optional<KeyPath>& prefix, Walk& walk);

void walk_value(const KeyPath& path, const Node& value, Walk& walk) {
  if (value.is_map() && !walk.is_leaf(value)) {
    walk_entries(value, path, walk);
  } else if (is_first(path, walk)) {
    walk.leaf(path, value);
  }
}

void walk_entries(const Node& map, const std::optional<KeyPath>& prefix, Walk& walk) {
  if (map.entries.empty()) walk.out.report(Code::nothing_inside, map.span, "an empty map", "leave the key out instead");
  for (const MapEntry& entry : map.entries) {
    if (is_table_key(entry.key)) {
      walk.out.report(Code::bad_table, entry.key.span, "a table 'by' is not possible here");
      continue;
    }
    const auto path = prefix ? extend(*prefix, entry.key, walk.out) : read_path(entry.key, walk.out);
    if (path) walk_value(*path, entry.value, walk);
  }
}

// action[bass] -> action.bass
std::string with_dot(const std::string& text, std::size_t bracket) {
  const std::size_t end = std::min(text.find_first_of("])", bracket), text.size());
  return text.substr(0, bracket) + "." + text.substr(bracket + 1, end - bracket - 1);
}

}  // namespace

std::optional<KeyPath> read_path(const Node& scalar, Diagnostics& out) {
  if (!want_scalar(scalar, "one reading", out)) return std::nullopt;
  const std::size_t dot = std::min(scalar.text.find('.'), scalar.text.size());
  const Node name = part_of(scalar, 0, dot);
  if (!is_snake_case(name.text)) {
    const auto better = suggest_name(name.text);
    const std::size_t bracket = name.text.find_first_of("[(");
    out.report(Code::bad_name, name.text.empty() ? scalar.span : name.span, "'" + name.text + "' is no name",
               bracket != std::string::npos ? "a member stands after a dot: '" + with_dot(name.text, bracket) + "'"
               : better                     ? "write '" + *better + "'"
                                            : std::string());
    return std::nullopt;
  }
  KeyPath path{Word{name.text, name.span}, {}, scalar.span};
  if (dot < scalar.text.size() && !add_members(path, scalar, dot + 1, out)) return std::nullopt;
  return path;
}

std::vector<KeyPath> read_paths(const Node& node, Diagnostics& out) {
  std::vector<KeyPath> paths;
  ListedOnce listed;
  for (const Node* item : one_or_list(node, out)) {
    const auto path = read_path(*item, out);
    if (!path) continue;
    if (listed.is_new({to_text(*path), path->span}, out)) paths.push_back(*path);
  }
  return paths;
}

std::optional<KeyPath> extend(KeyPath path, const Node& key, Diagnostics& out) {
  path.span = key.span;
  if (!add_members(path, key, 0, out)) return std::nullopt;
  return path;
}

std::string to_text(const KeyPath& path) {
  std::string text = path.name.text;
  for (const Word& member : path.members) text += "." + member.text;
  return text;
}

void for_each_path(const Node& map, bool (*is_leaf)(const Node& map), const PathLeaf& leaf, Diagnostics& out) {
  Walk walk{is_leaf, leaf, out, {}};
  walk_entries(map, std::nullopt, walk);
}

}  // namespace stringline
