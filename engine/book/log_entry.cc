// See log_entry.h.
#include "engine/book/log_entry.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string_view>

#include "engine/book/entry_words.h"

namespace stringline {
namespace {

struct Line {
  std::size_t begin = 0;
  std::size_t end = 0;   // before its line end
  std::size_t next = 0;  // after it
};

Line line_at(std::string_view text, std::size_t begin) {
  const std::size_t feed = text.find('\n', begin);
  if (feed == std::string_view::npos) return {begin, text.size(), text.size()};
  const bool carriage = feed > begin && text[feed - 1] == '\r';
  return {begin, feed - (carriage ? 1 : 0), feed + 1};
}

std::size_t start_of_line(std::string_view text, std::size_t at) {
  const std::size_t feed = at == 0 ? std::string_view::npos : text.rfind('\n', at - 1);
  return feed == std::string_view::npos ? 0 : feed + 1;
}

// Where the words of a line begin; its end when there are none.
std::size_t indent_of(std::string_view text, const Line& line) {
  const std::size_t at = text.find_first_not_of(' ', line.begin);
  return at == std::string_view::npos || at > line.end ? line.end : at;
}

bool says_nothing(std::string_view text, const Line& line) {
  const std::size_t at = indent_of(text, line);
  return at == line.end || text[at] == '#';
}

// A key `log:` with nothing, or with [ ], behind it and no list below it.
struct EmptyLog {
  Line line;
  std::size_t key = 0;     // where it begins
  std::size_t behind = 0;  // after its colon
  std::size_t value = 0;   // after what stands for nothing: [ ]
};

std::optional<EmptyLog> empty_log_in(std::string_view text, const Line& line) {
  const std::size_t key = indent_of(text, line);
  if (text.substr(key, 4) != "log:") return std::nullopt;
  EmptyLog found{line, key, key + 4, key + 4};
  std::size_t at = std::min(text.find_first_not_of(' ', found.behind), line.end);
  if (at < line.end && text[at] == '[') {
    at = std::min(text.find_first_not_of(' ', at + 1), line.end);
    if (at == line.end || text[at] != ']') return std::nullopt;
    found.value = ++at;
    at = std::min(text.find_first_not_of(' ', at), line.end);
  }
  if (at < line.end && text[at] != '#') return std::nullopt;
  return found;
}

// How far the keys of the document are indented.
std::size_t root_indent(std::string_view text) {
  for (Line line = line_at(text, 0); line.begin < text.size(); line = line_at(text, line.next)) {
    if (!says_nothing(text, line) && text.substr(line.begin, 3) != "---") return indent_of(text, line) - line.begin;
  }
  return 0;
}

std::optional<EmptyLog> find_empty_log(std::string_view text) {
  const std::size_t root = root_indent(text);
  for (Line line = line_at(text, 0); line.begin < text.size(); line = line_at(text, line.next)) {
    const auto found = empty_log_in(text, line);
    if (!found || found->key - line.begin != root) continue;
    Line below = line_at(text, line.next);
    while (below.begin < text.size() && says_nothing(text, below)) below = line_at(text, below.next);
    const std::size_t at = indent_of(text, below);
    const bool ends = below.begin >= text.size() || (at <= below.begin + root && text[at] != '-');
    if (ends) return found;
  }
  return std::nullopt;
}

// What is put where, and how far its dash is indented.
struct Place {
  std::size_t offset = 0;
  std::string indent;
  std::string key;           // a line before the entry
  std::size_t cut_from = 0;  // what goes: the [ ] of an empty log
  std::size_t cut_to = 0;
};

// After the comments that stand deeper than the list's dashes: they speak of the entry above.
std::size_t after_own_comments(std::string_view text, std::size_t offset, std::size_t dash) {
  for (Line line = line_at(text, offset); line.begin < text.size(); line = line_at(text, line.next)) {
    const std::size_t at = indent_of(text, line);
    if (at == line.end || text[at] != '#' || at - line.begin <= dash) break;
    offset = line.next;
  }
  return offset;
}

[[noreturn]] void refuse_flow() {
  throw EntryError(
      "the log stands in brackets; write its entries one under the other, each after a dash, and note again");
}

Place place_in(const std::string& text, const VisitTree& visit) {
  const std::size_t first = start_of_line(text, visit.id.span.begin);
  const std::size_t key = indent_of(text, line_at(text, first));
  if (text[key] == '{') refuse_flow();
  const std::string root = text.substr(first, key - first);
  if (const auto empty = find_empty_log(text)) return {empty->line.next, root + "  ", "", empty->behind, empty->value};
  if (visit.log.empty()) return {text.size(), root + "  ", root + "log:", 0, 0};
  const std::size_t begin = visit.log_span.begin;
  if (text[begin] == '[') refuse_flow();
  const std::size_t line = start_of_line(text, begin);
  const std::size_t end = text.find_last_not_of(" \r\n", std::min<std::size_t>(visit.log_span.end, text.size()) - 1);
  const std::size_t offset = line_at(text, end).next;
  return {after_own_comments(text, offset, begin - line), text.substr(line, begin - line), "", 0, 0};
}

std::optional<Date> last_date(const VisitTree& visit) {
  std::optional<Date> date;
  for (const LogEntry& entry : visit.log) {
    if (entry.date) date = entry.date;
  }
  return date;
}

ReadStyle style_of(std::string_view text) {
  const std::size_t last = text.rfind("read:");
  if (last == std::string_view::npos) return ReadStyle::braces;
  const std::size_t value = text.find_first_not_of(' ', last + 5);
  return value != std::string_view::npos && text[value] == '{' ? ReadStyle::braces : ReadStyle::lines;
}

std::string entry_text(const Place& place, const std::vector<std::string>& lines, const std::string& end) {
  std::string added = place.key.empty() ? "" : place.key + end;
  for (std::size_t i = 0; i < lines.size(); ++i)
    added += fmt::format("{}{}{}{}", place.indent, i == 0 ? "- " : "  ", lines[i], end);
  return added;
}

}  // namespace

std::string without_empty_log(std::string text) {
  if (const auto empty = find_empty_log(text)) text[empty->key] = '#';
  return text;
}

NewEntry with_entry(const std::string& text, const VisitTree& visit, const std::vector<std::string>& words, Date date,
                    const KnownWords& known) {
  std::vector<std::string> lines = entry_lines(words, style_of(text), known);
  if (last_date(visit) != date) lines.insert(lines.begin(), "date: " + to_text(date));
  const Place place = place_in(text, visit);
  const std::string end = text.find("\r\n") != std::string::npos ? "\r\n" : "\n";
  std::string added = entry_text(place, lines, end);
  const bool unended = place.offset == text.size() && !text.empty() && text.back() != '\n';
  if (unended) added = end + added.substr(0, added.size() - end.size());
  NewEntry out{text, place.offset, 0};
  out.text.insert(place.offset, added);
  out.text.erase(place.cut_from, place.cut_to - place.cut_from);
  out.begin -= place.cut_to - place.cut_from;
  out.end = out.begin + added.size();
  return out;
}

}  // namespace stringline
