#include "engine/paper/lines.h"

#include <fmt/format.h>

#include <algorithm>

namespace stringline {
namespace {

constexpr std::size_t page_width = 100;
constexpr std::size_t indent = 14;

}  // namespace

void entry(std::string& out, const std::string& word, std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
  std::replace(text.begin(), text.end(), '\n', ' ');
  std::string line = fmt::format("     {:<8} ", word);
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

}  // namespace stringline
