// What single words and characters may not be, and what to write instead.
// Tested by tests/golden/yaml and tests/property/yaml_second_opinion_test.cc.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "engine/syntax/yaml_bytes.h"
#include "engine/syntax/yaml_scanner.h"

namespace stringline {
namespace {

constexpr std::size_t brief_bytes = 60;

template <std::size_t N>
bool one_of(std::string_view word, const std::array<std::string_view, N>& words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool null_word(std::string_view word) {
  static constexpr std::array<std::string_view, 4> words{"~", "null", "Null", "NULL"};
  return one_of(word, words);
}

// true and false stay: they are values of the language and rows of its tables.
bool truth_word(std::string_view word) {
  static constexpr std::array<std::string_view, 16> words{"yes", "Yes", "YES", "no",  "No", "NO", "on", "On",
                                                          "ON",  "off", "Off", "OFF", "y",  "Y",  "n",  "N"};
  return one_of(word, words);
}

enum class Kin { none, quote, space, invisible, minus };

bool within(char32_t point, char32_t first, char32_t last) { return point >= first && point <= last; }

Kin look_alike(char32_t point) {
  if (within(point, 0x2018, 0x201F)) return Kin::quote;
  if (point == 0xA0 || within(point, 0x2000, 0x200A) || point == 0x202F || point == 0x205F || point == 0x3000) {
    return Kin::space;
  }
  const bool invisible = point == 0xAD || point == 0x61C || within(point, 0x200B, 0x200F) ||
                         within(point, 0x202A, 0x202E) || within(point, 0x2060, 0x2069);
  if (invisible) return Kin::invisible;
  return point == 0x2212 ? Kin::minus : Kin::none;
}

bool double_kind(char32_t quote) { return quote >= 0x201C || quote == 0x2033; }

}  // namespace

std::string brief(std::string_view text) {
  if (text.size() <= brief_bytes) return std::string(text);
  std::size_t end = brief_bytes;
  while ((static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return std::string(text.substr(0, end)) + "...";
}

std::string in_quotes(std::string_view text) {
  if (text.find('"') == std::string_view::npos && text.find('\\') == std::string_view::npos) {
    return fmt::format("\"{}\"", text);
  }
  std::string result = "'";
  for (const char c : text) result += c == '\'' ? "''" : std::string(1, c);
  return result + "'";
}

std::string YamlScanner::rest_of_line(std::size_t from) const {
  const std::string_view line = text_.substr(from, line_end(from) - from);
  std::size_t end = line.size();
  for (std::size_t i = 1; i < line.size(); ++i) {
    if (line[i] == '#' && (line[i - 1] == ' ' || line[i - 1] == '\t')) {
      end = i;
      break;
    }
  }
  while (end > 0 && (line[end - 1] == ' ' || line[end - 1] == '\t')) --end;
  return std::string(line.substr(0, end));
}

bool YamlScanner::plain_start(std::size_t i, bool in_flow) const {
  constexpr std::string_view never = "?:,[]{}#&*!|>'\"%@`";
  constexpr std::string_view flow_marks = ",[]{}";
  if (i >= text_.size() || break_at(i) || blank_at(i)) return false;
  if (at(i) != '-') return never.find(at(i)) == std::string_view::npos;
  return !space_or_break_at(i + 1) && !(in_flow && flow_marks.find(at(i + 1)) != std::string_view::npos);
}

// Whether a key and its colon stand here, on this line.
bool YamlScanner::key_ahead() const {
  std::size_t i = pos_;
  const char quote = here();
  if (quote == '"' || quote == '\'') {
    for (++i; !break_at(i); ++i) {
      const bool pair = quote == '"' ? at(i) == '\\' && !break_at(i + 1) : at(i) == quote && at(i + 1) == quote;
      if (pair) {
        ++i;
      } else if (at(i) == quote) {
        break;
      }
    }
    if (break_at(i)) return false;
    for (++i; blank_at(i);) ++i;
    return at(i) == ':' && space_or_break_at(i + 1);
  }
  if (!plain_start(i, false)) return false;
  for (; !break_at(i); ++i) {
    if (at(i) == ':' && space_or_break_at(i + 1)) return true;
    if (at(i) == '#' && blank_at(i - 1)) return false;
  }
  return false;
}

// Whether a text without quotes may begin with what stands here; reports why not.
bool YamlScanner::may_begin_text(bool in_flow) {
  if (plain_start(pos_, in_flow)) return true;
  std::size_t end = pos_ + 1;
  while (!space_or_break_at(end) && !(in_flow && at(end) == ',')) ++end;
  const Span word = span(pos_, end);
  const Span sign = span(pos_, pos_ + 1);
  const std::string name = brief(words(word));
  const char c = here();
  const std::string quotes = fmt::format("a text that begins with '{}' needs quotes", c);
  switch (c) {
    case '!':
      report(Code::yaml_tag, word, fmt::format("'{}' is a YAML tag, which is not read", name),
             "for 'is not so' write 'not' and the condition; " + quotes);
      break;
    case '&':
      report(Code::yaml_anchor, word, fmt::format("'{}' is a YAML anchor, which is not read", name),
             "write the value out wherever it is needed; " + quotes);
      break;
    case '*':
      report(Code::yaml_alias, word, fmt::format("'{}' is a YAML alias, which is not read", name),
             "write the value out here; " + quotes);
      break;
    case ']':
    case '}':
      report(Code::wrong_bracket, sign, fmt::format("this '{}' closes nothing", c),
             "delete it, or put the text in quotes");
      break;
    case '?':
      if (space_or_break_at(pos_ + 1)) {
        report(Code::yaml_complex_key, sign, "a YAML complex key, '?', is not read", "write 'key: value'");
      } else {
        report(Code::reserved_character, sign, "a text can not begin with '?'", quotes);
      }
      break;
    case ':':
      if (space_or_break_at(pos_ + 1)) {
        report(Code::missing_key, sign, "no key before the colon", "write 'key: value'");
      } else {
        report(Code::reserved_character, sign, "a text can not begin with ':'", quotes);
      }
      break;
    case '-':
      report(Code::reserved_character, sign, "a list with dashes can not stand inside brackets",
             "write [a, b]; a minus sign stands right before its number");
      break;
    default:
      report(Code::reserved_character, sign, fmt::format("a text can not begin with '{}'", c),
             c == '%' ? "a per cent sign stands behind its number; " + quotes : quotes);
  }
  return false;
}

void YamlScanner::check_key(const YamlEvent& key) {
  if (key.span.end - key.span.begin > max_yaml_key_bytes) {
    report(Code::key_too_long, key.span, fmt::format("a key holds at most {} bytes", max_yaml_key_bytes),
           key.style == ScalarStyle::plain ? "is a colon in a text without quotes? else write a shorter key"
                                           : "write a shorter key");
  }
  if (key.style != ScalarStyle::plain) return;
  check_null(key.span);
  if (truth_word(key.text)) {
    report(Code::truth_word_key, key.span,
           fmt::format("the key '{}' means true or false to other YAML readers", key.text), "take another word");
  }
}

void YamlScanner::check_null(Span text) {
  if (!null_word(words(text))) return;
  report(Code::null_value, text, fmt::format("'{}' is no value here", words(text)),
         "leave the key out, or write 'unknown'");
}

bool YamlScanner::refuse_merge_key(Span key) {
  report(Code::yaml_merge_key, key, "the YAML merge key '<<' is not read",
         "write the keys out; a profile takes another's with 'based_on: NAME'");
  return false;
}

void YamlScanner::note_key(const YamlEvent& key, Keys& keys) {
  const auto [place, fresh] = keys.emplace(key.text, key.span);
  if (fresh) return;
  report(Code::duplicate_key, key.span, fmt::format("the key '{}' stands twice in this map", brief(key.text)),
         "keep one of them", {{place->second, "first written here"}});
}

// Characters that an editor or a word processor puts in unseen. Each kind is reported once a text.
void YamlScanner::check_look_alikes(Span text) {
  bool seen[5] = {};
  for (std::size_t i = text.begin; i < text.end;) {
    if (static_cast<unsigned char>(text_[i]) < 0x80) {  // none of them looks like another
      ++i;
      continue;
    }
    const CodePoint point = code_point_at(text_, i);
    const bool prime_as_quote = i == text.begin && (point.value == 0x2032 || point.value == 0x2033);
    const Kin kin = prime_as_quote ? Kin::quote : look_alike(point.value);
    if (kin != Kin::none && !seen[static_cast<int>(kin)])
      look_alike_found(point.value, span(i, i + point.length), text);
    seen[static_cast<int>(kin)] = true;
    i += point.length;
  }
}

bool YamlScanner::look_alike_space_at(std::size_t i) const {
  return i < text_.size() && look_alike(code_point_at(text_, i).value) == Kin::space;
}

void YamlScanner::look_alike_found(char32_t point, Span where, Span text) {
  const auto code = static_cast<std::uint32_t>(point);
  const auto say = [&](std::string_view twin, std::string hint) {
    report(Code::look_alike, where, fmt::format("the character U+{:04X} only looks like {}", code, twin),
           std::move(hint));
  };
  switch (point == 0x2032 || point == 0x2033 ? Kin::quote : look_alike(point)) {
    case Kin::quote:
      say("a quote", fmt::format("write {}; inside straight quotes it may stand", double_kind(point) ? '"' : '\''));
      break;
    case Kin::space: say("a space", "write a space; inside quotes it may stand"); break;
    case Kin::minus: say("a minus sign", "write '-'; inside quotes it may stand"); break;
    case Kin::invisible:
      report(Code::look_alike, where, fmt::format("the invisible character U+{:04X} in '{}'", code, brief(words(text))),
             "retype the word; inside quotes it may stand");
      break;
    case Kin::none: break;
  }
}

// `x #1`: the author meant '#1' as text. `x # note`, `x  #note` and `x ## note` are comments as people write them.
void YamlScanner::check_comment_cut(Span text) {
  const bool meant = pos_ == text.end + 1 && here() == '#' && !space_or_break_at(pos_ + 1) && at(pos_ + 1) != '#';
  if (!meant) return;
  const std::size_t end = line_end(pos_);
  report(Code::comment_cut, span(pos_, end), "a '#' after a space begins a comment; the rest of the line is not read",
         "put the text in quotes: " + in_quotes(brief(text_.substr(text.begin, end - text.begin))) +
             "; or begin the comment with '# '");
}

}  // namespace stringline
