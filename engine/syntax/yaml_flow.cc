// [ ] and { }. A mistake that leaves open what belongs to what ends the whole value; others are collected.
// Lines inside stand deeper than the block they are in; only a closing bracket may stand in its column.
// Tested by tests/golden/yaml and tests/property/yaml_second_opinion_test.cc.
#include <fmt/format.h>

#include <algorithm>

#include "engine/syntax/yaml_scanner.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

bool closes(char c) { return c == ']' || c == '}'; }
bool opens(char c) { return c == '[' || c == '{'; }

}  // namespace

bool YamlScanner::flow(int parent, std::size_t depth) {
  if (!enter(depth)) return false;
  if (brackets_.empty()) flow_begin_ = pos_;
  brackets_.push_back(pos_);
  const bool map = here() == '{';
  const std::size_t event = open(map ? YamlEvent::Kind::map : YamlEvent::Kind::list, true, pos_);
  ++pos_;
  const bool whole = flow_entries(parent, depth, map);
  brackets_.pop_back();
  if (!whole || stopped_) return false;
  close(event, pos_);
  return flow_not_too_long();
}

bool YamlScanner::flow_entries(int parent, std::size_t depth, bool map) {
  Keys keys;
  FlowText before;
  while (true) {
    if (!flow_space(parent)) return false;
    if (closes(here())) {
      if ((here() == '}') != map) return wrong_bracket(map ? '}' : ']');
      ++pos_;
      return true;
    }
    if (here() == ',') {
      report(Code::empty_flow_entry, span(pos_, pos_ + 1), "nothing stands before the comma", "delete one comma");
      ++pos_;
      continue;
    }
    const bool read = map ? flow_map_entry(parent, depth, keys, before) : flow_list_entry(parent, depth);
    if (!read || !flow_space(parent) || !flow_separator()) return false;
  }
}

// Goes to the next character that is no blank, break or comment.
bool YamlScanner::flow_space(int parent) {
  while (true) {
    const bool line_start = pos_ == line_begin(pos_);
    skip_blanks();
    if (here() == '#') {
      if (!line_start && !blank_at(pos_ - 1)) {
        report(Code::comment_without_space, span(pos_, pos_ + 1), "a comment needs a space before its '#'",
               "write ' #'; a text with '#' in it needs quotes");
        return false;
      }
      skip_comment();
    }
    if (done()) return unclosed_bracket();
    if (!break_at(pos_)) return flow_not_too_long();
    skip_break();
    if (marker_at(pos_, "---") || marker_at(pos_, "...")) return unclosed_bracket();
    const std::size_t line = pos_;
    while (here() == ' ') ++pos_;
    if (space_or_break_at(pos_) || here() == '#') continue;
    const int column = static_cast<int>(pos_ - line);
    if (column <= parent && !(closes(here()) && column == parent)) return unclosed_bracket();
  }
}

bool YamlScanner::flow_map_entry(int parent, std::size_t depth, Keys& keys, FlowText& before) {
  if (!flow_key(parent, depth)) return false;
  if (stopped_) return false;
  const YamlEvent key = events_.back();
  const bool in_quotes_written = key.style != ScalarStyle::plain;
  const std::size_t key_end = pos_;
  skip_blanks();
  if (break_at(pos_) && !done()) {
    if (!flow_space(parent)) return false;
    if (here() == ':') {
      report(Code::multi_line_key, key.span, "a key and its colon stand on one line", "join the lines");
      return false;
    }
    pos_ = key_end;
  }
  if (here() != ':') {
    flow_alone(key, before);
    return true;
  }
  if (!in_quotes_written && opens(at(pos_ + 1))) {
    report(Code::missing_colon_space, span(pos_, pos_ + 1), "no space after the colon of a key", "write ': '");
    return false;
  }
  ++pos_;
  if (!in_quotes_written && key.text == "<<") return refuse_merge_key(key.span);
  check_key(key);
  note_key(key, keys);
  before = {};
  if (!flow_space(parent)) return false;
  if (here() == ',' || closes(here())) {
    report(Code::empty_value, key.span, fmt::format("'{}' has no value", brief(key.text)),
           "write one, or leave the key out; what is not known yet is written 'unknown'");
    return true;
  }
  if (!flow_value(parent, depth) || stopped_) return false;
  const YamlEvent& value = events_.back();
  if (value.kind == YamlEvent::Kind::scalar && value.style == ScalarStyle::plain) before.text = value.span;
  skip_blanks();
  if (here() != ':') return true;
  report(Code::colon_in_text, span(pos_, pos_ + 1), "a colon in a text without quotes",
         "put the text in quotes, or a comma between two entries");
  return false;
}

bool YamlScanner::flow_key(int parent, std::size_t depth) {
  if (here() == '"' || here() == '\'') {
    const std::size_t begin = pos_;
    if (!quoted(parent)) return false;
    if (line_begin(pos_) == line_begin(begin)) return true;
    report(Code::multi_line_key, span(begin, pos_), "a key goes over more than one line", "write it in one");
    return false;
  }
  if (opens(here())) {
    const std::size_t begin = pos_;
    const std::size_t reported = reports_.size();
    if (!flow(parent, depth + 1)) return false;
    reports_.resize(reported);
    report(Code::collection_as_key, span(begin, pos_), "a list or a map can not be a key",
           "an entry of { } is 'key: value'; a text that begins with a brace needs quotes");
    return false;
  }
  if (!may_begin_text(true)) return false;
  const Plain key = plain(true);
  check_look_alikes(span(key.begin, key.end));
  push_plain(key);
  return true;
}

