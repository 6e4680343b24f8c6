// Plans carried out on real instruments: 1,000 here, twenty times as many at night.
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <random>

#include "engine/book/book.h"
#include "engine/check/check.h"
#include "engine/plan/plan.h"
#include "tests/support/plan_replay.h"
#include "tests/support/rounds.h"

using namespace stringline;

namespace {

struct Family {
  const char* profile;
  const char* strings;
  int count;
  int pickups;
  double joint;
};

std::string rounded(double value, double step) {
  const auto hundredths_of_step = std::llround(value / step);
  const auto thousandths = std::llround(static_cast<double>(hundredths_of_step) * step * 1000);
  std::string text = std::to_string(std::abs(thousandths));
  while (text.size() < 4) text.insert(0, "0");
  text.insert(text.size() - 3, ".");
  return (thousandths < 0 ? "-" : "") + text;
}

// The bench log of one measuring; a few readings stay out now and then.
std::string visit_of(const Program& empty, const Family& family, const replay::Instrument& it, std::mt19937& random) {
  std::string text = "visit: generated\nprofile: " + std::string(family.profile) +
                     "\ninstrument: {strings: " + family.strings +
                     "}\nlog:\n  - date: 2026-03-02\n    read:\n      humidity: 48 %RH\n";
  for (PointId point = 0; point < empty.points.size(); ++point) {
    const ReadingInfo& reading = empty.reading_of(point);
    if (!reading.gap) continue;
    const double value = replay::gap(empty, it, point);
    const bool skipped = std::uniform_int_distribution<int>(0, 19)(random) == 0;
    const bool nut_or_rod = reading.name == "relief" || reading.name == "nut_gap";
    const double least = nut_or_rod ? 0.013 : 0.45;  // below that it is not plausible
    if (skipped || value < least) continue;
    text += "      " + empty.points[point].name + ": " + rounded(value, reading.read_to->value.to_double()) + " mm\n";
  }
  return text;
}

}  // namespace

TEST_CASE("a plan carried out on a real instrument leaves every reading at its target or on the list") {
  const std::vector<Family> families{{"electric_fixed", "set_10_46", 6, 2, 16}, {"bass", "set_45_105", 4, 2, 16}};
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book({"profiles"}, sources, diagnostics);
  const HouseTree* house = book.house_above("examples/harrow_lane/house.yaml");
  REQUIRE(house != nullptr);
  const auto folder = std::filesystem::temp_directory_path() / ("replay_" + std::to_string(::getpid()));
  std::filesystem::create_directory(folder);
  const std::string path = (folder / "visit.yaml").string();
  const auto load = [&](const std::string& text) {
    std::ofstream(path) << text;
    const VisitTree* visit = book.visit(path);
    REQUIRE(visit != nullptr);
    const auto layers = book.layers(*visit->profile);
    REQUIRE(layers);
    auto program = check({house, *layers, visit}, diagnostics);
    INFO(text);
    REQUIRE(program);
    return std::move(*program);
  };
  std::vector<Program> empties;
  for (const Family& family : families) {
    empties.push_back(load("visit: generated\nprofile: " + std::string(family.profile) + "\ninstrument: {strings: " +
                           family.strings + "}\nlog: [{date: 2026-03-02, read: {humidity: 48 %RH}}]\n"));
  }
  constexpr unsigned seed = 20260302;
  std::mt19937 random(seed);
  int jobs = 0;
  const int replays = test::rounds(1000);
  for (int i = 0; i < replays; ++i) {
    const Family& family = families[static_cast<std::size_t>(i) % families.size()];
    const Program& empty = empties[static_cast<std::size_t>(i) % families.size()];
    const auto it = replay::random_instrument(random, family.count, family.pickups, empty.body_joint);
    auto now = it;
    bool again = true;
    for (int round = 0; again; ++round) {  // a list is made again after every job that followed a reading
      INFO("seed " << seed << ", instrument " << i << ", list " << round);
      REQUIRE(round < 8);
      const std::string text = visit_of(empty, family, now, random);
      INFO(text);
      const Program program = load(text);
      const Judgement judgement = judge(program);
      const Plan plan = make_plan(program, judgement);
      for (const PlanLine& line : plan.lines) jobs += line.form == PlanLine::Form::job && !line.amounts.empty() ? 1 : 0;
      const auto replayed = replay::carry_out(program, judgement, plan, now);
      for (const std::string& each : replayed.wrong) UNSCOPED_INFO(each);
      REQUIRE(replayed.wrong.empty());
      again = replayed.list_again;
      now = replayed.now;
    }
  }
  CHECK(jobs > replays);  // the instruments gave the planner something to do
  std::filesystem::remove_all(folder);
}
