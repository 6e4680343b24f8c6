#include "engine/paper/board.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/diag/render.h"
#include "engine/paper/board_parts.h"
#include "engine/paper/lines.h"

namespace stringline {
namespace {

constexpr std::size_t label_width = 24;
constexpr std::size_t state_width = 60;

// Without the columns that no visit fills.
std::vector<std::vector<std::string>> filled_columns(const std::vector<std::vector<std::string>>& lines) {
  std::vector<std::vector<std::string>> out(lines.size());
  for (std::size_t column = 0; column < lines.front().size(); ++column) {
    const auto fills = [&](const std::vector<std::string>& line) { return !line[column].empty(); };
    if (std::none_of(lines.begin() + 1, lines.end(), fills)) continue;
    for (std::size_t i = 0; i < lines.size(); ++i) out[i].push_back(lines[i][column]);
  }
  return out;
}

}  // namespace

std::string board_text(const Board& board, const std::string& house) {
  std::string out = fmt::format("{}, {}\n\n", folded(house), to_text(board.today));
  if (board.rows.empty()) return printable(out + "  no open visits\n");
  std::vector<std::vector<std::string>> lines{{"due", "", "visit", "instrument", "bench", "wait", "in time", "state"}};
  for (const BoardRow& row : board.rows)
    lines.push_back({row.due ? to_text(*row.due) : "-", days_text(row), on_one_line(row.visit),
                     shortened(row.label, label_width), bench_text(row), wait_text(row), in_time(row),
                     state_text(row, state_width)});
  table(out, filled_columns(lines), 2);
  out += "\n";
  for (const auto& [word, text] : board_sums(board)) entry(out, word, text);
  return printable(out);
}

}  // namespace stringline
