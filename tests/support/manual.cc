#include "tests/support/manual.h"

#include <algorithm>
#include <set>
#include <sstream>

namespace stringline::test {
namespace {

std::string trimmed(std::string_view text) {
  const std::size_t begin = text.find_first_not_of(' ');
  if (begin == std::string_view::npos) return {};
  return std::string(text.substr(begin, text.find_last_not_of(' ') - begin + 1));
}

Cells cells_of(std::string_view line) {
  Cells cells;
  std::size_t at = 1;
  for (std::size_t bar = line.find('|', at); bar != std::string_view::npos; bar = line.find('|', at)) {
    cells.push_back(trimmed(line.substr(at, bar - at)));
    at = bar + 1;
  }
  return cells;
}

bool is_table_line(const std::string& line) { return !line.empty() && line.front() == '|'; }

// "## 7. Axes, members, groups" -> "7-axes-members-groups", as pages that show Markdown name it.
std::string slug(std::string_view heading) {
  std::string text;
  for (const char c : trimmed(heading.substr(heading.find_first_not_of('#')))) {
    const bool upper = c >= 'A' && c <= 'Z';
    const bool kept = upper || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    if (c == ' ') text += '-';
    if (kept) text += upper ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return text;
}

}  // namespace

Manual::Manual(const std::string& text) {
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines_.push_back(line);
}

std::vector<Cells> Manual::table(const std::string& mark) const {
  auto line = std::find(lines_.begin(), lines_.end(), "<!-- " + mark + " -->");
  std::vector<Cells> rows;
  if (line == lines_.end()) return rows;
  for (++line; line != lines_.end() && is_table_line(*line); ++line) rows.push_back(cells_of(*line));
  constexpr std::ptrdiff_t head = 2;  // the titles, and the rule under them
  rows.erase(rows.begin(), rows.begin() + std::min(head, static_cast<std::ptrdiff_t>(rows.size())));
  return rows;
}

std::string Manual::paragraph(const std::string& mark) const {
  auto line = std::find(lines_.begin(), lines_.end(), "<!-- " + mark + " -->");
  std::string text;
  if (line == lines_.end()) return text;
  for (++line; line != lines_.end() && !line->empty(); ++line) text += *line + "\n";
  return text;
}

std::vector<Example> Manual::examples() const {
  std::vector<Example> examples;
  bool inside = false;
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    const std::string& line = lines_[i];
    if (line == "```yaml") {
      inside = true;
      const std::string next = i + 1 < lines_.size() ? lines_[i + 1] : std::string();
      examples.push_back({i + 2, {}, next.substr(0, next.find(':'))});
    } else if (inside && line == "```") {
      inside = false;
    } else if (inside) {
      examples.back().text += line + "\n";
    }
  }
  return examples;
}

std::vector<Quote> Manual::quotes() const {
  constexpr std::string_view mark = "<!-- quote: ";
  std::vector<Quote> quotes;
  for (std::size_t i = 0; i + 1 < lines_.size(); ++i) {
    const std::string& line = lines_[i];
    if (line.compare(0, mark.size(), mark) != 0 || lines_[i + 1].compare(0, 3, "```") != 0) continue;
    quotes.push_back({i + 2, line.substr(mark.size(), line.find(" -->") - mark.size()), {}});
    for (i += 2; i < lines_.size() && lines_[i] != "```"; ++i) quotes.back().text += lines_[i] + "\n";
  }
  return quotes;
}

std::vector<std::string> Manual::dead_links() const {
  std::set<std::string> headings;
  for (const std::string& line : lines_) {
    if (!line.empty() && line.front() == '#') headings.insert(slug(line));
  }
  std::vector<std::string> dead;
  for (const std::string& line : lines_) {
    for (std::size_t at = line.find("](#"); at != std::string::npos; at = line.find("](#", at + 1)) {
      const std::string anchor = line.substr(at + 3, line.find(')', at) - at - 3);
      if (headings.count(anchor) == 0) dead.push_back(anchor);
    }
  }
  return dead;
}

std::vector<std::string> code_in(std::string_view text) {
  std::vector<std::string> found;
  for (std::size_t open = text.find('`'); open != std::string_view::npos;) {
    const std::size_t close = text.find('`', open + 1);
    if (close == std::string_view::npos) break;
    found.emplace_back(text.substr(open + 1, close - open - 1));
    open = text.find('`', close + 1);
  }
  return found;
}

}  // namespace stringline::test
