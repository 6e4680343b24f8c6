// Whole pages: hostile names stay text, and the work page holds what the text list holds.
#include <catch2/catch.hpp>

#include "engine/paper/html.h"
#include "engine/paper/sheet_page.h"
#include "engine/paper/work_page.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

std::string page_of(const WorkPageHead& head, const std::string& read = "relief: 0.40 mm") {
  const auto shop = open_shop({stick_profile}, stick_visit(read), stick_house);
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  return work_page(*shop->program, judgement, make_plan(*shop->program, judgement), head, {}, {});
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t n = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
  return n;
}

}  // namespace

TEST_CASE("an owner called like a tag, a quote or 200 letters is shown as written") {
  CHECK(page_of({"t", "<script>alert(1)</script>", "", ""}).find("<script") == std::string::npos);
  CHECK(page_of({"t", "Ann \"Six\" O'Hara", "", ""}).find("<dd>Ann &quot;Six&quot; O&#39;Hara</dd>") !=
        std::string::npos);
  const std::string long_name(200, 'x');
  const std::string page = page_of({long_name, long_name, "", ""});
  CHECK(page.find("<h1>" + long_name + "</h1>") != std::string::npos);
  CHECK(page.find("overflow-wrap: anywhere") != std::string::npos);
}

TEST_CASE("without an owner, a day or words of the player nothing stands in their place") {
  const std::string page = page_of({"t", "", "", ""});
  CHECK(page.find("<dt>owner</dt>") == std::string::npos);
  CHECK(page.find("<dt>player</dt>") == std::string::npos);
  CHECK(page.find("<dd></dd>") == std::string::npos);
}

TEST_CASE("every line of the plan is one item with a mark to tick, and its amount stands by itself") {
  const auto shop =
      open_shop({stick_profile},
                stick_visit("relief: 0.20 mm, nut_gap: 0.70 mm, action: {bass: 1.6 mm, treble: 1.3 mm}"), stick_house);
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  const Plan plan = make_plan(*shop->program, judgement);
  const std::string page = work_page(*shop->program, judgement, plan, {"t", "", "", ""}, {}, {});
  CHECK(count(page, "<li class=\"line\">") == plan.lines.size());
  CHECK(count(page, "class=\"square\" aria-hidden") + count(page, "class=\"round\" aria-hidden") == plan.lines.size());
  bool amounts = false;
  for (const PlanLine& line : plan.lines) {
    for (const Amount& amount : line.amounts) {
      amounts = true;
      CHECK(page.find("<p class=\"amount\">" + html_text(amount.text)) != std::string::npos);
    }
  }
  CHECK(amounts);
}

TEST_CASE("the bench sheet has a place to write for every reading that is measured") {
  const auto shop = open_shop({stick_profile}, "", stick_house);
  REQUIRE(shop->program);
  const std::string page = sheet_page(*shop->program);
  // relief 1, nut gap 6, action 2, action 17 2, octave error 6, rise 22; and six fields above
  CHECK(count(page, "class=\"pencil\"") == 1 + 6 + 2 + 2 + 6 + 22);
  CHECK(count(page, "class=\"pencil wide\"") == 6);
  CHECK(page.find("feeler gauges, to 0.01 mm") != std::string::npos);
}
