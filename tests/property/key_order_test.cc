// The order of keys never changes a result: house, profiles and visit are written anew in random orders and give the same bytes.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>
#include <string>
#include <vector>

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/paper/json.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"
#include "tests/support/rounds.h"
#include "tests/support/run_program.h"
#include "tests/support/shuffled_book.h"

using namespace stringline;
using testing::first_difference;
using testing::shuffle_folder;
using testing::without_places;

namespace {

namespace fs = std::filesystem;

// What people and programs see of one visit of the book in `root`.
std::string seen(const fs::path& profiles, const fs::path& root, const std::string& name) {
  const fs::path visit = root / "visits" / name;
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book({profiles.string()}, sources, diagnostics);
  const auto open = open_visit(book, {visit.string(), {}, {}, {}}, diagnostics);
  if (!open) return render(diagnostics, sources, false);
  const Plan plan = make_plan(open->program, open->judgement);
  Json document;
  add_work(document, {open->program, open->judgement, plan, sources}, *open->tree,
           sourness(open->program, open->judgement), clean_sides(open->program, open->judgement));
  return without_places(work_text(open->program, open->judgement, plan, "shuffled") +
                            ledger_text(open->program, open->judgement) + json_text(document),
                        root);
}

}  // namespace

TEST_CASE("the order of keys in house, profiles and visit never changes what comes out") {
  constexpr unsigned seed = 20'260'931;
  std::mt19937 random(seed);
  std::vector<fs::path> visits;
  for (const auto& entry : fs::directory_iterator("examples/harrow_lane/visits")) {
    if (entry.path().extension() == ".yaml") visits.push_back(entry.path());
  }
  std::sort(visits.begin(), visits.end());
  REQUIRE_FALSE(visits.empty());
  const int shuffles = test::rounds(4);  // of every file, each seen through half of the visits
  int compared = 0;
  for (int round = 0; round < shuffles; ++round) {
    const ScratchFolder scratch;
    shuffle_folder("profiles", scratch.path() / "profiles", random);
    shuffle_folder("examples/harrow_lane", scratch.path() / "book", random);
    for (std::size_t i = static_cast<std::size_t>(round) % 2; i < visits.size(); i += 2) {
      const std::string name = visits[i].filename().string();
      INFO("seed " << seed << " round " << round << " visit " << name);
      const std::string before = seen("profiles", "examples/harrow_lane", name);
      const std::string after = seen(scratch.path() / "profiles", scratch.path() / "book", name);
      if (before != after) CHECK(first_difference(before, after) == "");
      ++compared;
    }
  }
  CHECK(compared >= static_cast<int>(test::at_least(100)));
}
