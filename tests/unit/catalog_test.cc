// Nothing in the catalogue is there for show: each code is asked for by a test, and no test asks for one that is gone.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <map>
#include <set>
#include <string>

#include "engine/diag/diagnostic.h"
#include "tests/support/run_program.h"

using namespace stringline;

namespace {

// No text is known that gives these; they stand guard in case a YAML library changes, and
// tests/property/yaml_second_opinion_test.cc fails when one is found.
const std::set<std::string> unreachable{"E158", "E159"};

bool of_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

bool is_code(std::string_view word) {
  if (word.size() != 4 || (word[0] != 'E' && word[0] != 'W' && word[0] != 'N')) return false;
  return std::all_of(word.begin() + 1, word.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// Codes written out, and names after Code::, with one file that has them.
void collect(const std::string& text, const std::string& path, std::map<std::string, std::string>& found) {
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i;
    while (end < text.size() && of_word(text[end])) ++end;
    const std::string word = text.substr(i, end - i);
    const bool named = i >= 6 && text.compare(i - 6, 6, "Code::") == 0;
    if (named || is_code(word)) found.emplace(word, path);
    i = std::max(end, i + 1);
  }
}

std::map<std::string, std::string> asked_for() {
  std::map<std::string, std::string> found;
  for (const char* folder : {"tests/golden", "tests/unit", "tests/property"}) {
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
      const std::string path = entry.path().string();
      if (entry.is_regular_file() && entry.path().filename() != "catalog_test.cc")
        collect(read_file(path), path, found);
    }
  }
  return found;
}

}  // namespace

TEST_CASE("every diagnostic is asked for by a golden case, a unit test or a property") {
  const auto found = asked_for();
  std::string missing;
  for (const CodeInfo& code : all_codes()) {
    if (unreachable.count(std::string(code.id)) > 0) continue;
    if (found.count(std::string(code.id)) + found.count(std::string(code.name)) > 0) continue;
    missing.append("\n").append(code.id).append(" ").append(code.summary);
  }
  CHECK(missing == "");
}

TEST_CASE("no golden case shows a code that the catalogue does not have") {
  std::set<std::string> known;
  for (const CodeInfo& code : all_codes()) known.emplace(code.id);
  std::map<std::string, std::string> found;
  for (const auto& entry : std::filesystem::recursive_directory_iterator("tests/golden")) {
    if (entry.is_regular_file()) collect(read_file(entry.path().string()), entry.path().string(), found);
  }
  for (const auto& [code, path] : found) {
    INFO(path);
    if (is_code(code)) CHECK(known.count(code) == 1);
  }
}
