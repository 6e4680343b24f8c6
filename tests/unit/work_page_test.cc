// The work list as a page says what the text says, and what may follow a reading is said with its yes.
#include "engine/paper/work_page.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <string>

#include "engine/judge/clean.h"
#include "engine/paper/html.h"
#include "engine/paper/parts.h"
#include "engine/paper/text.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"
#include "tests/support/till.h"

using namespace stringline;
using stringline::test::Till;

namespace {

std::string page_of(const Program& program, const Judgement& judgement, const Plan& plan) {
  const auto clean = clean_sides(program, judgement);
  const auto chords = sourness(program, judgement);
  return work_page(program, judgement, plan, {"a visit", "", "", ""}, {clean, chords, std::nullopt});
}

struct Stick {
  std::unique_ptr<Shop> shop;
  Judgement judgement;
  Plan plan;
};

Stick stick(const std::string& profile, const std::string& read, const std::string& house = stick_house) {
  Stick made;
  made.shop = open_shop({profile}, stick_visit(read), house);
  INFO(made.shop->told());
  REQUIRE(made.shop->program);
  made.judgement = judge(*made.shop->program);
  made.plan = make_plan(*made.shop->program, made.judgement);
  return made;
}

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), with);
}

// What may follow the line that reads `reading` again, each as the papers say it.
std::vector<std::string> follows(const Stick& made, const std::string& reading) {
  const PointId first = made.shop->point(reading);
  for (const PlanLine& line : made.plan.lines) {
    if (!line.job && line.points.front() == first) return follow_texts(*made.shop->program, line);
  }
  FAIL("no line reads " << reading);
  return {};
}

const std::string covers_all_but_the_shim = stick_house + R"(currency: USD
packages: {setup: {label: set-up, covers: [rod, nut, bridge, last], except: shim_nut, price: 80.00}}
prices: {shim_nut: 20.00}
)";

}  // namespace

TEST_CASE("the page holds every warning, reason and follower that the text prints, on every example visit") {
  int warnings = 0;
  for (const auto& file : std::filesystem::directory_iterator("examples/harrow_lane/visits")) {
    Till till(file.path().stem().string());
    INFO(file.path().string());
    REQUIRE(till.priced());
    const std::string page = page_of(*till.program, till.judgement, till.plan);
    const auto has = [&](const std::string& text) {
      INFO(text);
      CHECK(page.find(html_text(text)) != std::string::npos);
    };
    const auto reasons = reading_reasons(till.plan);
    for (std::size_t i = 0; i < till.plan.lines.size(); ++i) {
      const PlanLine& line = till.plan.lines[i];
      for (const std::string& warning : line.warnings) has(warning);
      for (const std::string& reason : line.job ? line.because : reasons[i]) has(reason);
      for (const std::string& text : follow_texts(*till.program, line)) has(text);
      warnings += static_cast<int>(line.warnings.size());
    }
  }
  CHECK(warnings > 5);
}

TEST_CASE("a reading that is likely to be low names the job that needs a yes") {
  const Stick made = stick(stick_profile, "relief: 0.60 mm, nut_gap: 0.38 mm, action: {bass: 1.6 mm, treble: 1.3 mm}",
                           covers_all_but_the_shim);
  CHECK(follows(made, "nut_gap.1") ==
        std::vector<std::string>{"if low, as is likely: shim the nut, with a yes from the owner",
                                 "if high: file the nut"});
}

TEST_CASE("a reading that is likely to be high, and has no job for it, says so") {
  const std::string one_way = replaced(stick_profile, "low: raise, high: lower", "low: raise");
  const std::string gated = one_way + "  settle: {label: let it settle, sets: {state: rested}}\n" + "gates:\n" +
                            "  rest: {open_when: state is rested, do: settle, holds: [action], say: wait}\n";
  const std::string profile =
      replaced(gated, "  relief: {gap", "  state: {is: [rested, moving], assume: rested}\n  relief: {gap");
  const Stick made =
      stick(profile, "state: moving, relief: 0.20 mm, nut_gap: 0.45 mm, action: {bass: 2.6 mm, treble: 2.3 mm}");
  CHECK(follows(made, "action.bass") ==
        std::vector<std::string>{"if low: raise the saddles, with a yes from the owner",
                                 "if high, as is likely: no job of this house answers it"});
}

TEST_CASE("the same reason of several readings is said once") {
  Till till("v14_fretless");
  REQUIRE(till.priced());
  const auto reasons = reading_reasons(till.plan);
  int pointers = 0;
  for (std::size_t i = 0; i < reasons.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (!reasons[i].empty() && reasons[i] == reasons[j]) CHECK(reasons[i].front().rfind("as for line ", 0) == 0);
    }
    pointers += !reasons[i].empty() && reasons[i].front().rfind("as for line ", 0) == 0 ? 1 : 0;
  }
  CHECK(pointers >= 3);
}

TEST_CASE("amounts and boxes say what a number counts, and no name keeps an underscore") {
  Till till("v01_left_handed_five");
  REQUIRE(till.priced());
  const std::string text = lines_text(*till.program, till.judgement, till.plan);
  CHECK(text.find("0.19 mm down at string 5") != std::string::npos);
  CHECK(text.find("nut gap (string 5)") != std::string::npos);
  CHECK(text.find("its turn: final check") != std::string::npos);
  const std::string page = page_of(*till.program, till.judgement, till.plan);
  CHECK(page.find("<span>string 5</span>") != std::string::npos);
  CHECK(page.find("final_check") == std::string::npos);
}
