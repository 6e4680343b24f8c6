#include "engine/check/order.h"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/check/check.h"
#include "tests/support/read_case.h"

using namespace stringline;

namespace {

const char* const family =
    "profile: guitar\n"
    "facts: {scale: 648 mm, frets: 22, body_joint: 14, tuning: [E4, B3, G3, D3, A2, E2]}\n"
    "readings:\n"
    "  relief: {gap: {at: 7, held: [1, body_joint]}, read_to: 0.025 mm}\n"
    "  nut_gap: {per: string, gap: {at: 1}, read_to: 0.025 mm}\n"
    "  action: {per: side, gap: {at: 12}, read_to: 0.05 mm}\n"
    "  octave_error: {per: string, is: cents, read_to: 1 cents}\n"
    "  looks: {is: [clean, dirty], assume: clean}\n"
    "targets:\n"
    "  relief: {phase: rod, range: 0.10 .. 0.30 mm, low: turn_rod, high: turn_rod}\n"
    "  nut_gap: {phase: nut, range: 0.30 .. 0.50 mm, high: file_slots}\n"
    "  action: {phase: bridge, range: 1.5 .. 2.5 mm, low: set_bridge, high: set_bridge}\n"
    "  octave_error: {phase: octaves, range: 0 +- 2 cents, low: intonate, high: intonate}\n"
    "jobs:\n"
    "  turn_rod: {moves: neck_bend, sets: relief, disturbs: octave_error}\n"
    "  file_slots: {moves: nut_height, sets: nut_gap, disturbs: octave_error}\n"
    "  set_bridge: {moves: saddle_height, sets: action, disturbs: octave_error}\n"
    "  intonate: {moves: saddle_place, sets: octave_error}\n"
    "  wipe: {phase: cleaning, sets: {looks: clean}, disturbs: looks, routine: true}\n";

// "late moves reading, set by early", by phases.
std::vector<std::string> conflicts(const std::string& order) {
  test::ReadCase house("house: mill_street\norder: [" + order + "]\n");
  test::ReadCase read(family);
  REQUIRE(house.house);
  REQUIRE(read.profile);
  const auto program = check({&*house.house, {&*read.profile}, nullptr}, read.diagnostics);
  CAPTURE(read.said());
  REQUIRE(program);
  std::vector<std::string> told;
  for (const OrderConflict& conflict : prove_order(*program)) {
    CHECK(conflict.late_phase > conflict.early_phase);
    std::string line = program->jobs[conflict.late_job].name + " after " + program->jobs[conflict.early_job].name + ":";
    for (const ReadingId reading : conflict.readings) line += " " + program->readings[reading].name;
    told.push_back(line);
  }
  return told;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("the usual order has no conflict: what a later phase moves, an earlier one moves too") {
  CHECK(conflicts("rod, nut, bridge, octaves, cleaning") == Lines{});
  // Each moves what the other sets, so that nut or bridge first is the house's choice (both orders are published).
  CHECK(conflicts("rod, bridge, nut, octaves, cleaning") == Lines{});
}

TEST_CASE("the rod after nut and bridge moves what they set, and neither moves the relief") {
  CHECK(conflicts("nut, bridge, rod, octaves, cleaning") ==
        Lines{"turn_rod after file_slots: nut_gap", "turn_rod after set_bridge: action"});
}

TEST_CASE("octaves first are spoilt by every height after them") {
  CHECK(conflicts("octaves, rod, nut, bridge, cleaning") == Lines{"turn_rod after intonate: octave_error",
                                                                  "file_slots after intonate: octave_error",
                                                                  "set_bridge after intonate: octave_error"});
}

TEST_CASE("a reading without a turn is nobody's to spoil, and a job does not spoil itself") {
  CHECK(conflicts("cleaning, rod, nut, bridge, octaves") == Lines{});
}

TEST_CASE("several profiles of one house make one report for a pair of phases") {
  test::ReadCase house("house: mill_street\norder: [nut, rod, bridge, octaves, cleaning]\n");
  test::ReadCase read(family);
  REQUIRE(house.house);
  REQUIRE(read.profile);
  const auto one = check({&*house.house, {&*read.profile}, nullptr}, read.diagnostics);
  REQUIRE(one);
  Program other = *one;
  other.profile = "ukulele";
  Diagnostics out;
  report_order({&*one, &other}, out);
  REQUIRE(out.list().size() == 1);
  CHECK(out.list().front().code == Code::order_undoes);
  CHECK(out.list().front().message ==
        "'turn_rod' in phase 'rod' moves 'nut_gap', which 'file_slots' sets in phase 'nut' before it; it is read again "
        "at the end (profiles 'guitar' and 'ukulele')");
  CHECK(house.under(out.list().front().span) == "rod");
  CHECK(house.under(out.list().front().related.front().span) == "nut");
}
