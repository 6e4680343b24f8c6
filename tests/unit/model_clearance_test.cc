#include "engine/model/clearance.h"

#include <catch2/catch.hpp>

#include "engine/model/frets.h"

using namespace stringline::model;

namespace {

ClearanceState low_electric() { return {{648.0, 22, 16.0, 0, false}, 0.4, 2.4, 0.2, {}}; }

}  // namespace

TEST_CASE("a fretted string clears the next fret by the slope of its line") {
  ClearanceState straight = low_electric();
  straight.neck_bend = 0.0;
  // Derived: on a straight neck each note has the same share, 1 - 2^(-1/12), of the saddle's height over the next fret.
  for (int fret = 1; fret < 22; ++fret) {
    CHECK(clearance(straight, fret, fret + 1, 0.5) == Approx(2.4 * fret_share(1)));
  }
  CHECK(clearance(straight, 0, 12, 0.5) == Approx((0.4 + 2.4) / 2.0));
}

TEST_CASE("clearance agrees with the gap under a string held at one fret") {
  ClearanceState state = low_electric();
  state.rises = {{9, 0.06}, {14, 0.08}};
  const StringState same{0.4, 2.4, 0.2, 0.0, state.rises};
  for (const auto& [fretted, over] : {std::pair{5, 9}, std::pair{9, 14}, std::pair{14, 20}, std::pair{20, 22}}) {
    const GapRow row = gap_row(state.neck, {Station::fret, double(over), {double(fretted)}}).value();
    CHECK(clearance(state, fretted, over, 0.3) == Approx(gap(row, same, 0.3)));
  }
}

TEST_CASE("a proud fret stops the notes before it, and the work names it") {
  ClearanceState state = low_electric();
  state.rises = {{14, 0.20}};
  const auto stopped = stopped_notes(state, 0.0, 0.5);
  REQUIRE_FALSE(stopped.empty());
  for (const StoppedNote& note : stopped) {
    CHECK(note.fretted < 14);
    CHECK(note.stopped_at == 14);
    CHECK(note.clearance <= 0.0);
  }
  CHECK(stopped.back().fretted == 13);
  CHECK(stopped_notes(low_electric(), 0.0, 0.5).empty());
  // A higher margin stops more.
  CHECK(stopped_notes(state, 0.05, 0.5).size() > stopped.size());
}

TEST_CASE("the lowest clean action leaves just the margin under the note that forbids less") {
  ClearanceState state = low_electric();
  state.rises = {{9, 0.06}, {14, 0.08}};
  const auto lowest = lowest_clean(state, 0.03, 0.5);
  REQUIRE(lowest);
  state.saddle_height = lowest->saddle_height;
  CHECK(clearance(state, lowest->fretted, lowest->stopped_at, 0.5) == Approx(0.03));
  CHECK(lowest->stopped_at == 14);
  CHECK(lowest->fretted == 13);
  for (int fretted = 0; fretted < 22; ++fretted) {
    for (int over = fretted + 1; over <= 22; ++over) CHECK(clearance(state, fretted, over, 0.5) >= 0.03 - 1e-9);
  }
  const GapRow row = gap_row(state.neck, {Station::fret, 12, {}}).value();
  CHECK(lowest->action == Approx(gap(row, {0.4, lowest->saddle_height, 0.2, 0.0, state.rises}, 0.5)));
}

TEST_CASE("fret work lets the action go lower") {
  ClearanceState worn = low_electric();
  worn.rises = {{9, 0.06}, {14, 0.08}};
  const double as_is = lowest_clean(worn, 0.03, 0.5)->action;
  const double spot = lowest_clean(after_spot_level(worn, {9, 14}), 0.03, 0.5)->action;
  const double full = lowest_clean(after_full_level(worn), 0.03, 0.5)->action;
  CHECK(spot < as_is - 0.5);
  CHECK(full == Approx(spot));  // both leave every fret on the line
  const ClearanceState one = after_spot_level(worn, {14});
  CHECK(lowest_clean(one, 0.03, 0.5)->stopped_at == 9);
}

TEST_CASE("a full level goes down to the lowest fret and a spot level to the neighbours") {
  ClearanceState state = low_electric();
  state.rises = {{3, -0.04}, {9, 0.06}, {10, 0.02}};
  const ClearanceState full = after_full_level(state);
  for (int fret = 1; fret <= 22; ++fret) {
    CHECK(fret_top(full, fret, 0.5) - fret_top(low_electric(), fret, 0.5) == Approx(-0.04));
  }
  const ClearanceState spot = after_spot_level(state, {9});
  CHECK(fret_top(spot, 9, 0.5) - fret_top(low_electric(), 9, 0.5) == Approx(0.02));
  CHECK(fret_top(spot, 3, 0.5) == fret_top(state, 3, 0.5));
  const ClearanceState untouched = after_spot_level(state, {3});  // low already: nothing is raised
  CHECK(fret_top(untouched, 3, 0.5) == fret_top(state, 3, 0.5));
}

TEST_CASE("relief asks for more action at the first frets, back-bow too") {
  ClearanceState straight = low_electric();
  straight.neck_bend = 0.0;
  ClearanceState bowed = low_electric();
  bowed.neck_bend = 0.6;
  ClearanceState back = low_electric();
  back.neck_bend = -0.2;
  const double margin = 0.05;
  CHECK(lowest_clean(back, margin, 0.0)->saddle_height > lowest_clean(straight, margin, 0.0)->saddle_height);
  CHECK(lowest_clean(bowed, margin, 0.0)->saddle_height > lowest_clean(straight, margin, 0.0)->saddle_height);
  // Back-bow stops the low frets, too much relief the notes up the neck.
  CHECK(lowest_clean(back, margin, 0.0)->fretted < 5);
  CHECK(lowest_clean(bowed, margin, 0.0)->fretted > 10);
}

TEST_CASE("over phi the lowest action is an interval that holds every phi between") {
  ClearanceState state = low_electric();
  state.neck_bend = 0.4;
  const Range range = lowest_clean_action(state, 0.05, {0.0, 1.0}).value();
  double least = 1e9, most = -1e9;
  for (int i = 0; i <= 200; ++i) {
    const double action = lowest_clean(state, 0.05, i / 200.0)->action;
    least = std::min(least, action);
    most = std::max(most, action);
  }
  CHECK(range.lo == Approx(least).margin(1e-3));
  CHECK(range.lo <= least + 1e-9);
  CHECK(range.hi == Approx(most).margin(1e-9));
}

TEST_CASE("where nothing lies past the note there is no limit to find") {
  ClearanceState state = low_electric();
  CHECK_FALSE(lowest_clean(state, 0.0, 0.5, 23));
  state.neck.frets = 0;
  CHECK_FALSE(lowest_clean(state, 0.0, 0.5));
  CHECK_FALSE(lowest_clean_action(state, 0.0, {0.0, 1.0}));
}

TEST_CASE("a short string is judged from its own start") {
  ClearanceState drone = low_electric();
  drone.neck.first_fret = 5;
  drone.rises = {{3, 0.5}};  // before its start: not its business
  CHECK(stopped_notes(drone, 0.0, 0.5).empty());
  drone.rises = {{7, 0.9}};
  REQUIRE_FALSE(stopped_notes(drone, 0.0, 0.5).empty());
  CHECK(stopped_notes(drone, 0.0, 0.5).front().fretted == 5);  // its open note
}
