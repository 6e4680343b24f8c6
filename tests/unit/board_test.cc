// Where an open visit stands, and the arithmetic of due days at its limits.
#include "engine/book/board.h"

#include <catch2/catch.hpp>

#include "tests/support/shop.h"

using namespace stringline;

namespace {

const Date monday = *parse_date("2026-08-10");

BoardRow due(int in_days, int minutes, int wait_hours = 0) {
  BoardRow row;
  row.due = add_days(monday, in_days);
  row.minutes = Ratio(minutes);
  row.wait_low = Ratio(wait_hours);
  row.wait_high = Ratio(wait_hours);
  return row;
}

// One visit by itself.
BoardRow alone(int in_days, int minutes, int wait_hours = 0) {
  std::vector<BoardRow> rows{due(in_days, minutes, wait_hours)};
  count_days(rows, monday);
  return rows.front();
}

const std::string house = R"(house: nook
order: [look, bridge, last]
packages: {setup: {label: set-up, covers: [look, bridge, last], except: [cut], price: 80.00}}
)";
const std::string profile = R"(profile: box
facts: {scale: 648 mm, frets: 22, body_joint: 16, tuning: [E4, B3, G3, D3, A2, E2]}
readings:
  body: {is: [sound, cracked], of: the body}
  humidity: {is: humidity, with: hygrometer, read_to: 1 %RH}
  height: {is: length, of: the bridge, with: rule, read_to: 0.1 mm}
targets:
  height: {phase: bridge, range: 5 .. 6 mm, low: lift, high: cut}
gates:
  dry: {open_when: humidity over 40 %RH, holds: visit, do: [wet]}
stops:
  crack: {when: body is cracked}
jobs:
  cut: {label: cut the bridge, minutes: 30, needs_yes: true, sets: height}
  lift: {label: lift the bridge, minutes: 20, wait: 12 .. 24 h, sets: height}
  wet: {label: bring it to the room, phase: look, wait: 48 h}
)";

BoardRow stands(const std::string& log, const std::string& today = "2026-08-10") {
  const auto shop = open_shop({profile}, "visit: v1\nprofile: box\ninstrument: {id: B-1}\nlog:\n" + log, house);
  INFO(shop->told());
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  return board_row(*shop->program, judgement, make_plan(*shop->program, judgement), *parse_date(today));
}

std::string read(const std::string& inside) { return "  - date: 2026-08-01\n    read: {" + inside + "}\n"; }
std::string sound(const std::string& height) { return read("body: sound, humidity: 45 %RH, height: " + height); }

}  // namespace

TEST_CASE("a day holds six bench hours, and today and the due day count whole") {
  CHECK_FALSE(alone(0, 360).too_late);
  CHECK(alone(0, 361).too_late);
  CHECK_FALSE(alone(2, 1080).too_late);
  CHECK(alone(2, 1081).too_late);
  CHECK_FALSE(alone(0, 0).too_late);
}

TEST_CASE("the least of the waiting hours takes its days too") {
  CHECK_FALSE(alone(1, 360, 24).too_late);
  CHECK(alone(1, 361, 24).too_late);
  CHECK(alone(1, 360, 25).too_late);
}

TEST_CASE("an overdue visit can not make it, whatever is left of it") {
  CHECK(alone(-1, 0).too_late);
  CHECK(alone(-1, 0).days == -1);
}

TEST_CASE("in turn, what is due before takes its hours first") {
  std::vector<BoardRow> rows{due(0, 200), due(1, 520), due(1, 1), due(2, 0)};
  count_days(rows, monday);
  CHECK_FALSE(rows[1].too_late_in_turn);  // 720 minutes in two days
  CHECK(rows[2].too_late_in_turn);        // 721
  CHECK_FALSE(rows[2].too_late);
  CHECK_FALSE(rows[3].too_late_in_turn);  // nothing is left to do at the bench
}

TEST_CASE("a visit without a due day is never late") {
  std::vector<BoardRow> rows{BoardRow{}};
  rows.front().minutes = Ratio(100000);
  count_days(rows, monday);
  CHECK_FALSE(rows.front().days);
  CHECK_FALSE(rows.front().too_late);
}

TEST_CASE("each state is told with what it hangs on") {
  const BoardRow stopped = stands(read("body: cracked, humidity: 45 %RH, height: 4 mm"));
  CHECK(stopped.state == VisitState::stopped);
  CHECK(stopped.what == "crack");

  const BoardRow held = stands(read("body: sound, humidity: 30 %RH, height: 4 mm"));
  CHECK(held.state == VisitState::held);
  CHECK(held.what == "dry");
  CHECK(held.wait_low == Ratio(48));
  CHECK(held.untimed == 1);
  CHECK(held.can_be_done_now);

  const BoardRow ready = stands(sound("4 mm"));
  CHECK(ready.state == VisitState::ready);
  CHECK(ready.what == "lift the bridge");
  CHECK(ready.minutes == Ratio(20));
  CHECK(ready.wait_low == Ratio(12));
  CHECK(ready.wait_high == Ratio(24));

  const BoardRow yes = stands(sound("7 mm"));
  CHECK(yes.state == VisitState::needs_yes);
  CHECK(yes.what == "cut the bridge");
  CHECK(yes.minutes == Ratio(30));
  CHECK_FALSE(yes.can_be_done_now);

  const BoardRow agreed = stands(sound("7 mm") + "  - agreed: cut\n");
  CHECK(agreed.state == VisitState::ready);

  CHECK(stands(read("body: sound, height: 5.5 mm")).state == VisitState::needs_reading);
  CHECK(stands(sound("5.5 mm")).state == VisitState::done);
}

TEST_CASE("a wait lasts until its day, or until work goes on") {
  const std::string waits = sound("4 mm") + "  - waiting: {for: glue, until: 2026-08-12}\n";
  CHECK(stands(waits, "2026-08-11").state == VisitState::waiting);
  CHECK(stands(waits, "2026-08-11").what == "glue, until 2026-08-12");
  CHECK_FALSE(stands(waits, "2026-08-11").can_be_done_now);
  const BoardRow over = stands(waits, "2026-08-12");
  CHECK(over.state == VisitState::ready);
  CHECK(over.overdue_wait == "glue, since 2026-08-12");
  CHECK(stands(waits + "  - note: the owner called\n", "2026-08-11").state == VisitState::waiting);
  CHECK(stands(waits + "  - read: {height: 4 mm}\n", "2026-08-11").state == VisitState::ready);
  CHECK(stands(waits + "  - strike: {entry: 2, reason: another ticket}\n", "2026-08-11").state == VisitState::ready);
}

TEST_CASE("the house's status is its worst file's, else whether anything can be done") {
  Board empty;
  CHECK(status_of(empty) == 0);
  BoardRow row;
  empty.rows = {row};
  CHECK(status_of(empty) == 0);
  row.state = VisitState::needs_yes;
  empty.rows.push_back(row);
  CHECK(status_of(empty) == 4);
  row.can_be_done_now = true;
  empty.rows.push_back(row);
  CHECK(status_of(empty) == 1);
  row.state = VisitState::mistakes;
  empty.rows.push_back(row);
  CHECK(status_of(empty) == 3);
}
