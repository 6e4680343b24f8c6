// What the owner takes home: what stood when it came in, which readings stand together, whose wish it is.
#include "engine/book/handover.h"

#include <catch2/catch.hpp>

#include "engine/judge/came_in.h"
#include "engine/paper/handover_paper.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

struct Left {
  std::unique_ptr<Shop> shop;
  std::unique_ptr<OpenVisit> visit;
  std::optional<Judgement> before;
  Handover sheet;
};

Left leave(const std::string& log, const std::string& house = "") {
  Left left;
  left.shop = open_shop({stick_profile}, log, stick_house + house);
  INFO(left.shop->told());
  REQUIRE(left.shop->program);
  left.visit = std::make_unique<OpenVisit>(left.shop->house.get(), *left.shop->visit,
                                           std::make_shared<const Program>(*left.shop->program));
  OpenVisit& visit = *left.visit;
  visit.judgement = judge(visit.program);
  left.before = came_in(visit.program, nullptr);
  left.sheet = handover(visit, left.before, make_plan(visit.program, visit.judgement), *parse_date("2026-03-05"));
  return left;
}

const Finding& finding(const Handover& sheet, const std::string& reading, std::size_t which = 0) {
  for (const Finding& each : sheet.readings) {
    if (each.reading == reading && which-- == 0) return each;
  }
  FAIL("no reading " << reading);
  return sheet.readings.front();
}

const std::string in_range = "relief: 0.20 mm, nut_gap: 0.45 mm, action: {bass: 1.6 mm, treble: 1.3 mm}";

}  // namespace

TEST_CASE("nothing came in while no job was done, or where nothing was read before the first") {
  CHECK_FALSE(leave(stick_visit(in_range)).before);
  CHECK_FALSE(
      leave("visit: v\nprofile: stick\nlog: [{date: 2026-03-01, did: check_all, read: {relief: 0.2 mm}}]\n").before);
}

TEST_CASE("before is what was read before the first job, now what stands at the end") {
  const Left left = leave(stick_visit("relief: 0.40 mm") + "  - did: tighten\n    read: {relief: 0.21 mm}\n");
  const Finding& relief = finding(left.sheet, "relief");
  CHECK(relief.before == "0.4 mm");
  CHECK(relief.now == "0.21 mm");
  CHECK(relief.verdict == Verdict::within);
  CHECK(relief.wanted == "0.1 mm to 0.3 mm");
  CHECK(relief.what == "the curve of the neck");
}

TEST_CASE("members with one verdict and one wish stand together, as a span where they differ") {
  const Left left = leave(stick_visit("nut_gap: {1..3: 0.40 mm, 4..5: 0.50 mm, 6: 0.60 mm}"));
  const Finding& within = finding(left.sheet, "nut_gap");
  CHECK(within.members == std::vector<std::string>{"strings 1", "2", "3", "4", "5"});
  CHECK(within.now == "0.4 mm to 0.5 mm");
  const Finding& high = finding(left.sheet, "nut_gap", 1);
  CHECK(high.members == std::vector<std::string>{"string 6"});
  CHECK(high.verdict == Verdict::high);
  CHECK_FALSE(left.sheet.finished);
}

TEST_CASE("the player's aim is told as asked for, and whether it was met") {
  const auto asked = [](const std::string& aim) {
    return leave(stick_visit(in_range, "wants: {action: {bass: " + aim + "}}\n"));
  };
  CHECK(verdict_for_owner(finding(asked("1.6 mm").sheet, "action")) ==
        "as you asked: 1.6 mm; our own range is 1.4 mm to 1.9 mm");
  CHECK(verdict_for_owner(finding(asked("1.8 mm").sheet, "action")) ==
        "not as you asked: 1.8 mm; our own range is 1.4 mm to 1.9 mm");
}

TEST_CASE("days count from the entry that closed the visit, else from today") {
  const std::string house = "estimate: {warranty: 30 d}\nhandover: {come_back: 10 d}\n";
  const std::string done = stick_visit(in_range) + "  - did: check_all\n";
  const Left open = leave(done, house);
  CHECK(open.sheet.finished);
  CHECK(to_text(*open.sheet.come_back) == "2026-03-15");
  CHECK(to_text(*open.sheet.warranty_until) == "2026-04-04");
  const Left closed = leave(done + "  - {date: 2026-03-03, closed: true}\n", house);
  CHECK(to_text(*closed.sheet.come_back) == "2026-03-13");
  CHECK_FALSE(leave(stick_visit(in_range), house).sheet.warranty_until);  // nothing was done
}

TEST_CASE("a reading that was disturbed and not taken again says so instead of a verdict") {
  const Left left = leave(stick_visit(in_range) + "  - did: tighten\n");
  const Finding& relief = finding(left.sheet, "relief");
  CHECK(relief.verdict == Verdict::stale);
  CHECK(verdict_for_owner(relief) == "last read at 0.2 mm, before: tighten the rod");
}
