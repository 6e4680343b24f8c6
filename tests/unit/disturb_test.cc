#include "engine/check/disturb.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/check/check.h"
#include "tests/support/read_case.h"
#include "tests/support/shop.h"

using namespace stringline;

namespace {

// Six strings, the given body joint; relief held at fret 1 and the joint and read at 7, nut gaps open, action open at 12.
std::string guitar(const std::string& joint, const std::string& rest = "") {
  return "profile: guitar\n"
         "facts: {scale: 648 mm, frets: 22, body_joint: " +
         joint + ", tuning: [E4, B3, G3, D3, A2, E2], pickups: [neck, bridge]}\n" +
         "readings:\n"
         "  relief: {gap: {at: 7, held: [1, body_joint]}, with: feeler gauges, read_to: 0.025 mm}\n"
         "  nut_gap: {per: string, gap: {at: 1}, with: feeler gauges, read_to: 0.025 mm}\n"
         "  pressed_gap: {per: string, gap: {at: 1, held: [3]}, with: feeler gauges, read_to: 0.025 mm}\n"
         "  action: {per: side, gap: {at: 12}, with: steel rule, read_to: 0.05 mm}\n"
         "  thirteenth: {per: side, gap: {at: 13, held: [1]}, with: steel rule, read_to: 0.05 mm}\n"
         "  pickup_gap: {per: [pickup, side], gap: {at: pickup, held: [last]}, with: steel rule, read_to: 0.2 mm}\n"
         "  octave_error: {per: string, is: cents, with: tuner, read_to: 1 cents}\n"
         "  proud: {per: side, is: length, follows: saddle_height}\n"
         "targets:\n"
         "  relief: {range: 0.10 .. 0.30 mm}\n"
         "  nut_gap: {range: 0.30 .. 0.50 mm}\n"
         "  action: {range: 1.5 .. 2.5 mm}\n"
         "  pickup_gap: {range: 1.6 .. 3.2 mm}\n" +
         rest;
}

struct Checked {
  test::ReadCase read;
  Program program;

  explicit Checked(const std::string& text) : read(text) {
    CAPTURE(read.said());
    REQUIRE(read.profile);
    auto checked = check({nullptr, {&*read.profile}, nullptr}, read.diagnostics);
    CAPTURE(read.said());
    REQUIRE(checked);
    program = std::move(*checked);
  }

