// The order of keys never changes a result: house, profiles and visit are written anew in random orders and give the same bytes.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>
#include <regex>
#include <string>
#include <vector>

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/paper/json.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/rounds.h"
#include "tests/support/run_program.h"
#include "tests/support/shuffled_yaml.h"

using namespace stringline;

namespace {

namespace fs = std::filesystem;

// The first package of a house is the default; the entries of a log come in their order (a list stays as it is).
const std::set<std::string> kept_in_order{"packages"};

std::string shuffled(const fs::path& file, std::mt19937& random) {
  Sources sources;
  Diagnostics diagnostics;
  const SourceId id = sources.add(file.string(), stringline::read_file(file));
  const auto document = read_yaml(id, sources, diagnostics);
  INFO(render(diagnostics, sources, false));
  REQUIRE(document);
  return testing::ShuffledYaml(sources.text(id), random, kept_in_order).write(*document);
}

// Every .yaml file below `from`, shuffled, at the same place below `to`.
void shuffle_folder(const fs::path& from, const fs::path& to, std::mt19937& random) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::recursive_directory_iterator(from)) {
    if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  for (const fs::path& file : files) {
    stringline::write_file(to / fs::relative(file, from), shuffled(file, random));
  }
}

// Places in files move with the keys; everything else must not.
std::string without_places(std::string text, const fs::path& root) {
  static const std::regex place(":[0-9]+:[0-9]+");
  for (std::size_t at = text.find(root.string()); at != std::string::npos; at = text.find(root.string(), at))
    text.erase(at, root.string().size());
  return std::regex_replace(text, place, "");
}

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

std::string first_difference(const std::string& a, const std::string& b) {
  const auto at = static_cast<std::size_t>(std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first - a.begin());
  const std::size_t from = at < 200 ? 0 : at - 200;
  return a.substr(from, 400) + "\n--- against ---\n" + b.substr(from, 400);
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
