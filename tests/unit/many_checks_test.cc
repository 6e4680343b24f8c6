// Visits checked one after another on common ground come out as each checked by itself.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>

#include "engine/book/book.h"
#include "engine/check/check.h"
#include "engine/judge/judge.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"

using namespace stringline;

namespace {

std::vector<std::string> example_visits() {
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator("examples/harrow_lane/visits"))
    paths.push_back(entry.path().string());
  std::sort(paths.begin(), paths.end());
  return paths;
}

std::string list_of(const Program& program) {
  const Judgement judgement = judge(program);
  return work_text(program, judgement, make_plan(program, judgement), "2026-08-12");
}

}  // namespace

TEST_CASE("every example visit comes out the same on ground laid by others, and twice in a row") {
  Sources sources;
  Diagnostics told;
  HouseBook book({"profiles"}, sources, told);
  const HouseTree* house = book.house_in("examples/harrow_lane");
  REQUIRE(house != nullptr);
  ManyChecks checks(house);
  std::size_t compared = 0;
  for (int round = 0; round < 2; ++round) {
    for (const std::string& path : example_visits()) {
      INFO(path);
      const VisitTree* visit = book.visit(path);
      REQUIRE(visit != nullptr);
      const auto layers = book.layers(*visit->profile);
      REQUIRE(layers);
      Diagnostics alone_told;
      Diagnostics together_told;
      const auto alone = check({house, *layers, visit}, alone_told);
      const auto together = checks.check(*layers, *visit, together_told);
      CHECK(alone_told.list().size() == together_told.list().size());
      REQUIRE((alone && together));
      CHECK(list_of(*alone) == list_of(*together));
      ++compared;
    }
  }
  CHECK(compared >= 100);
  CHECK(told.list().empty());
}

TEST_CASE("a program that is held is nobody else's") {
  Sources sources;
  Diagnostics told;
  HouseBook book({"profiles"}, sources, told);
  const HouseTree* house = book.house_in("examples/harrow_lane");
  const VisitTree* first = book.visit("examples/harrow_lane/visits/s01a_back_bow.yaml");
  const VisitTree* second = book.visit("examples/harrow_lane/visits/s01b_after_the_rod.yaml");
  REQUIRE((house != nullptr && first != nullptr && second != nullptr));
  const auto layers = book.layers(*first->profile);
  REQUIRE(layers);
  ManyChecks checks(house);
  const auto one = checks.check(*layers, *first, told);
  REQUIRE(one);
  const std::string before = list_of(*one);
  const auto other = checks.check(*layers, *second, told);
  REQUIRE(other);
  CHECK(one.get() != other.get());
  CHECK(list_of(*one) == before);
  CHECK(list_of(*other) != before);
}
