// The drawing says what the model says: heights of dots, lines and bars, held against the readings and the oracle.
#include "engine/paper/picture.h"

#include <catch2/catch.hpp>
#include <charconv>

#include "engine/judge/heights.h"
#include "engine/plan/plan.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

struct Drawn {
  std::unique_ptr<Shop> shop;
  Judgement judgement;
  Plan plan;
  LineDrawing drawing;
  std::string page;
};

Drawn draw(const std::string& read) {
  Drawn drawn;
  drawn.shop = open_shop({stick_profile}, stick_visit(read), stick_house);
  INFO(drawn.shop->told());
  REQUIRE(drawn.shop->program);
  const Program& program = *drawn.shop->program;
  drawn.judgement = judge(program);
  drawn.plan = make_plan(program, drawn.judgement);
  drawn.drawing = line_drawing(program, drawn.judgement, drawn.plan, clean_sides(program, drawn.judgement));
  HtmlWriter out;
  draw_strings(out, program, drawn.judgement, drawn.plan, drawn.drawing);
  drawn.page = out.take();
  return drawn;
}

Drawn bent(const std::string& action) {
  return draw("relief: 0.40 mm, nut_gap: 0.50 mm, action: {bass: " + action + ", treble: 1.4 mm}");
}

// The number of attribute `name` after place `from`.
double number(const std::string& page, const std::string& name, std::size_t from) {
  const std::size_t at = page.find(" " + name + "=\"", from);
  REQUIRE(at != std::string::npos);
  double value = 0;
  const char* first = page.data() + at + name.size() + 3;
  REQUIRE(std::from_chars(first, page.data() + page.size(), value).ec == std::errc());
  return value;
}

const DrawnReading& reading(const Drawn& drawn, std::size_t side, const std::string& name) {
  const PointId point = drawn.shop->point(name);
  for (const DrawnReading& each : drawn.drawing.sides.at(side).readings) {
    if (each.point == point) return each;
  }
  FAIL("no dot for " << name);
  throw 0;
}

}  // namespace

TEST_CASE("every dot lies as many pixels above the neck plane as its height times the scale of the picture") {
  const Drawn drawn = bent("2.0 mm");
  int dots = 0;
  std::size_t svg = drawn.page.find("<svg");
  while (svg != std::string::npos) {
    const std::size_t end = drawn.page.find("</svg>", svg);
    const double plane = number(drawn.page, "data-plane", svg);
    const double scale = number(drawn.page, "data-px-per-mm", svg);
    for (std::size_t at = drawn.page.find("<circle", svg); at < end; at = drawn.page.find("<circle", at + 1)) {
      CHECK(number(drawn.page, "cy", at) == Approx(plane - scale * number(drawn.page, "data-height", at)).margin(0.02));
      ++dots;
    }
    svg = drawn.page.find("<svg", end);
  }
  CHECK(dots == 6);  // relief, nut gap and action, on two sides
}

TEST_CASE("the height of a dot is linear in its reading: upward for an open gap, downward for relief") {
  const double low = reading(bent("1.6 mm"), 0, "action.bass").height;
  const double middle = reading(bent("2.0 mm"), 0, "action.bass").height;
  const double high = reading(bent("2.4 mm"), 0, "action.bass").height;
  CHECK(middle - low == Approx(0.4));
  CHECK(high - middle == Approx(0.4));
  const Drawn drawn = bent("2.0 mm");
  const DrawnReading& relief = reading(drawn, 0, "relief");
  CHECK(relief.downward);
  CHECK(relief.from - relief.height == Approx(0.40));
}

TEST_CASE("dots lie where the model has the string or the fret, since the readings determine both") {
  const Drawn drawn = bent("2.0 mm");
  const SideDrawing& bass = drawn.drawing.sides.at(0);
  const auto string_at = [&](double share) { return bass.now.nut + share * (bass.now.saddle - bass.now.nut); };
  const DrawnReading& action = reading(drawn, 0, "action.bass");
  const DrawnReading& nut = reading(drawn, 0, "nut_gap.6");
  const DrawnReading& relief = reading(drawn, 0, "relief");
  CHECK(action.height == Approx(string_at(action.share)).margin(1e-6));
  CHECK(nut.height == Approx(string_at(nut.share)).margin(1e-6));
  CHECK(relief.height == Approx(bass.now.frets.at(6)).margin(1e-6));  // the 7th fret's top
  CHECK(bass.now.frets.at(11) + 2.0 == Approx(action.height));        // 2.0 mm over the 12th
  const Heights heights(*drawn.shop->program, drawn.judgement);
  CHECK(bass.now.nut == Approx(*heights.nut(5)));
  CHECK(bass.now.saddle == Approx(*heights.saddle(5)));
}

