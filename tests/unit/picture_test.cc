// The drawing says what the model says: heights of dots, lines and bars, held against the readings and the oracle.
#include "engine/paper/picture.h"

#include <catch2/catch.hpp>
#include <charconv>

#include "engine/book/drift.h"
#include "engine/judge/came_in.h"
#include "engine/judge/heights.h"
#include "engine/paper/drift_parts.h"
#include "engine/paper/fret_picture.h"
#include "engine/paper/history_chart.h"
#include "engine/paper/then_now.h"
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
  CHECK(drawn.page.find("Still to be read: nut gap (strings 1, 6).") != std::string::npos);
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

namespace {

// One visit of the stick, judged.
struct Visit {
  explicit Visit(const std::string& log, const std::string& profile = stick_profile)
      : shop(open_shop({profile}, log, stick_house)) {
    INFO(shop->told());
    REQUIRE(shop->program);
    judgement = judge(*shop->program);
  }
  [[nodiscard]] SeenVisit seen() const { return {&*shop->program, &judgement}; }

  std::unique_ptr<Shop> shop;
  Judgement judgement;
};

Visit read_as(const std::string& relief, const std::string& bass) {
  return Visit(stick_visit("relief: " + relief + ", nut_gap: 0.45 mm, action: {bass: " + bass + ", treble: 1.3 mm}"));
}

std::string dated(const std::string& date, const std::string& read) {
  return "visit: v\nprofile: stick\ninstrument: {id: N-1, strings: [10p, 13p, 17p, 26w, 36w, 46w]}\nlog:\n  - date: " +
         date + "\n    read: {" + read + "}\n";
}

// The text between the first `from` and the `to` after it.
std::string part(const std::string& page, const std::string& from, const std::string& to) {
  const std::size_t begin = page.find(from);
  REQUIRE(begin != std::string::npos);
  return page.substr(begin, page.find(to, begin) - begin);
}

}  // namespace

TEST_CASE("then and now: filled and open dots lie at their own visit's heights over the plane") {
  const Visit then = read_as("0.20 mm", "1.6 mm");
  const Visit now = read_as("0.32 mm", "2.1 mm");
  HtmlWriter out;
  draw_then_now(out, then.seen(), now.seen(), {"title", "then", "now"});
  const std::string page = out.take();
  const LineDrawing before = line_drawing(*then.shop->program, then.judgement);
  const LineDrawing after = line_drawing(*now.shop->program, now.judgement);
  int filled = 0;
  int open = 0;
  std::size_t side = 0;
  for (std::size_t svg = page.find("<svg"); svg != std::string::npos; svg = page.find("<svg", svg + 1), ++side) {
    const double plane = number(page, "data-plane", svg);
    const double scale = number(page, "data-px-per-mm", svg);
    const std::size_t end = page.find("</svg>", svg);
    for (std::size_t at = page.find("<circle", svg); at < end; at = page.find("<circle", at + 1)) {
      const bool is_now = page.substr(at, page.find("/>", at) - at).find("fill=\"#111\"") != std::string::npos;
      ++(is_now ? filled : open);
      const double height = number(page, "data-height", at);
      CHECK(number(page, "cy", at) == Approx(plane - scale * height).margin(0.02));
      const auto& readings = (is_now ? after : before).sides.at(side).readings;
      CHECK(std::any_of(readings.begin(), readings.end(), [&](const DrawnReading& each) {
        return std::abs(each.height - height) < 1e-4 && std::abs(each.value - number(page, "data-mm", at)) < 1e-4;
      }));
    }
  }
  CHECK(side == 2);
  CHECK(filled == 6);
  CHECK(open == 6);
  CHECK(page.find("action 1.6 mm \xE2\x86\x92 2.1 mm") != std::string::npos);
  CHECK(page.find("action 1.3 mm<") != std::string::npos);  // the same both times
}

TEST_CASE("then and now: what can not be drawn is said, with the readings it would take") {
  const Visit then(stick_visit("relief: 0.20 mm, action: {bass: 1.6 mm, treble: 1.3 mm}"));
  const Visit now = read_as("0.32 mm", "2.1 mm");
  HtmlWriter out;
  draw_then_now(out, then.seen(), now.seen(), {"title", "then", "now"});
  const std::string page = out.take();
  CHECK(page.find("<svg") == std::string::npos);
  CHECK(page.find("the readings then do not say where the strings lie. It would take: nut gap (strings 1, 6).") !=
        std::string::npos);
}

TEST_CASE("a chart's dots lie at their values, and days as far apart as they were") {
  const Visit first(dated("2026-01-01", "relief: 0.20 mm"));
  const Visit second(dated("2026-01-11", "relief: 0.26 mm"));
  const Visit third(dated("2026-04-11", "relief: at most 0.30 mm"));
  const History over_time = history({first.seen(), second.seen(), third.seen()});
  REQUIRE(over_time.rows.size() == 1);
  CHECK(over_time.rows.front().lowest->to_double() == Approx(0.10));
  CHECK(over_time.rows.front().highest->to_double() == Approx(0.30));
  HtmlWriter out;
  draw_history(out, over_time, over_time.rows.front(), "relief", 1);
  const std::string page = out.take();
  const double zero = number(page, "data-zero", 0);
  const double scale = number(page, "data-px-per-unit", 0);
  std::vector<double> across;
  std::vector<double> values;
  for (std::size_t at = page.find("<circle"); at != std::string::npos; at = page.find("<circle", at + 1)) {
    values.push_back(number(page, "data-base", at));
    across.push_back(number(page, "cx", at));
    CHECK(number(page, "cy", at) == Approx(zero - scale * values.back()).margin(0.02));
  }
  REQUIRE(values == std::vector<double>{0.20, 0.26, 0.30});
  CHECK((across[1] - across[0]) / (across[2] - across[0]) == Approx(0.1).margin(0.001));  // 10 days of 100
  CHECK(page.find("2026-01-01: 0.2 mm; 2026-01-11: 0.26 mm; 2026-04-11: at most 0.3 mm.") != std::string::npos);
}