namespace {

// "1.8 mm" for "1,8 mm"; empty where the comma does not stand between two digits of a number.
std::string with_point(std::string text) {
  constexpr const char* digits = "0123456789";
  const std::size_t comma = text.find(',');
  const std::size_t begin = text.find_first_not_of('-');
  const bool number = comma != std::string::npos && begin < comma && text.find_first_not_of(digits, begin) == comma &&
                      text.find_first_of(digits, comma) == comma + 1 && text.find(',', comma + 1) == std::string::npos;
  if (!number) return {};
  text[comma] = '.';
  return text;
}

}  // namespace

// An entry of { } without a colon: mostly the rest of a text that holds a comma.
void YamlScanner::flow_alone(const YamlEvent& key, FlowText& before) {
  if (before.reported) return;
  before.reported = true;
  const std::size_t colon = key.style == ScalarStyle::plain ? key.text.find(':') : std::string::npos;
  if (colon != std::string::npos && look_alike_space_at(key.span.begin + colon + 1)) return;  // told with the key
  if (colon != std::string::npos) {
    report(Code::missing_colon_space, span(key.span.begin + colon, key.span.begin + colon + 1),
           "no space after the colon of a key",
           fmt::format("write '{}: {}'", brief(key.text.substr(0, colon)), brief(key.text.substr(colon + 1))));
  } else if (before.text.end > 0) {
    const Span whole = span(before.text.begin, end_of_comma_text(key.span.end));
    const std::string number = with_point(std::string(words(whole)));
    report(Code::comma_in_flow_text, whole, "a text with a comma inside { } needs quotes",
           number.empty() ? "write " + in_quotes(brief(words(whole)))
                          : fmt::format("write '{}': a number has a point where others have a comma", number));
  } else {
    report(Code::flow_key_alone, key.span, fmt::format("'{}' has no value inside {{ }}", brief(words(key.span))),
           "an entry is 'key: value'; a text that begins with '{' needs quotes");
  }
}

// Where a text ends whose commas were taken for the ends of entries: at what has a colon, a bracket or a quote of its own.
std::size_t YamlScanner::end_of_comma_text(std::size_t end) const {
  std::size_t i = end;
  while (at(i) == ',') {
    std::size_t last = end;
    for (++i; !break_at(i) && at(i) != ','; ++i) {
      constexpr std::string_view not_text = "[]{}\"'";
      if (not_text.find(at(i)) != std::string_view::npos || (at(i) == ':' && space_or_break_at(i + 1))) {
        return closes(at(i)) ? std::max(last, end) : end;
      }
      if (!blank_at(i)) last = i + 1;
    }
    if (last == end) return end;
    end = last;
  }
  return end;
}

bool YamlScanner::flow_list_entry(int parent, std::size_t depth) {
  const std::size_t begin = pos_;
  if (!flow_value(parent, depth)) return false;
  const std::size_t end = pos_;
  skip_blanks();
  if (here() != ':') return true;
  report(Code::pair_in_flow_list, span(begin, end), "a 'key: value' directly inside [ ]",
         "write it in braces, {key: value}, or put the text in quotes");
  return false;
}

bool YamlScanner::flow_value(int parent, std::size_t depth) {
  if (opens(here())) {
    const char bracket = here();
    const std::size_t reported = reports_.size();
    if (!flow(parent, depth + 1)) return false;
    std::size_t next = pos_;
    while (blank_at(next)) ++next;
    const bool separated = at(next) == ',' || at(next) == ':' || at(next) == '#' || closes(at(next));
    if (separated || !text_follows()) return true;
    reports_.resize(reported);
    report(Code::text_after_value, span(next, next + 1), fmt::format("text after the closing '{}'", text_[pos_ - 1]),
           fmt::format("a text that begins with '{}' needs quotes", bracket));
    return false;
  }
  if (!enter(depth + 1)) return false;
  if (here() == '"' || here() == '\'') return quoted(parent);
  return plain_value(true);
}

// Behind an entry: a comma, or what closes.
bool YamlScanner::flow_separator() {
  if (closes(here())) return true;
  if (here() == ',') {
    ++pos_;
    return true;
  }
  const bool same_line = line_begin(pos_) == line_begin(last_end_);
  report(Code::missing_comma, span(pos_, pos_ + 1), "no comma before this entry",
         same_line ? "write one; if it belongs to the text before, put the whole text in quotes"
                   : "write one at the end of the line above; a text over several lines needs quotes");
  return false;
}

bool YamlScanner::flow_not_too_long() {
  if (pos_ - flow_begin_ <= limits::now().flow_bytes) return true;
  report(Code::flow_too_long, span(flow_begin_, flow_begin_ + 1),
         fmt::format("this '{}' holds more than {} bytes", text_[flow_begin_], limits::now().flow_bytes),
         "write its entries on lines of their own, without brackets" + limits::or_allow_more("flow_bytes"));
  return false;
}

bool YamlScanner::unclosed_bracket() {
  const std::size_t bracket = brackets_.back();
  report(
      Code::unclosed_bracket, span(bracket, bracket + 1), fmt::format("this '{}' is not closed", text_[bracket]),
      fmt::format("close it with '{}'; lines inside it stand deeper than its key", text_[bracket] == '[' ? ']' : '}'));
  pos_ = stopped_ ? pos_ : brackets_.front();
  return false;
}

bool YamlScanner::wrong_bracket(char wanted) {
  const std::size_t bracket = brackets_.back();
  report(Code::wrong_bracket, span(pos_, pos_ + 1), fmt::format("'{}' where '{}' would close", here(), wanted),
         fmt::format("write '{}' here, or open it with '{}'", wanted, here() == ']' ? '[' : '{'),
         {{span(bracket, bracket + 1), "opened here"}});
  return false;
}

}  // namespace stringline