TEST_CASE("bands are the target's limits at the reading's own place") {
  const Drawn drawn = bent("2.0 mm");
  const DrawnReading& action = reading(drawn, 0, "action.bass");
  REQUIRE((action.low && action.high && action.aim));
  CHECK(*action.low - action.from == Approx(1.4));
  CHECK(*action.high - action.from == Approx(1.9));
  CHECK(*action.aim - action.from == Approx(1.6));
  const DrawnReading& relief = reading(drawn, 0, "relief");
  REQUIRE((relief.low && relief.high));
  CHECK(relief.from - *relief.low == Approx(0.30));
  CHECK(relief.from - *relief.high == Approx(0.10));
}

TEST_CASE("what is expected after a rod job is drawn at both of its ends, and passes through what the list expects") {
  const Drawn drawn = bent("2.0 mm");
  const SideDrawing& bass = drawn.drawing.sides.at(0);
  REQUIRE(bass.after.size() == 2);
  model::Range expected;
  for (const PlanLine& line : drawn.plan.lines) {
    for (const Predicted& each : line.expected) {
      if (each.point == drawn.shop->point("action.bass")) expected = each.value;
    }
  }
  REQUIRE(expected.width() > 0.1);
  const double share = reading(drawn, 0, "action.bass").share;
  const auto over_12 = [&](const DrawnLine& line) {
    return line.nut + share * (line.saddle - line.nut) - line.frets.at(11);
  };
  CHECK(over_12(bass.after[0]) == Approx(expected.lo).margin(1e-4));
  CHECK(over_12(bass.after[1]) == Approx(expected.hi).margin(1e-4));
}

TEST_CASE("nothing is drawn where the readings do not say where the strings lie, and what is missing is named") {
  const Drawn drawn = draw("relief: 0.20 mm, action: {bass: 1.6 mm, treble: 1.3 mm}");
  CHECK(drawn.drawing.sides.empty());
  CHECK(drawn.page.find("<svg") == std::string::npos);
  CHECK(drawn.page.find("Still to be read: nut gap (1, 6).") != std::string::npos);
  CHECK(draw("nut_gap: 0.45 mm, action: {bass: 1.6 mm, treble: 1.3 mm}").page.find("to be read: relief.") !=
        std::string::npos);
}

TEST_CASE("frets that stop notes at the aim are marked") {
  const Drawn drawn =
      draw("relief: 0.10 mm, nut_gap: 0.45 mm, action: {bass: 1.6 mm, treble: 1.3 mm}, rise: {14: 0.5 mm}");
  CHECK(drawn.drawing.sides.at(0).stopping == std::vector<int>{14});
  CHECK(drawn.page.find("Notes are stopped at fret 14.") != std::string::npos);
  CHECK(bent("2.0 mm").page.find("Notes are stopped") == std::string::npos);
}

TEST_CASE("bars of a chord are as long as their cents") {
  const auto shop = open_shop({stick_profile},
                              stick_visit("relief: 0.20 mm, nut_gap: 1.00 mm, action: {bass: 1.6 mm, treble: 1.3 mm}",
                                          "player: {chords: [x02220]}\n"),
                              stick_house);
  REQUIRE(shop->program);
  const auto chords = sourness(*shop->program, judge(*shop->program));
  REQUIRE(chords.size() == 1);
  HtmlWriter out;
  draw_chord(out, *shop->program, chords.front(), 1);
  const std::string page = out.take();
  const double scale = number(page, "data-px-per-cent", 0);
  std::size_t bars = 0;
  std::size_t notes = 0;
  for (std::size_t at = page.find("<rect"); at != std::string::npos; at = page.find("<rect", at + 1)) {
    CHECK(number(page, "width", at) == Approx(scale * std::abs(number(page, "data-cents", at))).margin(0.02));
    if (page.compare(at, 18, "<rect class=\"note\"") == 0)
      CHECK(number(page, "data-cents", at) == Approx(chords.front().notes.at(notes++).cents).margin(0.0001));
    ++bars;
  }
  CHECK(notes == 3);
  CHECK(bars > notes);
}
