#include "engine/syntax/read_choice.h"

#include <algorithm>
#include <string>

#include "engine/syntax/key_reader.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

bool all_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

bool is_fret_number(std::string_view text) {
  if (!all_digits(text) || text.front() == '0' || text.size() > 2) return false;
  std::size_t fret = 0;
  for (const char c : text) fret = fret * 10 + static_cast<std::size_t>(c - '0');
  return fret <= limits::max_frets;
}

std::string leading_digits(std::string_view text) {
  return std::string(text.substr(0, std::min(text.find_first_not_of("0123456789"), text.size())));
}

// A fret's number, or the name of a place: first, mid, last, body_joint, pickup, a fact.
std::optional<Word> read_station(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "one place along the string", out)) return std::nullopt;
  if (is_fret_number(node.text) || (is_snake_case(node.text) && !is_reserved(node.text))) {
    return Word{node.text, node.span};
  }
  const std::string number = leading_digits(node.text);
  out.report(Code::bad_station, node.span, "'" + node.text + "' is no place along the string",
             number != node.text && is_fret_number(number)
                 ? "write '" + number + "'"
                 : "a fret from 1 to " + std::to_string(limits::max_frets) +
                       ", first, mid, last, body_joint, pickup, or a fact that holds one");
  return std::nullopt;
}

std::vector<Word> read_stations(const Node& node, Diagnostics& out) {
  std::vector<Word> stations;
  for (const Node* item : one_or_list(node, out)) {
    if (const auto station = read_station(*item, out)) stations.push_back(*station);
  }
  return stations;
}

const KeyHandlers<GapTree>& gap_keys() {
  static const KeyHandlers<GapTree> keys{
      {"at", set_value<&GapTree::at, read_station>},
      {"held", set<&GapTree::held, read_stations>},
  };
  return keys;
}

std::vector<ExprPtr> read_expressions(const Node& list, Diagnostics& out) {
  std::vector<ExprPtr> values;
  for (const Node* item : one_or_list(list, out)) {
    if (auto value = read_expression(*item, out)) values.push_back(std::move(value));
  }
  return values;
}

// [[D5, D5], [A4, A4]]: the strings of a course have their places in the set, not in the tuning.
bool has_pairs(const Node& tuning, Diagnostics& out) {
  const auto pair =
      std::find_if(tuning.items.begin(), tuning.items.end(), [](const Node& item) { return item.is_list(); });
  if (pair == tuning.items.end()) return false;
  const bool named = !pair->items.empty() && pair->items.front().is_scalar();
  out.report(Code::wrong_shape, pair->span, "a list stands where one pitch is wanted",
             "one pitch stands for a whole course" + (named ? ": " + pair->items.front().text : std::string()) +
                 "; its strings are told by the gauges: strings: [10p+10p, ..]");
  return true;
}

// {5: 5}: from a member to a value.
std::vector<FactTree::MapItem> read_map_items(const Node& map, Diagnostics& out) {
  std::vector<FactTree::MapItem> items;
  if (map.entries.empty()) out.report(Code::nothing_inside, map.span, "an empty map", "leave the key out instead");
  for (const MapEntry& entry : map.entries) {
    if (auto value = read_expression(entry.value, out)) {
      items.push_back({Word{entry.key.text, entry.key.span}, std::move(value)});
    }
  }
  return items;
}

}  // namespace

bool is_table(const Node& node) {
  return node.is_map() && std::any_of(node.entries.begin(), node.entries.end(),
                                      [](const MapEntry& entry) { return is_table_key(entry.key); });
}

const MapEntry* table_entry(const Node& node, Diagnostics& out) {
  const auto table = std::find_if(node.entries.begin(), node.entries.end(),
                                  [](const MapEntry& entry) { return is_table_key(entry.key); });
  for (const MapEntry& entry : node.entries) {
    if (&entry == &*table) continue;
    out.report(Code::bad_table, entry.key.span, "'" + entry.key.text + "' stands beside a table",
               "the rows of a table are indented under its key '" + table->key.text + ":'",
               {{table->key.span, "the table"}});
  }
  if (node.entries.size() > 1) return nullptr;
  if (table->value.is_map() && !table->value.entries.empty()) return &*table;
  out.report(Code::bad_table, table->value.span, "the table '" + table->key.text + "' has no rows",
             "write rows under it: {tapping: 3 .. 6 thou, otherwise: 6 .. 9 thou}");
  return nullptr;
}

void report_no_table(const Node& node, Diagnostics& out) {
  out.report(Code::wrong_shape, node.span,
             std::string(describe(node.kind)) + " stands where one value or a table is wanted",
             node.is_map() ? "a table begins with its key: {by style: {tapping: .., otherwise: ..}}" : std::string());
}

ExprPtr read_expression(const Node& node, Diagnostics& out) {
  return want_scalar(node, "one expression", out) ? parse_expression(node, out) : nullptr;
}

std::optional<RangeExpr> read_range(const Node& node, Diagnostics& out) {
  return want_scalar(node, "a range", out) ? parse_range(node, out) : std::nullopt;
}

std::optional<TextExpr> read_said(const Node& node, Diagnostics& out) {
  return read_text(node, out) ? parse_text(node, out) : std::nullopt;
}

std::vector<TextExpr> read_said_list(const Node& node, Diagnostics& out) {
  std::vector<TextExpr> texts;
  for (const Node* item : one_or_list(node, out)) {
    if (auto text = read_said(*item, out)) texts.push_back(std::move(*text));
  }
  return texts;
}

std::optional<ExprChoice> read_expression_choice(const Node& node, Diagnostics& out) {
  return read_choice<ExprPtr>(node, read_expression, out);
}

std::optional<RangeChoice> read_range_choice(const Node& node, Diagnostics& out) {
  return read_choice<RangeExpr>(node, read_range, out);
}

std::optional<NameChoice> read_job(const Node& node, Diagnostics& out) {
  return read_choice<Word>(node, read_name_or_none, out);
}

std::vector<NameChoice> read_jobs(const Node& node, Diagnostics& out) {
  std::vector<NameChoice> jobs;
  for (const Node* item : one_or_list(node, out)) {
    if (auto job = read_job(*item, out)) jobs.push_back(std::move(*job));
  }
  return jobs;
}

std::optional<GapTree> read_gap(const Node& node, Diagnostics& out) {
  GapTree gap;
  gap.span = node.span;
  const std::size_t before = out.error_count();
  ReadContext in{out, std::nullopt};
  read_map(node, KeyContext::gap, node.span, gap_keys(), gap, in);
  if (out.error_count() > before) return std::nullopt;
  return gap;
}

std::optional<FactTree> read_fact(const MapEntry& entry, Diagnostics& out) {
  FactTree fact;
  const auto name = read_name(entry.key, out);
  if (name) fact.name = *name;
  if (entry.value.is_list() && entry.key.text == "tuning" && has_pairs(entry.value, out)) return std::nullopt;
  if (entry.value.is_list()) {
    fact.value = read_expressions(entry.value, out);
  } else if (entry.value.is_map() && !is_table(entry.value)) {
    fact.value = read_map_items(entry.value, out);
  } else {
    auto choice = read_expression_choice(entry.value, out);
    if (!choice) return std::nullopt;
    fact.value = std::move(*choice);
  }
  return name ? std::optional<FactTree>(std::move(fact)) : std::nullopt;
}

}  // namespace stringline
