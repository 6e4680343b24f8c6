// Texts in all five styles: where they end, what they say, and which bytes of the file say it.
// Tested by tests/property/embedded_test.cc.
#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <optional>

#include "engine/syntax/yaml_bytes.h"
#include "engine/syntax/yaml_scanner.h"

namespace stringline {
namespace {

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

}  // namespace

// A text while it is decoded, with its map back to the file.
class YamlScanner::Decoded {
 public:
  // The file's bytes from `begin` to `end`, as they are.
  void copy(std::string_view file, std::size_t begin, std::size_t end) {
    if (begin == end) return;
    const bool joins = !pieces_.empty() && pieces_.back().linear &&
                       pieces_.back().source + pieces_.back().length == begin &&
                       pieces_.back().decoded + pieces_.back().length == text_.size();
    if (!joins) add(begin, 0, true);
    pieces_.back().length += static_cast<std::uint32_t>(end - begin);
    text_ += file.substr(begin, end - begin);
  }

  // Bytes that stand for `decoded` together.
  void unit(std::size_t begin, std::size_t end, std::string_view decoded) {
    add(begin, end - begin, false);
    text_ += decoded;
  }

  [[nodiscard]] bool empty() const { return text_.empty(); }

  // The scalar in `whole`, whose text would begin at `first` if it had one.
  YamlEvent event(Span whole, ScalarStyle style, std::size_t first) {
    if (pieces_.empty()) add(first, 0, true);
    YamlEvent result;
    result.kind = YamlEvent::Kind::scalar;
    result.span = whole;
    result.style = style;
    result.text = std::move(text_);
    result.embedded = Embedded(whole, std::move(pieces_));
    return result;
  }

 private:
  void add(std::size_t begin, std::size_t length, bool linear) {
    pieces_.push_back({static_cast<std::uint32_t>(text_.size()), static_cast<std::uint32_t>(begin),
                       static_cast<std::uint32_t>(length), linear});
  }

