// See board_page.h.
#include "engine/paper/board_page.h"

#include <fmt/format.h>

#include "engine/paper/board_parts.h"
#include "engine/paper/dates.h"
#include "engine/paper/html.h"
#include "engine/paper/page_parts.h"

namespace stringline {
namespace {

std::string joined(const std::string& a, const std::string& b) { return a + (a.empty() || b.empty() ? "" : ", ") + b; }

std::vector<std::string> cells(const BoardRow& row, DateForm form) {
  const std::string due = row.due ? shown(*row.due, form) : "no day";
  const std::string wait = wait_text(row);
  const std::string late = in_time(row);
  return {joined(joined(row.visit, row.owner), row.label),
          joined(joined(due, days_text(row)), late.empty() ? "" : "in time: " + late),
          joined(bench_text(row), wait.empty() ? "" : "wait " + wait), state_text(row)};
}

}  // namespace

std::string board_page(const Board& board, const std::string& house) {
  HtmlWriter out;
  out.open("header").leaf("h1", house);
  out.leaf("p", fmt::format("open visits on {}", shown(board.today, board.date_form))).close();
  if (board.rows.empty()) {
    out.leaf("p", "No open visits.");
    return html_page(house + ": open visits", out.take());
  }
  std::vector<std::vector<std::string>> rows;
  for (const BoardRow& row : board.rows) rows.push_back(cells(row, board.date_form));
  out.open("div", {{"class", "board"}});
  page_table(out, {"visit", "due", "bench", "state"}, rows);
  out.close();
  page_entries(out, board_sums(board));
  return html_page(house + ": open visits", out.take());
}

}  // namespace stringline
