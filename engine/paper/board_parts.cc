// See board_parts.h.
#include "engine/paper/board_parts.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/paper/lines.h"

namespace stringline {
namespace {

using Sums = std::vector<std::pair<std::string, std::string>>;

constexpr std::size_t names_at_most = 12;  // of visits that come too late; every line says it too

void add_late(Sums& sums, const Board& board, bool BoardRow::*which, const char* word, const char* say) {
  std::vector<std::string> names;
  for (const BoardRow& row : board.rows) {
    if (row.*which) names.push_back(row.*which && row.days && *row.days < 0 ? row.visit + " (overdue)" : row.visit);
  }
  if (names.empty()) return;
  const std::size_t more = names.size() > names_at_most ? names.size() - names_at_most : 0;
  names.resize(names.size() - more);
  sums.emplace_back(
      word, fmt::format("{}: {}{}", say, fmt::join(names, ", "), more > 0 ? fmt::format(" and {} more", more) : ""));
}

}  // namespace

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

std::string state_text(const BoardRow& row, std::size_t most) {
  std::string out = to_text(row.state);
  if (row.state != VisitState::done) out += ": " + row.what;
  if (!row.overdue_wait.empty()) out += fmt::format("; waited for {}", row.overdue_wait);
  if (most > 0 && row.state != VisitState::mistakes) out = shortened(out, most);
  if (row.yes.empty() || row.state == VisitState::needs_yes) return out;
  return out + fmt::format("; {} to be agreed", row.yes.size());
}

std::string bench_text(const BoardRow& row) {
  if (row.state == VisitState::mistakes && row.minutes == Ratio(0)) return "";
  return to_decimal(row.minutes) + (row.untimed > 0 ? "+" : "") + " min";
}

std::string in_time(const BoardRow& row) { return row.too_late ? "NO" : row.too_late_in_turn ? "not in turn" : ""; }

Sums board_sums(const Board& board) {
  Sums sums;
  std::vector<std::string> counts;
  for (std::size_t i = 0; i < visit_states; ++i) {
    const auto state = static_cast<VisitState>(i);
    const char* with = state == VisitState::mistakes ? "with " : "";
    if (board.count[i] > 0) counts.push_back(fmt::format("{} {}{}", board.count[i], with, to_text(state)));
  }
  sums.emplace_back("open", fmt::format("{}: {}", board.rows.size(), fmt::join(counts, ", ")));
  const auto days = divide(board.minutes, Ratio(60 * bench_hours_a_day));
  sums.emplace_back(
      "bench",
      fmt::format("{} min as planned, {} days of {} bench hours; what a reading may still ask for is not in it",
                  to_decimal(board.minutes), days ? to_fixed(*days, 1) : "?", bench_hours_a_day));
  add_late(sums, board, &BoardRow::too_late, "NO", "can not be ready by the due day");
  add_late(sums, board, &BoardRow::too_late_in_turn, "in turn", "too late when all that is due before is done first");
  const auto timed = [](const BoardRow& row) { return row.days.has_value(); };
  if (std::any_of(board.rows.begin(), board.rows.end(), timed))
    sums.emplace_back(
        "counted",
        fmt::format("{} bench hours a day, every day from today to the due day whole; days off are not known",
                    bench_hours_a_day));
  const auto untimed = [](const BoardRow& row) { return row.untimed > 0; };
  if (std::any_of(board.rows.begin(), board.rows.end(), untimed))
    sums.emplace_back("+", "and jobs for which the profile gives no minutes");
  return sums;
}

}  // namespace stringline