TEST_CASE("members share a chart only where their readings and their limits are the same") {
  const Visit first(dated("2026-01-01", "action: 1.5 mm, nut_gap: 0.40 mm"));
  const Visit second(dated("2026-02-01", "action: 1.6 mm, nut_gap: 0.42 mm"));
  const History over_time = history({first.seen(), second.seen()});
  std::vector<std::string> names;
  for (const HistoryGroup& group : history_groups(over_time)) names.push_back(group.name);
  CHECK(names == std::vector<std::string>{"action (bass)", "action (treble)", "nut gap (strings 1 to 6)"});
}

TEST_CASE("a change that no tool tells apart fills no more than a sixth of a chart") {
  const Visit first(dated("2026-01-01", "octave_error: {1: 1 cents}"));
  const Visit second(dated("2026-02-01", "octave_error: {1: 2 cents}"));
  const History over_time = history({first.seen(), second.seen()});
  HtmlWriter out;
  draw_history(out, over_time, over_time.rows.front(), "octave", 1);
  const std::string page = out.take();
  CHECK(number(page, "data-px-per-unit", 0) * 1.0 <= 74.0 / 6 + 0.01);
}

TEST_CASE("the line as it came in is drawn where work was done since") {
  const Visit visit(
      stick_visit("relief: 0.40 mm, nut_gap: 0.50 mm, action: {bass: 2.0 mm, treble: 1.4 mm}") +
      "  - did: tighten\n    read: {relief: 0.20 mm, nut_gap: 0.46 mm, action: {bass: 1.8 mm, treble: 1.2 "
      "mm}}\n");
  const Program& program = *visit.shop->program;
  const auto before = came_in(program, nullptr);
  REQUIRE(before);
  const Plan plan = make_plan(program, visit.judgement);
  const LineDrawing drawing = line_drawing(program, visit.judgement, plan, {}, &*before);
  const LineDrawing then = line_drawing(program, *before);
  REQUIRE(drawing.sides.size() == 2);
  REQUIRE(drawing.sides[0].before);
  CHECK(drawing.sides[0].before->saddle == Approx(then.sides[0].now.saddle));
  CHECK(drawing.sides[0].before->nut == Approx(then.sides[0].now.nut));
  CHECK(drawing.sides[0].before->saddle != Approx(drawing.sides[0].now.saddle));
  HtmlWriter out;
  draw_strings(out, program, visit.judgement, plan, drawing);
  const std::string page = out.take();
  CHECK(page.find(">as it came in<") != std::string::npos);
  CHECK(page.find(">read again<") != std::string::npos);
  CHECK(bent("2.0 mm").page.find(">as it came in<") == std::string::npos);
}

TEST_CASE("frets from above: places are the frets' own, bars as tall as their values, high frets marked") {
  std::string profile = stick_profile;
  profile.insert(profile.find("jobs:"), "  rise: {phase: last, range: at most 0.05 mm}\n");
  const Visit visit(stick_visit("rise: {3: 0.04 mm, 12: 0.08 mm}"), profile);
  const FretMap map = fret_map(*visit.shop->program, visit.judgement);
  REQUIRE(map.strips.size() == 1);
  CHECK(map.high == std::vector<int>{12});
  CHECK(map.strips.front().worst == "most 0.08 mm at fret 12");
  CHECK(map.places.at(12) == Approx(0.5));  // half the scale
  HtmlWriter out;
  draw_frets(out, *visit.shop->program, map);
  const std::string page = out.take();
  const std::string strip = part(page, "<g class=\"strip\"", "</g>");
  const double scale = number(strip, "data-px-per-mm", 0);
  int bars = 0;
  for (std::size_t at = strip.find("<rect"); at != std::string::npos; at = strip.find("<rect", at + 1)) {
    CHECK(number(strip, "height", at) == Approx(scale * number(strip, "data-mm", at)).margin(0.02));
    ++bars;
  }
  CHECK(bars == 22);
  const auto fret = [&](int which) {
    std::size_t at = 0;
    for (int i = 0; i < which; ++i) at = page.find("<line class=\"fret\"", at + 1);
    return number(page, "x1", at);
  };
  const double nut = fret(12) - (fret(22) - fret(12)) / (map.places[22] - map.places[12]) * map.places[12];
  CHECK((fret(5) - nut) / (fret(12) - nut) == Approx(map.places[5] / map.places[12]).margin(0.001));
  CHECK(page.find("Too high: fret 12.") != std::string::npos);
  const Visit unread(stick_visit("relief: 0.20 mm"), profile);
  CHECK(fret_map(*unread.shop->program, unread.judgement).strips.empty());
}