  PointId point(const std::string& name) const {
    for (PointId at = 0; at < program.points.size(); ++at) {
      if (program.points[at].name == name) return at;
    }
    FAIL("no point " << name);
    return 0;
  }
  model::Range share(const std::string& of, const std::string& own, Control control) const {
    return Carrying(program, point(own), control).share(point(of)).value();
  }
  // Names of what a job disturbs.
  std::vector<std::string> disturbed(const std::string& job) const {
    std::vector<std::string> names;
    for (const JobInfo& each : program.jobs) {
      if (each.name != job) continue;
      for (const PointId at : disturbed_by(program, each)) names.push_back(program.points[at].name);
    }
    return names;
  }
};

bool has(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

}  // namespace

TEST_CASE("a rod job moves the 12th and the open first fret by an interval per measured relief") {
  // Derived from the two reference shapes (held ends, even arc from the body); no refereed source.
  struct Row {
    const char* joint;
    double action_lo, action_hi, nut_lo, nut_hi;
  };
  const Row rows[] = {{"14", .44, 2.46, .46, .68}, {"16", .69, 2.29, .41, .59}};
  for (const Row& expected : rows) {
    CAPTURE(expected.joint);
    const Checked checked(guitar(expected.joint));
    const auto action = checked.share("action.bass", "relief", Control::neck_bend);
    CHECK(action.lo == Approx(expected.action_lo).margin(.006).epsilon(0));
    CHECK(action.hi == Approx(expected.action_hi).margin(.006).epsilon(0));
    const auto nut = checked.share("nut_gap.6", "relief", Control::neck_bend);
    CHECK(nut.lo == Approx(expected.nut_lo).margin(.006).epsilon(0));
    CHECK(nut.hi == Approx(expected.nut_hi).margin(.006).epsilon(0));
    CHECK(checked.share("relief", "relief", Control::neck_bend) == model::exactly(1.0));
  }
}

TEST_CASE("what a shop knows of its necks narrows the interval") {
  const std::string known =
      guitar("14").replace(guitar("14").find("scale:"), 0, "neck_shape_from: 0.5, neck_shape_to: 0.5, ");
  const auto share = Checked(known).share("action.bass", "relief", Control::neck_bend);
  CHECK(share.width() == Approx(0.0).margin(1e-12));
  CHECK(share.lo == Approx((.44 + 2.46) / 2).margin(.006).epsilon(0));
}

TEST_CASE("a saddle moves the 12th by half and the first fret by its share of the scale, the nut the other way round") {
  // B. Michael, Acoustic Guitar, July 2013: twice at the saddle what the 12th needs. The first fret lies .05613 from the nut.
  const Checked checked(guitar("14"));
  const auto effect = [&](const char* point, Control control) {
    return effect_on(checked.program, checked.point(point), control).value().base;
  };
  CHECK(effect("action.bass", Control::saddle_height) == Approx(.5));
  CHECK(effect("action.bass", Control::nut_height) == Approx(.5));
  CHECK(effect("nut_gap.1", Control::saddle_height) == Approx(.05613).margin(5e-6).epsilon(0));
  CHECK(effect("nut_gap.1", Control::nut_height) == Approx(.94387).margin(5e-6).epsilon(0));
  // T. Becker, "Setting the saddle height": fret 13 with a capo at 1 is independent of the nut.
  CHECK(effect("thirteenth.bass", Control::nut_height) == 0.0);
  CHECK(effect("thirteenth.bass", Control::saddle_height) == Approx(.5));
  // Pressed at fret 3 the string does not know the saddle; the nut comes through by .647238 (derived).
  CHECK(effect("pressed_gap.1", Control::saddle_height) == 0.0);
  CHECK(effect("pressed_gap.1", Control::nut_height) == Approx(.647238).margin(5e-7).epsilon(0));
}

TEST_CASE("the nut of one string and the saddle of one side leave the others alone") {
  const Checked checked(guitar("14"));
  CHECK(checked.share("action.treble", "nut_gap.2", Control::nut_height) == model::exactly(0.0));
  CHECK(checked.share("nut_gap.3", "nut_gap.2", Control::nut_height) == model::exactly(0.0));
  // Filed by x at string 1, the first-fret gap goes down by .94387 x and the 12th on the treble side by x / 2.
  CHECK(checked.share("action.treble", "nut_gap.1", Control::nut_height).lo ==
        Approx(.5 / .94387).margin(1e-5).epsilon(0));
  CHECK(checked.share("action.treble", "action.bass", Control::saddle_height) == model::exactly(0.0));
  CHECK(checked.share("action.bass", "action.bass", Control::saddle_height) == model::exactly(1.0));
  // A bridge raised at the bass side lifts string 4 by three fifths of it: the strings are evenly spread.
  const auto fourth = checked.share("nut_gap.4", "action.bass", Control::saddle_height);
  CHECK(fourth.lo == Approx(.6 * .05613 / .5).margin(1e-5).epsilon(0));
}

TEST_CASE("one pickup's screws move no other pickup") {
  const Checked checked(guitar("14"));
  CHECK(checked.share("pickup_gap.bridge.bass", "pickup_gap.neck.bass", Control::pickup_height) == model::exactly(0.0));
  CHECK(checked.share("pickup_gap.neck.bass", "pickup_gap.neck.bass", Control::pickup_height) == model::exactly(1.0));
}

TEST_CASE("a control may move what the model says, cents by the saddle's place, and what follows it") {
  const Checked checked(guitar("14"));
  const auto may = [&](const char* point, Control control) {
    return may_move(checked.program, checked.point(point), control);
  };
  CHECK(may("action.bass", Control::saddle_height));
  CHECK(may("relief", Control::neck_bend));
  CHECK_FALSE(may("relief", Control::saddle_height));
  CHECK_FALSE(may("pressed_gap.1", Control::saddle_height));
  CHECK_FALSE(may("action.bass", Control::pickup_height));
  CHECK(may("octave_error.1", Control::saddle_place));
  CHECK_FALSE(may("action.bass", Control::saddle_place));
  CHECK_FALSE(may("octave_error.1", Control::saddle_height));
  CHECK(may("proud.bass", Control::saddle_height));
  CHECK_FALSE(may("proud.bass", Control::neck_bend));
}

TEST_CASE("a job disturbs what its reference move shifts by at least what the tool tells apart") {
  const Checked checked(guitar("14",
                               "jobs:\n"
                               "  turn_rod: {moves: neck_bend, sets: relief}\n"
                               "  file_slots: {moves: nut_height, sets: nut_gap}\n"
                               "  file_first: {moves: nut_height, sets: nut_gap.1}\n"
                               "  set_bridge: {moves: saddle_height, sets: action}\n"
                               "  set_pickups: {moves: pickup_height, sets: pickup_gap}\n"
                               "  refret: {sets: {relief: 0.1 mm}, disturbs: [octave_error]}\n"));
  const auto rod = checked.disturbed("turn_rod");  // 0.20 mm of relief: 0.09 to 0.49 mm at the 12th
  CHECK(has(rod, "relief"));
  CHECK(has(rod, "action.bass"));
  CHECK(has(rod, "nut_gap.6"));
  CHECK_FALSE(has(rod, "octave_error.1"));
  const auto slots = checked.disturbed("file_slots");  // 0.20 mm at the first fret: 0.106 mm at the 12th
  CHECK(has(slots, "action.treble"));
  CHECK_FALSE(has(slots, "relief"));
  CHECK_FALSE(has(slots, "thirteenth.treble"));
  const auto first = checked.disturbed("file_first");
  CHECK(has(first, "action.treble"));
  CHECK_FALSE(has(first, "action.bass"));
  const auto bridge = checked.disturbed("set_bridge");  // 1 mm at the 12th: 0.112 mm at the open first fret
  CHECK(has(bridge, "nut_gap.1"));
  CHECK_FALSE(has(bridge, "pressed_gap.1"));
  CHECK_FALSE(has(bridge, "relief"));
  const auto pickups = checked.disturbed("set_pickups");
  CHECK(std::all_of(pickups.begin(), pickups.end(),
                    [](const std::string& name) { return name.rfind("pickup_gap", 0) == 0; }));
  // Left at a value is known, not disturbed.
  const auto refret = checked.disturbed("refret");
  CHECK_FALSE(has(refret, "relief"));
  CHECK(has(refret, "octave_error.1"));
}

TEST_CASE("the mates of a course lie side by side: a bridge lowered at one side moves them alike") {
  const auto shop = open_shop({"profile: zither\n"
                               "facts: {scale: 700 mm, frets: 18, body_joint: 18, tuning: [D4, A3, D3]}\n"
                               "readings:\n"
                               "  nut_gap: {per: string, gap: {at: 1}, read_to: 0.01 mm}\n"
                               "  action: {per: side, gap: {at: 12}, read_to: 0.01 mm}\n"},
                              "visit: v\nprofile: zither\ninstrument: {strings: [12p+12p, 14p, 23w]}\n");
  INFO(shop->told());
  REQUIRE(shop->program);
  const auto arriving = [&](const char* string, const char* side) {
    return Carrying(*shop->program, shop->point(side), Control::saddle_height).share(shop->point(string)).value().lo;
  };
  CHECK(arriving("nut_gap.1a", "action.bass") == 0.0);
  CHECK(arriving("nut_gap.1b", "action.bass") == 0.0);
  CHECK(arriving("nut_gap.1b", "action.treble") == arriving("nut_gap.1a", "action.treble"));
  CHECK(arriving("nut_gap.2", "action.bass") == Approx(arriving("nut_gap.3", "action.bass") / 2));
}
