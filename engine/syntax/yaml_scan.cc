// Lines, block maps and block lists. Reading goes on after a mistake at the next line of the block it happened in.
// Tested by tests/golden/yaml and, against two YAML libraries, by tests/property/yaml_second_opinion_test.cc.
#include "engine/syntax/yaml_scan.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/syntax/yaml_bytes.h"
#include "engine/syntax/yaml_scanner.h"
#include "engine/text/limits.h"

namespace stringline {

// --- the document ---------------------------------------------------------------------------------------------------

void YamlScanner::document() {
  start_ = text_.starts_with(byte_order_mark_utf8) ? byte_order_mark_utf8.size() : 0;
  pos_ = start_;
  preamble();
  const int column = to_content();
  if (column < 0) {
    if (reports_.empty()) {
      report(Code::empty_file, span(start_, start_),
             text_.size() == start_ ? "the file is empty" : "the file holds nothing but blank lines and comments",
             "its first key tells its kind: 'house:', 'profile:', 'trials:' or 'visit:'");
    }
    return;
  }
  if (here() == '|' || here() == '>') {
    report(Code::block_header, span(pos_, pos_ + 1), "a file can not be one block of text",
           "its first key tells its kind: 'house:', 'profile:', 'trials:' or 'visit:'");
    return;
  }
  if (!block_node(-1, column, 1)) return;
  if (to_content() < 0) return;
  const bool block = !events_.empty() && !events_.front().flow && events_.front().kind != YamlEvent::Kind::scalar;
  if (block) return deeper_line(-1);
  report(Code::text_after_document, span(pos_, line_end(pos_)), "text after the end of the document",
         "a file holds one map; its keys stand below each other in one column");
}

// What may stand before the document: one '---' and, refused, directives.
void YamlScanner::preamble() {
  for (std::size_t line = pos_; line < text_.size(); line = next_line(line)) {
    std::size_t content = line;
    while (at(content) == ' ') ++content;
    if (break_at(content) || at(content) == '#') continue;
    if (at(line) == '%') {
      report(Code::yaml_directive, span(line, line_end(line)), "YAML directives are not read", "delete the line");
      pos_ = line_end(line);
      continue;
    }
    if (marker_at(line, "---")) start_marker(line);
    return;
  }
}

void YamlScanner::start_marker(std::size_t line) {
  pos_ = line + 3;
  skip_blanks();
  skip_comment();
  if (break_at(pos_)) return;
  report(Code::text_after_marker, span(pos_, line_end(pos_)), "text on the line of '---'",
         "begin it on the next line; the '---' itself may be left out");
  pos_ = line_end(pos_);
}

bool YamlScanner::marker_at(std::size_t i, std::string_view marker) const {
  return i < text_.size() && text_[i] == marker.front() && text_.substr(i).starts_with(marker) && i == line_begin(i) &&
         space_or_break_at(i + marker.size());
}

int YamlScanner::marker() {
  if (here() == '-') {
    report(Code::several_documents, span(pos_, pos_ + 3), "a second document begins here; a file holds one",
           "move it to a file of its own");
  } else {
    report(Code::document_end, span(pos_, pos_ + 3), "the document end mark '...' is not read",
           "delete it; a file ends where its text ends");
  }
  stop();
  return -1;
}

// Goes from the end of a line, or the start of one, to the next character that is no blank, break or comment.
// Gives its column; -1 at the end.
int YamlScanner::to_content() {
  while (!done()) {
    if (pos_ != line_begin(pos_)) {
      pos_ = line_end(pos_);
      skip_break();
      if (done()) break;
    }
    if (marker_at(pos_, "---") || marker_at(pos_, "...")) return marker();
    const std::size_t line = pos_;
    while (here() == ' ') ++pos_;
    if (here() == '\t') {
      skip_blanks();
      if (!break_at(pos_) && here() != '#') return tabs_in_indentation();
    }
    if (here() == '#') skip_comment();
    if (!break_at(pos_)) return static_cast<int>(pos_ - line);
    if (pos_ == line && !done()) skip_break();
  }
  return -1;
}

// Where tabs indent, nobody knows what belongs to what: each such line is reported and nothing else of what follows.
int YamlScanner::tabs_in_indentation() {
  for (std::size_t line = line_end(pos_); line < text_.size() && !stopped_; line = line_end(pos_)) {
    pos_ = line;
    skip_break();
    while (here() == ' ') ++pos_;
    if (here() == '\t') skip_blanks();
  }
  stop();
  return -1;
}

// --- blocks ---------------------------------------------------------------------------------------------------------

// The node whose first character is here, in `column`, with nothing but blanks or dashes before it on its line.
bool YamlScanner::block_node(int parent, int column, std::size_t depth) {
  if (!enter(depth)) return false;
  if (dash_ahead()) {
    block_list(column, depth, false);
    return true;
  }
  if (key_ahead() || next_line_is_key(column)) {
    block_map(column, depth);
    return true;
  }
  return inline_value(parent, depth);
}

// Whether the line here, which is no key itself, is followed by one in the same column: then its colon is what is missing.
bool YamlScanner::next_line_is_key(int column) {
  constexpr std::string_view opens_lines = "\"'[{|>";
  if (opens_lines.find(here()) != std::string_view::npos) return false;
  for (std::size_t line = next_line(pos_); line < text_.size(); line = next_line(line)) {
    std::size_t content = line;
    while (at(content) == ' ') ++content;
    if (break_at(content) || at(content) == '#') continue;
    if (static_cast<int>(content - line) != column) return false;
    const std::size_t back = pos_;
    pos_ = content;
    const bool is_key = key_ahead();
    pos_ = back;
    return is_key;
  }
  return false;
}

void YamlScanner::block_map(int column, std::size_t depth) {
  const std::size_t event = open(YamlEvent::Kind::map, false, pos_);
  Keys keys;
  int next = column;
  while (next == column) {
    if (!map_line(column, depth, keys)) recover(column);
    next = to_content();
    while (next > column) {
      deeper_line(column);
      next = to_content();
    }
  }
  close(event, last_end_);
  last_column_ = column;
  if (next >= 0) pos_ = line_begin(pos_);
}

bool YamlScanner::map_line(int column, std::size_t depth, Keys& keys) {
  if (!key_ahead()) {
    not_a_key(column);
    return false;
  }
  if (here() == '"' || here() == '\'') {
    if (!quoted(column)) return false;
  } else {
    const Plain key = plain(false);
    check_look_alikes(span(key.begin, key.end));
    push_plain(key);
  }
  if (stopped_) return false;
  const YamlEvent key = events_.back();
  skip_blanks();
  ++pos_;  // the colon that key_ahead() saw
  if (key.style == ScalarStyle::plain && key.text == "<<") return refuse_merge_key(key.span);
  check_key(key);
  note_key(key, keys);
  last_key_ = key.span;
  return map_value(column, depth, key.span);
}

// The value behind the colon of a key: on its line, or on the lines below, deeper (a list may stand in the key's column).
bool YamlScanner::map_value(int column, std::size_t depth, Span key) {
  last_end_ = pos_;
  skip_blanks();
  if (here() == '#') skip_comment();
  if (!break_at(pos_)) {
    return enter(depth + 1) && inline_value(column, depth + 1);
  }
  const int next = to_content();
  if (stopped_) return false;
  if (next > column) return block_node(column, next, depth + 1);
  if (next == column && dash_ahead()) {
    if (!enter(depth + 1)) return false;
    block_list(column, depth + 1, true);
    return true;
  }
  report(Code::empty_value, key, fmt::format("'{}' has no value", brief(words(key))),
         "write one, or leave the key out; what is not known yet is written 'unknown'");
  if (next >= 0) pos_ = line_begin(pos_);
  return true;
}

// A line in the column of a map's keys that is no key.
void YamlScanner::not_a_key(int column) {
  const Span line = span(pos_, pos_ + rest_of_line(pos_).size());
  const std::vector<Related> map{{last_key_, "a key of the map"}};
  if (dash_ahead()) {
    report(Code::list_in_map, span(pos_, pos_ + 1), "a list entry among the keys of a map",
           "give the list a key of its own, or begin this line deeper",
           last_key_.end > 0 ? map : std::vector<Related>{});
    return;
  }
  if (here() == '"' || here() == '\'') {
    if (!quoted(column)) return;
    skip_blanks();
    if (here() == ':' && space_or_break_at(pos_ + 1)) {
      report(Code::multi_line_key, line, "a key goes over more than one line", "write it in one");
      return;
    }
    if (here() == ':') {
      report(Code::missing_colon_space, span(pos_, pos_ + 1), "no space after the colon of a key", "write ': '");
      return;
    }
    report(Code::missing_colon, line, fmt::format("no colon after {}", brief(words(line))),
           "a line of a map is 'key: value'");
    return;
  }
  if (here() == '[' || here() == '{') {
    report(Code::collection_as_key, line, "a list or a map can not be a key", "a line of a map is 'key: value'");
    return;
  }
  if (may_begin_text(false)) line_without_colon();
}

void YamlScanner::line_without_colon() {
  const std::string line = rest_of_line(pos_);
  const Span where = span(pos_, pos_ + line.size());
  const std::size_t colon = line.find(':');
  constexpr std::string_view wide_colon = "\uFF1A";
  if (const std::size_t wide = line.find(wide_colon); wide != std::string::npos) {
    report(Code::look_alike, span(pos_ + wide, pos_ + wide + wide_colon.size()),
           "the character U+FF1A only looks like a colon", "write ':' and a space");
  } else if (colon != std::string::npos && look_alike_space_at(pos_ + colon + 1)) {
    check_look_alikes(where);
  } else if (colon != std::string::npos) {
    report(Code::missing_colon_space, span(pos_ + colon, pos_ + colon + 1), "no space after the colon of a key",
           fmt::format("write '{}: {}'", brief(line.substr(0, colon)), brief(line.substr(colon + 1))));
  } else {
    report(Code::missing_colon, where, fmt::format("no colon after '{}'", brief(line)),
           "a line of a map is 'key: value'; a text over several lines stands in quotes or in a '>' block");
  }
}

// `at_key_column`: the list is the value of a key in this very column, so the map may go on below it.
void YamlScanner::block_list(int column, std::size_t depth, bool at_key_column) {
  const std::size_t event = open(YamlEvent::Kind::list, false, pos_);
  int next = column;
  while (next == column) {
    if (dash_ahead()) {
      if (!list_item(column, depth)) recover(column);
    } else {
      if (at_key_column) break;
      report(Code::map_in_list, span(pos_, pos_ + rest_of_line(pos_).size()), "a line without a dash in a list",
             "begin it with '- ', or deeper if it belongs to the entry above");
      recover(column);
    }
    next = to_content();
    while (next > column) {
      deeper_line(column);
      next = to_content();
    }
  }
  close(event, last_end_);
  last_column_ = column;
  if (next >= 0) pos_ = line_begin(pos_);
}

bool YamlScanner::list_item(int column, std::size_t depth) {
  const std::size_t dash = pos_;
  last_key_ = span(dash, dash + 1);
  ++pos_;
  last_end_ = pos_;
  skip_blanks();
  if (here() == '#') skip_comment();
  if (!break_at(pos_)) {
    return block_node(column, column_of(pos_), depth + 1);
  }
  const int next = to_content();
  if (stopped_) return false;
  if (next > column) return block_node(column, next, depth + 1);
  report(Code::empty_value, span(dash, dash + 1), "a list entry without a value", "write one, or delete the dash");
  if (next >= 0) pos_ = line_begin(pos_);
  return true;
}

// A value that begins on the line of its key or dash, or alone on a line of its own.
bool YamlScanner::inline_value(int parent, std::size_t depth) {
  last_column_ = -1;
  const std::size_t begin = pos_;
  switch (here()) {
    case '"':
    case '\'': return quoted(parent) && after_value(begin);
    case '[':
    case '{': {
      const std::size_t reported = reports_.size();
      if (!flow(parent, depth)) return false;
      if (text_follows()) reports_.resize(reported);
      return after_value(begin);
    }
    case '|':
    case '>': return block_scalar(parent);
    default:
      if (dash_ahead()) {
        report(Code::list_on_key_line, span(pos_, pos_ + 1), "a list can not begin on the line of its key",
               "begin it on the next line, or write it in [ ]; a minus sign stands right before its number");
        return false;
      }
      return plain_value(false);
  }
}

// Whether text follows a closing bracket: it makes the brackets part of a text, and nothing in them was a mistake of its
// own.
bool YamlScanner::text_follows() const {
  std::size_t i = pos_;
  while (blank_at(i)) ++i;
  const bool comment = at(i) == '#' && i > pos_;
  return !stopped_ && !break_at(i) && !comment;
}

// Nothing but a comment may follow a value that closes itself and began at `begin`.
bool YamlScanner::after_value(std::size_t begin) {
  const std::size_t end = pos_;
  skip_blanks();
  if (here() == '#' && pos_ > end) skip_comment();
  if (break_at(pos_)) return true;
  const std::string tail = rest_of_line(pos_);
  const Span where = span(pos_, pos_ + tail.size());
  const std::string whole(text_.substr(begin, where.end - begin));
  const bool one_line = whole.find('\n') == std::string::npos;
  const std::string quotes =
      one_line ? "put the whole text in quotes: " + in_quotes(whole) : "put the whole text in quotes";
  const char opened = text_[begin];
  if (tail.front() == ':' && (opened == '[' || opened == '{')) {
    report(Code::collection_as_key, span(begin, end), "a list or a map can not be a key",
           "a key is a word, or a text in quotes");
  } else if (tail.front() == ':' && !one_line) {
    report(Code::multi_line_key, span(begin, end), "a key goes over more than one line", "write it in one");
  } else if (tail.front() == ':' && tail.size() > 1 && tail[1] != ' ') {
    report(Code::missing_colon_space, span(pos_, pos_ + 1), "no space after the colon of a key", "write ': '");
  } else if (tail.front() == ':') {
    report(Code::colon_in_text, where, "a second key in one line",
           "begin it on a line of its own, deeper than the first");
  } else if (tail.front() == '#') {
    report(Code::text_after_value, where, "a comment needs a space before its '#'", "write ' #'");
  } else if (constexpr std::string_view signs = "=<>!"; signs.find(tail.front()) != std::string_view::npos) {
    report(Code::text_after_value, where, fmt::format("text after the closing '{}'", text_[end - 1]),
           "a comparison is written in words, 'is', 'is not', 'over', 'under', 'at least', 'at most', and begins with "
           "a name");
  } else if (opened == '{' || opened == '[') {
    report(
        Code::text_after_value, where, fmt::format("text after the closing '{}'", text_[end - 1]),
        fmt::format("a text that begins with '{}' needs quotes: {}", opened, one_line ? in_quotes(whole) : "\"...\""));
  } else if (opened == '\'') {
    const bool closed_later = one_line && whole.size() > 2 && whole.back() == '\'';
    report(Code::text_after_value, where, "text after the closing quote",
           "an apostrophe inside single quotes is written twice, ''; or " +
               (closed_later ? "write " + in_quotes(whole.substr(1, whole.size() - 2)) : quotes));
  } else {
    report(Code::text_after_value, where, "text after the closing quote", quotes);
  }
  return false;
}

// A line that stands deeper than the block in `column` and belongs to nothing in it.
void YamlScanner::deeper_line(int column) {
  const std::string line = rest_of_line(pos_);
  const Span where = span(pos_, pos_ + line.size());
  const bool item = dash_ahead();
  std::vector<Related> above;
  if (last_key_.end > 0) above.push_back({last_key_, item ? "the line above" : "this key stands above"});
  if (column < 0 || last_column_ >= 0) {
    const std::string or_deeper =
        last_column_ > column && column >= 0 ? fmt::format(" or in column {}", last_column_ + 1) : std::string();
    const int outer = column < 0 ? last_column_ : column;
    report(Code::bad_indentation, where, "the line begins in a column where no block stands",
           fmt::format("begin it in column {}{}", outer + 1, or_deeper), std::move(above));
  } else if (key_ahead() || item) {
    report(Code::bad_indentation, where,
           fmt::format("'{}' stands deeper than a line that has its value already", brief(line)),
           fmt::format("begin it in column {}; only a key without a value has lines below it", column + 1),
           std::move(above));
  } else {
    report(Code::multi_line_plain, where, "a text without quotes ends with its line; this would be joined to it",
           "write it in one line, in quotes, or in a '>' block");
  }
  recover(column);
}

// Leaves the line here and every one below it that stands deeper than `column`.
void YamlScanner::recover(int column) {
  while (!done()) {
    pos_ = line_end(pos_);
    skip_break();
    const std::size_t line = pos_;
    while (here() == ' ') ++pos_;
    const bool content = !break_at(pos_) && here() != '#';
    const bool out = content && static_cast<int>(pos_ - line) <= column;
    if (done()) return;
    if (out || marker_at(line, "---") || marker_at(line, "...")) {
      pos_ = line;
      return;
    }
  }
}

// --- small things ---------------------------------------------------------------------------------------------------

bool YamlScanner::break_at(std::size_t i) const { return i >= text_.size() || text_[i] == '\n' || text_[i] == '\r'; }

std::size_t YamlScanner::line_begin(std::size_t i) const {
  if (i == 0) return start_;
  const std::size_t before = text_.rfind('\n', i - 1);
  return before == std::string_view::npos ? start_ : before + 1;
}

std::size_t YamlScanner::line_end(std::size_t i) const {
  const std::size_t end = std::min(text_.find('\n', i), text_.size());
  return end > i && text_[end - 1] == '\r' ? end - 1 : end;
}

std::size_t YamlScanner::next_line(std::size_t i) const {
  const std::size_t end = text_.find('\n', i);
  return end == std::string_view::npos ? text_.size() : end + 1;
}

void YamlScanner::skip_break() {
  if (here() == '\r') ++pos_;
  if (here() == '\n') ++pos_;
}

// Blanks inside a line or before its text.
void YamlScanner::skip_blanks() {
  for (; blank_at(pos_); ++pos_) {
    if (here() == '\t') report_tab(pos_);
  }
}

// One report a line.
void YamlScanner::report_tab(std::size_t tab) {
  const std::size_t line = line_begin(tab);
  if (line == tab_line_) return;
  tab_line_ = line;
  std::size_t end = tab;
  while (at(end) == '\t') ++end;
  report(Code::tab_character, span(tab, end), "a tab outside quotes and comments", "write spaces");
}

void YamlScanner::skip_comment() {
  if (here() == '#') pos_ = line_end(pos_);
}

Span YamlScanner::span(std::size_t begin, std::size_t end) const {
  return {source_, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
}

bool YamlScanner::enter(std::size_t depth) {
  if (depth <= limits::now().nesting) return true;
  report(Code::yaml_too_deep, span(pos_, pos_ + 1),
         fmt::format("maps and lists nest deeper than {} here", limits::now().nesting),
         "nothing that people write needs to nest so deep" + limits::or_allow_more("nesting"));
  stop();
  return false;
}

std::size_t YamlScanner::open(YamlEvent::Kind kind, bool in_flow, std::size_t begin) {
  YamlEvent event;
  event.kind = kind;
  event.flow = in_flow;
  event.span = span(begin, begin);
  push(std::move(event));
  return events_.size() - 1;
}

void YamlScanner::close(std::size_t event, std::size_t end) {
  events_[event].span.end = std::max(events_[event].span.begin, static_cast<std::uint32_t>(end));
  YamlEvent closing;
  closing.flow = events_[event].flow;
  closing.span = span(end, end);
  last_end_ = end;
  events_.push_back(std::move(closing));
}

void YamlScanner::push(YamlEvent event) {
  if (stopped_) return;
  last_end_ = event.span.end;
  const Span where = event.span;
  if (event.kind == YamlEvent::Kind::scalar && !count_words(event)) return;
  events_.push_back(std::move(event));
  if (++nodes_ <= limits::now().nodes) return;
  report(Code::too_many_nodes, span(where.begin, where.begin + 1),
         fmt::format("keys, values, maps and lists of the file are more than {}", limits::now().nodes),
         "split it" + limits::or_allow_more("nodes"));
  stop();
}

// Words bound what the values of a file come to, whatever else they hold: an expression has no more parts.
bool YamlScanner::count_words(const YamlEvent& scalar) {
  bool inside = false;
  for (const char c : scalar.text) {
    const bool part = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
                      static_cast<unsigned char>(c) >= 0x80;
    if (part && !inside) ++words_;
    inside = part;
  }
  if (words_ <= limits::now().words) return true;
  report(Code::too_many_words, span(scalar.span.begin, scalar.span.begin + 1),
         fmt::format("the file holds more than {} words and numbers", limits::now().words),
         "split it" + limits::or_allow_more("words"));
  stop();
  return false;
}

void YamlScanner::report(Code code, Span where, std::string message, std::string hint, std::vector<Related> related) {
  if (stopped_) return;
  if (reports_.size() >= limits::now().yaml_mistakes) {
    reports_.push_back({Code::too_many_mistakes,
                        where,
                        "reading stops here, after too many mistakes",
                        "mend the ones above first" + limits::or_allow_more("yaml_mistakes"),
                        {}});
    stop();
    return;
  }
  reports_.push_back({code, where, std::move(message), std::move(hint), std::move(related)});
}

std::vector<YamlEvent> scan_yaml(SourceId source, std::string_view text, Diagnostics& out) {
  YamlScanner scanner(source, text);
  scanner.document();
  for (const Diagnostic& d : scanner.reports()) out.report(d.code, d.span, d.message, d.hint, d.related);
  return scanner.take_events();
}

}  // namespace stringline
