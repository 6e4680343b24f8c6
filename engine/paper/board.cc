#include "engine/paper/board.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/diag/render.h"
#include "engine/paper/lines.h"

namespace stringline {
namespace {

constexpr std::size_t label_width = 24;
constexpr std::size_t state_width = 60;
constexpr std::size_t names_at_most = 12;  // of visits that come too late; every line says it too

std::string days_text(const BoardRow& row) {
  if (!row.days) return "";
  if (*row.days == 0) return "today";
  return *row.days > 0 ? fmt::format("in {} d", *row.days) : fmt::format("{} d over", -*row.days);
}

std::string wait_text(const BoardRow& row) {
  if (row.wait_high <= Ratio(0)) return "";
  const std::string low = to_decimal(row.wait_low);
  const std::string high = to_decimal(row.wait_high);
  return low == high ? high + " h" : fmt::format("{} to {} h", low, high);
}

std::string state_text(const BoardRow& row) {
  std::string out = to_text(row.state);
  if (row.state != VisitState::done) out += ": " + row.what;
  if (!row.overdue_wait.empty()) out += fmt::format("; waited for {}", row.overdue_wait);
  if (row.state != VisitState::mistakes) out = shortened(out, state_width);
  if (row.yes.empty() || row.state == VisitState::needs_yes) return out;
  return out + fmt::format("; {} to be agreed", row.yes.size());
}

std::string bench_text(const BoardRow& row) {
  if (row.state == VisitState::mistakes && row.minutes == Ratio(0)) return "";
  return to_decimal(row.minutes) + (row.untimed > 0 ? "+" : "") + " min";
}

std::string in_time(const BoardRow& row) { return row.too_late ? "NO" : row.too_late_in_turn ? "not in turn" : ""; }

void late_text(std::string& out, const Board& board, bool BoardRow::*which, const char* word, const char* say) {
  std::vector<std::string> names;
  for (const BoardRow& row : board.rows) {
    if (row.*which) names.push_back(row.*which && row.days && *row.days < 0 ? row.visit + " (overdue)" : row.visit);
  }
  if (names.empty()) return;
  const std::size_t more = names.size() > names_at_most ? names.size() - names_at_most : 0;
  names.resize(names.size() - more);
  entry(out, word,
        fmt::format("{}: {}{}", say, fmt::join(names, ", "), more > 0 ? fmt::format(" and {} more", more) : ""));
}

void sums(std::string& out, const Board& board) {
  std::vector<std::string> counts;
  for (std::size_t i = 0; i < visit_states; ++i) {
    if (board.count[i] > 0) counts.push_back(fmt::format("{} {}", board.count[i], to_text(static_cast<VisitState>(i))));
  }
  entry(out, "open", fmt::format("{}: {}", board.rows.size(), fmt::join(counts, ", ")));
  const auto days = divide(board.minutes, Ratio(60 * bench_hours_a_day));
  entry(out, "bench",
        fmt::format("{} min as planned, {} days of {} bench hours; what a reading may still ask for is not in it",
                    to_decimal(board.minutes), days ? to_fixed(*days, 1) : "?", bench_hours_a_day));
  late_text(out, board, &BoardRow::too_late, "NO", "can not be ready by the due day");
  late_text(out, board, &BoardRow::too_late_in_turn, "in turn", "too late when all that is due before is done first");
  const auto timed = [](const BoardRow& row) { return row.days.has_value(); };
  if (std::any_of(board.rows.begin(), board.rows.end(), timed))
    entry(out, "counted",
          fmt::format("{} bench hours a day, every day from today to the due day whole; days off are not known",
                      bench_hours_a_day));
  const auto untimed = [](const BoardRow& row) { return row.untimed > 0; };
  if (std::any_of(board.rows.begin(), board.rows.end(), untimed))
    entry(out, "+", "and jobs for which the profile gives no minutes");
}

}  // namespace

namespace {

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
  std::string out = fmt::format("{}, {}\n\n", house, to_text(board.today));
  if (board.rows.empty()) return printable(out + "  no open visits\n");
  std::vector<std::vector<std::string>> lines{{"due", "", "visit", "instrument", "bench", "wait", "in time", "state"}};
  for (const BoardRow& row : board.rows)
    lines.push_back({row.due ? to_text(*row.due) : "-", days_text(row), row.visit, shortened(row.label, label_width),
                     bench_text(row), wait_text(row), in_time(row), state_text(row)});
  table(out, filled_columns(lines), 2);
  out += "\n";
  sums(out, board);
  return printable(out);
}

}  // namespace stringline
