#include "engine/diag/render.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <utility>
#include <vector>

namespace stringline {
namespace {

constexpr std::size_t excerpt_columns = 100;  // a longer line is cut around its caret
constexpr std::size_t lead_columns = 40;      // what is kept to the left of the caret then
constexpr std::size_t gutter_digits = 4;

// One code point and its bytes. A byte that is no UTF-8 stands alone, with no code point.
struct Glyph {
  std::string_view bytes;
  char32_t point = 0;
  bool valid = true;
};

constexpr bool continues(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

Glyph next_glyph(std::string_view text) {
  const auto lead = static_cast<unsigned char>(text.front());
  if (lead < 0x80) return {text.substr(0, 1), lead, true};
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < length) return {text.substr(0, 1), 0, false};
  char32_t point = lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if (!continues(text[i])) return {text.substr(0, 1), 0, false};
    point = (point << 6U) | (static_cast<unsigned char>(text[i]) & 0x3FU);
  }
  return {text.substr(0, length), point, true};
}

struct PointRange {
  char32_t first;
  char32_t last;
};

template <std::size_t N>
bool in_any(char32_t point, const PointRange (&ranges)[N]) {
  return std::any_of(std::begin(ranges), std::end(ranges),
                     [&](const PointRange& range) { return point >= range.first && point <= range.last; });
}

// Characters that act on a terminal or on the order of its text instead of being seen.
bool hidden(char32_t point) {
  static constexpr PointRange ranges[] = {{0x00, 0x1F},     {0x7F, 0x9F},     {0x061C, 0x061C}, {0x200B, 0x200F},
                                          {0x2028, 0x202E}, {0x2060, 0x2069}, {0xFEFF, 0xFEFF}};
  return in_any(point, ranges);
}

// How many cells of a terminal a visible character takes: a guide for carets, not a promise for every font.
std::size_t cells(char32_t point) {
  static constexpr PointRange none[] = {{0x0300, 0x036F}, {0x1AB0, 0x1AFF}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F}};
  static constexpr PointRange two[] = {{0x1100, 0x115F}, {0x2E80, 0xA4CF}, {0xAC00, 0xD7A3},   {0xF900, 0xFAFF},
                                       {0xFE30, 0xFE6F}, {0xFF00, 0xFF60}, {0x1F300, 0x1FAFF}, {0x20000, 0x3FFFD}};
  if (in_any(point, none)) return 0;
  return in_any(point, two) ? 2 : 1;
}

std::string escaped(const Glyph& glyph) {
  if (!glyph.valid) return fmt::format("\\x{:02X}", static_cast<unsigned char>(glyph.bytes.front()));
  const auto point = static_cast<std::uint32_t>(glyph.point);
  return point < 0x100 ? fmt::format("\\x{:02X}", point) : fmt::format("\\u{:04X}", point);
}

std::string shown(const Glyph& glyph) {
  if (glyph.valid && glyph.point == '\t') return "\u2192";
  if (!glyph.valid || hidden(glyph.point)) return escaped(glyph);
  return std::string(glyph.bytes);
}

std::size_t width_of(const Glyph& glyph, const std::string& text) {
  const bool as_itself = glyph.valid && !hidden(glyph.point);
  if (as_itself) return cells(glyph.point);
  return glyph.valid && glyph.point == '\t' ? 1 : text.size();
}

// A line as it is shown, with the cells its marked part takes.
struct Excerpt {
  std::string text;
  std::size_t mark = 0;
  std::size_t marked = 0;
};

struct Cell {
  std::string text;
  std::size_t width;
  bool marked;
};

std::vector<Cell> cells_of(std::string_view line, std::size_t begin, std::size_t end) {
  std::vector<Cell> result;
  for (std::size_t at = 0; at < line.size();) {
    const Glyph glyph = next_glyph(line.substr(at));
    std::string text = shown(glyph);
    const std::size_t width = width_of(glyph, text);
    result.push_back({std::move(text), width, at + glyph.bytes.size() > begin && at < end});
    at += glyph.bytes.size();
  }
  return result;
}

// `begin` and `end` are bytes of `line`; both may be its size.
Excerpt cut(std::string_view line, std::size_t begin, std::size_t end) {
  constexpr std::size_t near = 1000;  // bytes to each side; a line may be a mebibyte
  std::size_t skipped = begin > near ? begin - near : 0;
  while (skipped < begin && (static_cast<unsigned char>(line[skipped]) & 0xC0U) == 0x80U) ++skipped;
  line = line.substr(skipped, 2 * near);
  begin -= skipped;
  end -= skipped;
  const std::vector<Cell> all = cells_of(line, begin, end);
  std::size_t total = 0;
  for (const Cell& cell : all) total += cell.width;
  const auto first_marked = std::find_if(all.begin(), all.end(), [](const Cell& cell) { return cell.marked; });
  std::size_t from = 0;
  if (total > excerpt_columns) {
    const auto index = static_cast<std::size_t>(first_marked - all.begin());
    from = index > lead_columns ? index - lead_columns : 0;
  }
  Excerpt result;
  std::size_t column = 0;
  if (from > 0) {
    result.text = "...";
    column = 3;
  }
  result.mark = std::string::npos;
  for (std::size_t i = from; i < all.size(); ++i) {
    if (column + all[i].width > excerpt_columns) {
      result.text += "...";
      break;
    }
    if (all[i].marked) {
      result.mark = std::min(result.mark, column);
      result.marked = column + all[i].width - result.mark;
    }
    result.text += all[i].text;
    column += all[i].width;
  }
  if (result.mark == std::string::npos) result.mark = column;
  return result;
}

