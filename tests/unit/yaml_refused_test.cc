// tests/yaml/refused: what a house file must not hold, one mistake a file. Each is refused with a code of the catalog at its
// place, and says what to write instead. What a good reader refuses: the invalid kinds of the YAML 1.2 specification, and what
// is valid there and means something else to another reader (yes, 010, ~, tags, anchors).
// tests/yaml/refused.list holds code and place of each; UPDATE_GOLDEN=1 rewrites it.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <set>
#include <string>

#include "engine/diag/render.h"
#include "tests/support/read_case.h"
#include "tests/support/run_program.h"

using namespace stringline;
namespace fs = std::filesystem;

namespace {

const fs::path folder = "tests/yaml/refused";
const fs::path list = "tests/yaml/refused.list";

std::set<std::string> names() {
  std::set<std::string> all;
  for (const auto& entry : fs::directory_iterator(folder)) all.insert(entry.path().filename().string());
  return all;
}

}  // namespace

TEST_CASE("every file of the refused is refused at its place, with a code and a remedy") {
  REQUIRE(names().size() >= 120);
  std::string told;
  std::set<std::string> codes;
  for (const std::string& name : names()) {
    const test::ReadCase read(read_file(folder / name));
    const auto all = read.diagnostics.sorted();
    INFO(name << "\n" << render(read.diagnostics, read.sources, false));
    CHECK(read.diagnostics.has_errors());
    for (const Diagnostic& each : all) {
      CHECK_FALSE(each.hint.empty());
      CHECK(each.span.begin <= each.span.end);
      CHECK(each.span.end <= read.sources.text(each.span.source).size());
    }
    std::string line = name;
    for (const std::string& mistake : read.mistakes()) {
      line += "  " + mistake;
      codes.insert(mistake.substr(mistake.find(' ') + 1));
    }
    told += line + "\n";
  }
  if (std::getenv("UPDATE_GOLDEN") != nullptr) write_file(list, told);
  CHECK(told == read_file(list));
  CHECK(codes.size() >= 60);
}
