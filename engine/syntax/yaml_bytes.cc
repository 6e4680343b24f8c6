#include "engine/syntax/yaml_bytes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <string>

#include "engine/text/limits.h"

namespace stringline {
namespace {

// A file in another encoding, or one full of control characters, says so often enough.
constexpr std::size_t max_reports = 20;

// UTF-16 and UTF-32 show by their mark, or by zero bytes beside the first ASCII character.
std::string_view other_encoding(std::string_view text) {
  const auto begins = [&](std::string_view mark) { return text.starts_with(mark); };
  if (begins(std::string_view("\xFF\xFE\0\0", 4)) || begins(std::string_view("\0\0\xFE\xFF", 4))) return "UTF-32";
  if (begins("\xFF\xFE") || begins("\xFE\xFF")) return "UTF-16";
  if (text.size() < 4) return {};
  const bool zero[4] = {text[0] == 0, text[1] == 0, text[2] == 0, text[3] == 0};
  if ((zero[1] && zero[2] && zero[3]) || (zero[0] && zero[1] && zero[2])) return "UTF-32";
  if ((zero[1] && zero[3]) || (zero[0] && zero[2])) return "UTF-16";
  return {};
}

// Control characters, characters that are none, and line ends that only some readers take for one. Tabs and line feeds pass.
bool refused(char32_t point) {
  if (point == '\t' || point == '\n') return false;
  return point < 0x20 || (point >= 0x7F && point < 0xA0) || point == 0x2028 || point == 0x2029 ||
         (point & 0xFFFEU) == 0xFFFEU;
}

class ByteCheck {
 public:
  ByteCheck(SourceId source, std::string_view text, Diagnostics& out) : source_(source), text_(text), out_(out) {}

  bool run() {
    if (text_.size() > limits::now().file_bytes) {
      report(Code::file_too_large, 0, 0,
             fmt::format("the file holds more than the {} bytes that are read", limits::now().file_bytes),
             "split it: one profile or visit a file" + limits::or_allow_more("file_bytes"));
      return false;
    }
    if (const auto name = other_encoding(text_); !name.empty()) {
      report(Code::wrong_encoding, 0, 0, fmt::format("the file is {}; only UTF-8 is read", name),
             "save it as UTF-8 in the editor");
      return false;
    }
    characters();
    lines();
    return reports_ == 0;
  }

 private:
  void characters() {
    std::size_t at = text_.starts_with(byte_order_mark_utf8) ? byte_order_mark_utf8.size() : 0;
    while (at < text_.size() && reports_ < max_reports) {
      const char c = text_[at];
      if ((c >= 0x20 && c < 0x7F) || c == '\n') {  // nearly all
        ++at;
        continue;
      }
      const CodePoint point = code_point_at(text_, at);
      if (!point.valid) {
        at = invalid(at);
        continue;
      }
      character(point, at);
      at += point.length;
    }
  }

  // A run of bytes that are no UTF-8 is one mistake.
  std::size_t invalid(std::size_t begin) {
    std::size_t end = begin;
    while (end < text_.size() && !code_point_at(text_, end).valid) ++end;
    report(Code::invalid_utf8, begin, end,
           fmt::format("the byte \\x{:02X} is no UTF-8 here", static_cast<unsigned char>(text_[begin])),
           "save the file as UTF-8 in the editor");
    return end;
  }

  void character(CodePoint point, std::size_t at) {
    if (point.value == '\r') {
      if (at + 1 < text_.size() && text_[at + 1] == '\n') return;
      report(Code::lone_carriage_return, at, at + 1, "a carriage return without a line feed ends no line",
             "end lines with a line feed, or with carriage return and line feed");
    } else if (point.value == 0xFEFF) {
      report(Code::byte_order_mark, at, at + point.length, "a byte order mark inside the file",
             "delete it; it is invisible, so retype the characters round it");
    } else if (refused(point.value)) {
      report(Code::control_character, at, at + point.length,
             fmt::format("the character U+{:04X} can not stand in a file", static_cast<std::uint32_t>(point.value)),
             "delete it; it is invisible, so retype the characters round it");
    }
  }

  void lines() {
    std::size_t blank = 0;
    for (std::size_t begin = 0; begin < text_.size() && reports_ < max_reports;) {
      const std::size_t end = std::min(text_.find('\n', begin), text_.size());
      if (end - begin > limits::now().line_bytes) {
        report(Code::line_too_long, begin, begin,
               fmt::format("the line holds {} bytes; at most {} are read", end - begin, limits::now().line_bytes),
               "break it: a map or a list may stand on lines of its own, a long text in a '>' block" +
                   limits::or_allow_more("line_bytes"));
      }
      const std::string_view line = text_.substr(begin, end - begin);
      blank = line.find_first_not_of(" \t\r") == std::string_view::npos ? blank + 1 : 0;
      if (blank == limits::now().blank_lines + 1) {
        report(Code::too_many_blank_lines, begin, begin,
               fmt::format("more blank lines in a row than {}", limits::now().blank_lines),
               "delete them" + limits::or_allow_more("blank_lines"));
      }
      begin = end + 1;
    }
  }

  void report(Code code, std::size_t begin, std::size_t end, std::string message, std::string hint) {
    ++reports_;
    out_.report(code, {source_, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)}, std::move(message),
                std::move(hint));
  }

  SourceId source_;
  std::string_view text_;
  Diagnostics& out_;
  std::size_t reports_ = 0;
};

}  // namespace

CodePoint code_point_at(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[at + i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return {lead, 1, true};
  const std::uint32_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  const CodePoint none{0, 1, false};
  if (lead < 0xC2 || lead > 0xF4 || text.size() - at < length) return none;
  char32_t value = lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return none;
    value = (value << 6U) | (byte(i) & 0x3FU);
  }
  constexpr char32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
  if (value < least[length] || surrogate || value > 0x10FFFF) return none;
  return {value, length, true};
}

std::string utf8(char32_t point) {
  const auto tail = [&](unsigned shift) { return static_cast<char>(0x80U | ((point >> shift) & 0x3FU)); };
  if (point < 0x80) return {static_cast<char>(point)};
  if (point < 0x800) return {static_cast<char>(0xC0U | (point >> 6U)), tail(0)};
  if (point < 0x10000) return {static_cast<char>(0xE0U | (point >> 12U)), tail(6), tail(0)};
  return {static_cast<char>(0xF0U | (point >> 18U)), tail(12), tail(6), tail(0)};
}

bool check_bytes(SourceId source, std::string_view text, Diagnostics& out) {
  return ByteCheck(source, text, out).run();
}

}  // namespace stringline