const char* level_of(Severity severity) {
  switch (severity) {
    case Severity::error: return "error";
    case Severity::warning: return "warning";
    case Severity::note: return "note";
  }
  return "";
}

const char* tint_of(Severity severity) {
  switch (severity) {
    case Severity::error: return "1;31";
    case Severity::warning: return "1;35";
    case Severity::note: return "1;36";
  }
  return "";
}

class Writer {
 public:
  Writer(const Sources& sources, bool colour) : sources_(sources), colour_(colour) {}

  void write(const Diagnostic& diagnostic) {
    const CodeInfo& code = info(diagnostic.code);
    const std::string level = paint(tint_of(code.severity), level_of(code.severity));
    text_ += fmt::format("{}: {}: {} [{}]\n", paint("1", place(diagnostic.span, sources_)), level,
                         on_one_line(diagnostic.message), code.id);
    excerpt(diagnostic.span, tint_of(code.severity));
    for (const Related& related : diagnostic.related) {
      text_ += fmt::format("   {}: {}\n", place(related.span, sources_), on_one_line(related.label));
      excerpt(related.span, "1;34");
    }
    if (!diagnostic.hint.empty()) {
      text_ += fmt::format("   {} {}\n", paint("1;32", "hint:"), on_one_line(diagnostic.hint));
    }
  }

  [[nodiscard]] std::string take() { return std::move(text_); }

 private:
  void excerpt(Span span, std::string_view tint) {
    const Position position = sources_.position(span.source, span.begin);
    const std::string_view line = sources_.line(span.source, position.line);
    const auto line_begin = static_cast<std::size_t>(line.data() - sources_.text(span.source).data());
    const std::size_t begin =
        std::min<std::size_t>(span.begin - std::min<std::size_t>(span.begin, line_begin), line.size());
    const std::size_t end = std::min<std::size_t>(span.end - std::min<std::size_t>(span.end, line_begin), line.size());
    const Excerpt shown_line = cut(line, begin, std::max(begin + 1, end));
    const std::string carets = "^" + std::string(shown_line.marked > 1 ? shown_line.marked - 1 : 0, '~');
    text_ += fmt::format("{:>{}} | {}\n", position.line, gutter_digits, shown_line.text);
    text_ += fmt::format("{:>{}} | {}{}\n", "", std::max(gutter_digits, std::to_string(position.line).size()),
                         std::string(shown_line.mark, ' '), paint(tint, carets));
  }

  [[nodiscard]] std::string paint(std::string_view tint, std::string_view text) const {
    return colour_ ? fmt::format("\x1b[{}m{}\x1b[0m", tint, text) : std::string(text);
  }

  const Sources& sources_;
  bool colour_;
  std::string text_;
};

nlohmann::ordered_json span_json(Span span, const Sources& sources) {
  const Position begin = sources.position(span.source, span.begin);
  const Position end = sources.position(span.source, std::max(span.begin, span.end));
  return {{"file", sources.path(span.source)},
          {"line", begin.line},
          {"column", begin.column},
          {"end_line", end.line},
          {"end_column", end.column}};
}

nlohmann::ordered_json diagnostic_json(const Diagnostic& diagnostic, const Sources& sources) {
  const CodeInfo& code = info(diagnostic.code);
  nlohmann::ordered_json result = span_json(diagnostic.span, sources);
  result["severity"] = level_of(code.severity);
  result["code"] = code.id;
  result["message"] = diagnostic.message;
  result["hint"] = diagnostic.hint;
  result["related"] = nlohmann::ordered_json::array();
  for (const Related& related : diagnostic.related) {
    nlohmann::ordered_json entry = span_json(related.span, sources);
    entry["label"] = related.label;
    result["related"].push_back(std::move(entry));
  }
  return result;
}

}  // namespace

std::string render(const Diagnostics& diagnostics, const Sources& sources, bool colour) {
  Writer writer(sources, colour);
  for (const Diagnostic& diagnostic : diagnostics.sorted()) writer.write(diagnostic);
  return writer.take();
}

std::string render_json(const Diagnostics& diagnostics, const Sources& sources) {
  nlohmann::ordered_json result = nlohmann::ordered_json::array();
  for (const Diagnostic& diagnostic : diagnostics.sorted()) result.push_back(diagnostic_json(diagnostic, sources));
  return result.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

std::string place(Span span, const Sources& sources) {
  const Position position = sources.position(span.source, span.begin);
  return fmt::format("{}:{}:{}", on_one_line(sources.path(span.source)), position.line, position.column);
}

std::string on_one_line(std::string_view text) {
  std::string result;
  while (!text.empty()) {
    const Glyph glyph = next_glyph(text);
    result += glyph.valid && glyph.point == '\t' ? std::string("\\x09") : shown(glyph);
    text.remove_prefix(glyph.bytes.size());
  }
  return result;
}

std::string printable(std::string_view text) {
  std::string result;
  while (!text.empty()) {
    const Glyph glyph = next_glyph(text);
    const bool visible = glyph.valid && (glyph.point == '\n' || !hidden(glyph.point));
    result += visible ? std::string(glyph.bytes) : escaped(glyph);
    text.remove_prefix(glyph.bytes.size());
  }
  return result;
}

}  // namespace stringline
