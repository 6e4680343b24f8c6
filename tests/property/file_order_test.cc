// What a folder's visits are called, and in which order the system lists them, never changes what is said of all of them: board,
// instruments over time, what rods teach, and what check finds.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <regex>
#include <string>
#include <vector>

#include "engine/book/board.h"
#include "engine/book/check_book.h"
#include "engine/book/drift.h"
#include "engine/book/house_visits.h"
#include "engine/book/learn.h"
#include "engine/diag/render.h"
#include "engine/paper/board.h"
#include "engine/paper/drift.h"
#include "engine/paper/json.h"
#include "engine/paper/learn.h"
#include "tests/support/rounds.h"
#include "tests/support/run_program.h"
#include "tests/support/shuffled_book.h"

using namespace stringline;

namespace {

namespace fs = std::filesystem;

constexpr const char* today = "2026-08-03";

std::string board_of(HouseBook& book, const HouseTree* house, const Sources& sources) {
  HouseVisits visits(book, house);
  const Board all = board(visits, *parse_date(today), sources);
  Json document;
  add_board(document, all, "the shop");
  return board_text(all, "the shop") + json_text(document);
}

std::string instruments_of(HouseBook& book, const HouseTree* house) {
  std::map<std::string, int> ids;
  const HouseVisits everything(book, house);
  for (const HouseVisit& visit : everything.all()) {
    if (visit.tree && visit.tree->instrument.id) ++ids[visit.tree->instrument.id->text];
  }
  std::string text;
  for (const auto& [id, count] : ids) {
    if (count < 2) continue;
    HouseVisits visits(book, house, id);
    DriftHead head{id, "", {}, {}};
    std::vector<SeenVisit> seen;
    for (std::size_t i = 0; i < visits.all().size(); ++i) {
      const HouseVisit* visit = visits.judged(i);
      REQUIRE(visit != nullptr);
      head.shown.push_back(&*visit->program);
      seen.push_back({&*visit->program, &*visit->judgement});
    }
    Json document;
    add_history(document, head, history(seen));
    text += history_text(head, history(seen)) + json_text(document);
  }
  CHECK(!text.empty());
  return text;
}

std::string learnt_of(HouseBook& book, const HouseTree* house, Diagnostics& diagnostics) {
  std::vector<Program> programs;
  for (const std::string& path : book.visit_paths()) {
    const VisitTree* visit = book.visit(path);
    REQUIRE(visit != nullptr);
    const auto layers = book.layers(*visit->profile);
    REQUIRE(layers);
    programs.push_back(*check({house, *layers, visit}, diagnostics));
  }
  return learn_text(learn(programs));
}

// What commands over a whole book say of the one in `root`. `were`: what its visits' files were called.
std::string seen(const fs::path& root, const std::map<std::string, std::string>& were) {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book({"profiles"}, sources, diagnostics);
  const HouseTree* house = book.house_above((root / "house.yaml").string());
  REQUIRE(house != nullptr);
  std::string text = board_of(book, house, sources) + instruments_of(book, house) + learnt_of(book, house, diagnostics);
  Diagnostics found;
  HouseBook again({"profiles"}, sources, found);
  std::vector<std::string> unread;
  check_path(again, root.string(), "", found, unread);
  CHECK(unread.empty());
  text += render(found, sources, false);
  text = testing::without_places(text, root);
  static const std::regex name("visits/([A-Za-z0-9_.-]+[.]yaml)");
  std::string out;
  std::string rest = text;
  for (std::smatch match; std::regex_search(rest, match, name); rest = match.suffix()) {
    const auto was = were.find(match[1]);
    out += match.prefix().str() + "visits/" + (was == were.end() ? match[1].str() : was->second);
  }
  return out + rest;
}

}  // namespace

TEST_CASE("what files are called and in which order they come never changes what is said of all visits") {
  constexpr unsigned seed = 20'261'130;
  std::mt19937 random(seed);
  const fs::path root = "examples/harrow_lane";
  const std::string before = seen(root, {});
  const int rounds = test::rounds(3);
  for (int round = 0; round < rounds; ++round) {
    INFO("seed " << seed << " round " << round);
    const ScratchFolder scratch;
    testing::shuffle_folder(root, scratch.path() / "book", random);
    const auto were = testing::rename_visits(scratch.path() / "book", random);
    const std::string after = seen(scratch.path() / "book", were);
    if (before != after) CHECK(testing::first_difference(before, after) == "");
  }
}
