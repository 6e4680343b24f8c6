// All open visits of a house by due date: where each stands, what is left of it, and whether it can be done in time.
//
// Order: due date, those without one last, then the visit's id. A visit with mistakes is a line that says so.
// Bench minutes are those of the planned job lines, jobs that wait for a yes included; what may follow from a reading is not
// known yet and not counted. In time by simple arithmetic alone: 6 bench hours a day, every day from today to the due day
// counted whole, days off not known. A visit can not make it when it is overdue, or when its own minutes and the least of its
// waiting hours (24 to a day) need more; in turn it comes too late when all that is due no later, done first, needs more.
// A wait in the log ends with its day, or with the next entry that is more than a note.
// Tested by tests/unit/board_test.cc and the golden cases of `board`.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/book/house_visits.h"
#include "engine/plan/plan.h"

namespace stringline {

inline constexpr std::int64_t bench_hours_a_day = 6;  // common practice, no source

enum class VisitState : std::uint8_t {
  mistakes,
  stopped,
  held,
  waiting,
  ready,
  needs_yes,
  needs_reading,
  undecided,
  done
};
inline constexpr std::size_t visit_states = 9;
[[nodiscard]] const char* to_text(VisitState state);  // "waiting for a yes"

struct BoardRow {
  std::string path;
  std::string visit;
  std::string owner;  // may be empty, as may
  std::string label;  // of the instrument
  std::optional<Date> due;
  VisitState state = VisitState::done;
  std::string what;              // which stop, gate, jobs, readings; the first line of work; the first mistake
  std::vector<std::string> yes;  // jobs that wait for one, in every state
  std::string overdue_wait;      // what should have come by now
  Ratio minutes;                 // at the bench
  int untimed = 0;               // planned jobs whose profile gives no minutes
  Ratio wait_low;                // hours
  Ratio wait_high;
  std::optional<std::int64_t> days;  // to the due day; below zero: overdue
  bool too_late = false;             // by itself
  bool too_late_in_turn = false;
  bool can_be_done_now = false;  // something
};

struct Board {
  Date today;
  DateForm date_form = DateForm::iso;
  std::vector<BoardRow> rows;
  std::array<std::size_t, visit_states> count{};
  Ratio minutes;
};

// What a plan and a log say of one visit; for tests.
[[nodiscard]] BoardRow board_row(const Program& program, const Judgement& judgement, const Plan& plan, Date today);
// Sets `days` and who comes too late, in sorted rows.
void count_days(std::vector<BoardRow>& rows, Date today);

[[nodiscard]] Board board(HouseVisits& visits, Date today, const Sources& sources, const Tell& tell = {});
// 3 where a visit has mistakes, else 1 where something can be done now, else 4 where anything is open, else 0.
[[nodiscard]] int status_of(const Board& board);

}  // namespace stringline