  std::string text_;
  std::vector<Embedded::Piece> pieces_;
};

// --- quotes ---------------------------------------------------------------------------------------------------------

bool YamlScanner::quoted(int parent) {
  const std::size_t begin = pos_;
  const char quote = here();
  ++pos_;
  Decoded out;
  const std::size_t reported = reports_.size();
  if (!quoted_body(parent, quote, out)) {
    reports_.resize(reported);
    return unclosed_quote(begin);
  }
  ++pos_;
  const auto style = quote == '"' ? ScalarStyle::double_quoted : ScalarStyle::single_quoted;
  push(out.event(span(begin, pos_), style, begin + 1));
  return true;
}

// Up to the closing quote; false when there is none in this block.
bool YamlScanner::quoted_body(int parent, char quote, Decoded& out) {
  while (!done()) {
    const std::size_t begin = pos_;
    if (here() == quote) {
      if (quote == '"' || at(pos_ + 1) != '\'') return true;
      pos_ += 2;
      out.unit(begin, pos_, "'");
    } else if (here() == '\\' && quote == '"') {
      const bool joins_lines = break_at(pos_ + 1);
      if (!joins_lines) {
        escape(out);
      } else {
        ++pos_;
        if (!quoted_break(parent, quote, out, true)) return false;
      }
    } else if (space_or_break_at(pos_)) {
      while (blank_at(pos_)) ++pos_;
      if (!break_at(pos_)) {
        out.copy(text_, begin, pos_);
      } else if (!quoted_break(parent, quote, out, false)) {
        return false;
      }
    } else {
      while (!done() && here() != quote && here() != '\\' && !space_or_break_at(pos_)) ++pos_;
      if (pos_ == begin) ++pos_;  // a backslash in single quotes
      out.copy(text_, begin, pos_);
    }
  }
  return false;
}

// A line end inside quotes is a space, or as many line feeds as blank lines follow; a backslash before it makes it nothing.
bool YamlScanner::quoted_break(int parent, char quote, Decoded& out, bool escaped) {
  const bool starts = out.empty();
  const std::size_t first = pos_;
  skip_break();
  const std::size_t first_end = pos_;
  bool blank_lines = false;
  while (!done()) {
    if (marker_at(pos_, "---") || marker_at(pos_, "...")) return false;
    const std::size_t line = pos_;
    while (here() == ' ') ++pos_;
    const int column = static_cast<int>(pos_ - line);
    while (blank_at(pos_)) ++pos_;
    if (done()) return false;
    if (!break_at(pos_)) {
      if (column <= parent) return false;
      const bool ends = here() == quote && (quote == '"' || at(pos_ + 1) != '\'');
      if (blank_lines && (starts || ends)) {
        report(Code::blank_edge_in_quotes, span(first, first), "blank lines at the edge of a text in quotes",
               "delete them; YAML readers differ about them, and in double quotes a line feed is written \\n");
      }
      if (!blank_lines && !escaped) out.unit(first, first_end, " ");
      return true;
    }
    const std::size_t begin = pos_;
    skip_break();
    out.unit(begin, pos_, "\n");
    blank_lines = true;
  }
  return false;
}

// A backslash in double quotes, not before a line end.
void YamlScanner::escape(Decoded& out) {
  const std::size_t begin = pos_;
  pos_ += 2;
  const std::optional<char32_t> point = escaped(text_[begin + 1]);
  const Span where = span(begin, pos_);
  if (!point) {
    report(Code::bad_escape, where, fmt::format("'{}' is no escape", words(where)),
           "a backslash in double quotes is written twice; in single quotes it is an ordinary character");
  } else if (text_[begin + 1] == '_') {
    report(Code::bad_escape, where, "YAML readers differ about the escape '\\_'", "write '\\u00a0'");
  } else if ((*point < 0x20 && *point != '\t' && *point != '\n') || (*point >= 0x7F && *point < 0xA0)) {
    report(Code::control_escape, where, fmt::format("'{}' stands for a control character", words(where)),
           "leave it out; where a backslash is meant, it is written twice in double quotes");
  }
  out.unit(begin, pos_, utf8(point.value_or('?')));
}

// What the escape with this letter stands for; takes the digits behind it, or the rest of the letter's bytes.
std::optional<char32_t> YamlScanner::escaped(char letter) {
  constexpr std::string_view letters = "0abt\tnvfre \"/\\N_LP";
  constexpr char32_t points[] = {0, 7, 8, 9, 9, 10, 11, 12, 13, 27, ' ', '"', '/', '\\', 0x85, 0xA0, 0x2028, 0x2029};
  static_assert(std::size(points) == letters.size());
  const std::size_t digits = letter == 'x' ? 2 : letter == 'u' ? 4 : letter == 'U' ? 8 : 0;
  if (digits == 0) {
    const std::size_t index = letters.find(letter);
    if (index != std::string_view::npos) return points[index];
    pos_ += code_point_at(text_, pos_ - 1).length - 1;
    return std::nullopt;
  }
  char32_t point = 0;
  for (std::size_t i = 0; i < digits; ++i, ++pos_) {
    const int digit = hex_digit(here());
    if (digit < 0) return std::nullopt;
    point = point * 16 + static_cast<char32_t>(digit);
  }
  const bool surrogate = point >= 0xD800 && point <= 0xDFFF;
  return point > 0x10FFFF || surrogate ? std::nullopt : std::optional(point);
}

bool YamlScanner::unclosed_quote(std::size_t quote) {
  report(Code::unclosed_quote, span(quote, quote + 1), "this quote is not closed",
         fmt::format("close it with {}; lines of a text in quotes stand deeper than its key", text_[quote]));
  pos_ = stopped_ ? pos_ : quote;
  return false;
}

// --- blocks of text -------------------------------------------------------------------------------------------------

bool YamlScanner::block_scalar(int parent) {
  const std::size_t begin = pos_;
  const bool folded = here() == '>';
  BlockHead head;
  if (!block_head(head)) return false;
  const std::size_t head_end = pos_;
  const int indent = head.indent > 0 ? std::max(parent, 0) + head.indent : block_indent(parent);
  const BlockText text = block_lines(indent);
  Decoded out;
  const std::size_t end = block_text(text, folded, head.chomp, out);
  pos_ = text.empty() ? line_end(head_end) : line_end(text.back().end);
  if (end == 0 && head.indent > 0) {
    refuse_block_head(begin);
  } else if (end == 0) {
    report(Code::empty_value, span(begin, begin + 1), fmt::format("no text stands below this '{}'", text_[begin]),
           "write the text in the next line, deeper than its key");
  }
  const std::size_t scalar_end = end == 0 ? line_end(begin) : end;
  push(out.event(span(begin, scalar_end), folded ? ScalarStyle::folded : ScalarStyle::literal, scalar_end));
  return true;
}

// "|", ">-", "|2+": a sign for the line ends at the close and the width of the indentation, each at most once.
bool YamlScanner::block_head(BlockHead& head) {
  const std::size_t begin = pos_;
  ++pos_;
  for (int i = 0; i < 2; ++i) {
    if ((here() == '+' || here() == '-') && head.chomp == ' ') head.chomp = text_[pos_++];
    if (here() >= '1' && here() <= '9' && head.indent == 0) head.indent = text_[pos_++] - '0';
  }
  const std::size_t end = pos_;
  skip_blanks();
  if (here() == '#' && pos_ > end) skip_comment();
  if (!break_at(pos_)) {
    refuse_block_head(begin);
  } else if (text_[begin] == '>' && head.chomp == '+') {
    report(Code::block_header, span(begin, end), "YAML readers differ about '>+'",
           "write '>', or '|+' where the blank lines at the end matter");
  } else {
    return true;
  }
  return false;
}

void YamlScanner::refuse_block_head(std::size_t begin) {
  const std::string line = rest_of_line(begin);
  const char sign = text_[begin];
  const std::string hint =
      sign == '>' ? "a comparison is written in words, 'over', 'under', 'at least', 'at most', behind what it is about"
                  : "begin the text in the next line, or put it in quotes";
  report(Code::block_header, span(begin, begin + line.size()),
         fmt::format("a value that begins with '{}' is a block of text, which stands in the lines below", sign), hint);
}

// The column of the first line of text, which every other line shares; `parent` + 1 when no text follows.
int YamlScanner::block_indent(int parent) {
  for (std::size_t line = next_line(pos_); line < text_.size(); line = next_line(line)) {
    std::size_t content = line;
    while (at(content) == ' ') ++content;
    if (break_at(content)) continue;
    const int column = static_cast<int>(content - line);
    const bool outside = column <= parent || marker_at(line, "---") || marker_at(line, "...");
    return outside ? parent + 1 : column;
  }
  return parent + 1;
}

// The lines below `pos_` that stand in column `indent` or deeper, and the blank ones among and behind them.
YamlScanner::BlockText YamlScanner::block_lines(int indent) {
  BlockText result;
  for (std::size_t line = next_line(pos_); line < text_.size(); line = next_line(line)) {
    std::size_t content = line;
    while (at(content) == ' ' && static_cast<int>(content - line) < indent) ++content;
    const bool outside = static_cast<int>(content - line) < indent && !break_at(content);
    if (outside || marker_at(line, "---") || marker_at(line, "...")) break;
    const std::size_t end = line_end(content);
    if (end > content && text_.find_first_not_of(' ', content) >= end) {
      report(Code::block_indentation, span(content, end),
             "a blank line holds more spaces than its text block stands in", "delete the spaces at its end");
    }
    const std::size_t tab = text_.substr(content, end - content).find('\t');
    if (tab != std::string_view::npos) report_tab(content + tab);
    result.push_back({content, end});
  }
  return result;
}

// Gives the end of the last line that is not blank; 0 when there is none.
std::size_t YamlScanner::block_text(const BlockText& lines, bool folded, char chomp, Decoded& out) const {
  std::size_t end = 0;
  bool deeper_before = false;
  std::vector<std::size_t> breaks;  // since the last text; its own first
  const auto feed = [&](std::size_t at_break) {
    if (next_line(at_break) > at_break) out.unit(at_break, next_line(at_break), "\n");
  };
  for (const BlockLine& line : lines) {
    if (line.begin < line.end) {
      const bool deeper = text_[line.begin] == ' ';
      const bool joins = folded && end > 0 && !deeper && !deeper_before;
      if (joins && breaks.size() == 1) out.unit(breaks[0], next_line(breaks[0]), " ");
      for (std::size_t i = joins ? 1 : 0; i < breaks.size(); ++i) feed(breaks[i]);
      breaks.clear();
      out.copy(text_, line.begin, line.end);
      end = line.end;
      deeper_before = deeper;
    }
    breaks.push_back(line.end);
  }
  const std::size_t kept = chomp == '+' ? breaks.size() : chomp == '-' || end == 0 ? 0 : 1;
  for (std::size_t i = 0; i < kept; ++i) feed(breaks[i]);
  return end;
}

// --- without quotes -------------------------------------------------------------------------------------------------

// Reads up to what ends the text: a break, ' #', ': ', and in flow a comma or a bracket; `pos_` is there then.
YamlScanner::Plain YamlScanner::plain(bool in_flow) {
  constexpr std::string_view flow_marks = ",[]{}";
  const auto flow_mark = [&](std::size_t i) {
    return in_flow && flow_marks.find(at(i)) != std::string_view::npos && i < text_.size();
  };
  Plain result{pos_, pos_};
  bool asked = false;
  for (; !break_at(pos_) && !flow_mark(pos_); ++pos_) {
    const char c = here();
    if (c == ':' && (space_or_break_at(pos_ + 1) || flow_mark(pos_ + 1))) break;
    if (c == '#' && blank_at(pos_ - 1)) break;
    if (c == '?' && in_flow && !asked) {
      report(Code::question_in_flow_text, span(pos_, pos_ + 1), "a '?' in a text inside brackets needs quotes",
             "put the text in quotes");
      asked = true;
    }
    if (c == '\t') report_tab(pos_);
    if (!blank_at(pos_)) result.end = pos_ + 1;
  }
  return result;
}

void YamlScanner::push_plain(Plain text) {
  YamlEvent event;
  event.kind = YamlEvent::Kind::scalar;
  event.span = span(text.begin, text.end);
  event.text = std::string(words(event.span));
  event.embedded = Embedded(event.span);
  push(std::move(event));
}

bool YamlScanner::plain_value(bool in_flow) {
  if (!may_begin_text(in_flow)) return false;
  const Plain text = plain(in_flow);
  const Span where = span(text.begin, text.end);
  if (in_flow && (here() == '[' || here() == '{')) {
    report(Code::bracket_in_flow_text, span(pos_, pos_ + 1),
           fmt::format("a '{}' in a text inside brackets needs quotes", here()), "put the text in quotes");
    return false;
  }
  check_look_alikes(where);
  push_plain(text);
  check_null(where);
  if (in_flow) return true;
  if (here() == ':') {
    report(Code::colon_in_text, span(pos_, pos_ + 1), "a colon in a text without quotes",
           "put the text in quotes: " + in_quotes(rest_of_line(text.begin)));
    return false;
  }
  check_comment_cut(where);
  skip_comment();
  return true;
}

}  // namespace stringline
