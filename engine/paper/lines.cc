#include "engine/paper/lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace stringline {
namespace {

constexpr std::size_t page_width = 100;

bool starts_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; }

std::size_t width_of(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_character));
}

// `text` after `line`; what does not fit goes on under it, after `indent` blanks.
void wrap(std::string& out, std::string line, std::string text, std::size_t indent) {
  text = folded(std::move(text));
  std::size_t used = line.size();
  std::size_t at = 0;
  bool first = true;
  while (at < text.size()) {
    const std::size_t space = std::min(text.find(' ', at), text.size());
    const std::size_t length = space - at;
    if (!first && used + 1 + length > page_width) {
      out += line + "\n";
      line = std::string(indent, ' ');
      used = indent;
      first = true;
    }
    if (!first) line += ' ';
    used += length + (first ? 0 : 1);
    line += text.substr(at, length);
    first = false;
    at = space + 1;
  }
  while (!line.empty() && line.back() == ' ') line.pop_back();
  out += line + "\n";
}

}  // namespace

std::string folded(std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

void entry(std::string& out, const std::string& word, std::string text) {
  wrap(out, fmt::format("     {:<8} ", word), std::move(text), 14);
}

void numbered(std::string& out, int number, std::string text) {
  wrap(out, fmt::format("{:3}. ", number), std::move(text), 5);
}

void table(std::string& out, std::vector<std::vector<std::string>> rows, std::size_t blanks) {
  for (auto& row : rows) std::transform(row.begin(), row.end(), row.begin(), folded);
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width_of(row[i]));
  }
  for (const auto& row : rows) {
    std::string line(blanks, ' ');
    for (std::size_t i = 0; i < row.size(); ++i) line += row[i] + std::string(widths[i] - width_of(row[i]) + 2, ' ');
    while (!line.empty() && line.back() == ' ') line.pop_back();
    out += line + "\n";
  }
}

std::string shortened(const std::string& text, std::size_t most) {
  if (width_of(text) <= most) return text;
  std::size_t at = 0;
  for (std::size_t left = most - 1; at < text.size(); ++at) {
    if (starts_character(text[at]) && --left == 0) break;
  }
  return text.substr(0, at) + "..";
}

}  // namespace stringline
