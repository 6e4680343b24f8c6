// The nearest known name: near enough to help, never a guess.
#include "engine/diag/suggest.h"

#include <catch2/catch.hpp>

using namespace stringline;

namespace {

std::string near(std::string_view word, const std::vector<std::string>& candidates) {
  return nearest(word, candidates).value_or("-");
}

}  // namespace

TEST_CASE("one slip of the finger finds the name that was meant") {
  const std::vector<std::string> names{"relief", "nut_gap", "action", "float"};
  CHECK(near("relif", names) == "relief");     // a letter missing
  CHECK(near("reliief", names) == "relief");   // one too many
  CHECK(near("releif", names) == "relief");    // two swapped
  CHECK(near("nut_gab", names) == "nut_gap");  // another letter
  CHECK(near("nut_gpa", names) == "nut_gap");
  CHECK(near("acton", names) == "action");
}

TEST_CASE("nothing is offered that is not near") {
  const std::vector<std::string> names{"relief", "nut_gap"};
  CHECK(near("saddle_height", names) == "-");
  CHECK(near("gap", names) == "-");
  CHECK(near("xyz", names) == "-");
  CHECK(near("anything", {}) == "-");
}

TEST_CASE("a third of the longer name may differ, and in a short one a single letter") {
  CHECK(near("abcdef", {"abcxyf"}) == "abcxyf");  // 2 of 6
  CHECK(near("abcdef", {"axyzef"}) == "-");       // 3 of 6
  CHECK(near("ab", {"ax"}) == "ax");
  CHECK(near("ab", {"xy"}) == "-");
  CHECK(near("a", {"b"}) == "b");
}

TEST_CASE("a swap of neighbours counts as one change") {
  CHECK(near("abc", {"acb"}) == "acb");  // one of three; two replacements would be too many
  CHECK(near("abc", {"cba"}) == "-");
}

TEST_CASE("the nearest wins, and among equals the first in alphabetical order, whatever order they come in") {
  CHECK(near("actions", {"motions", "action"}) == "action");
  CHECK(near("nut_gup", {"nut_gip", "nut_gap", "nut_gop"}) == "nut_gap");
  CHECK(near("nut_gup", {"nut_gop", "nut_gap", "nut_gip"}) == "nut_gap");
}

TEST_CASE("the name itself is at no distance") { CHECK(near("relief", {"relieg", "relief"}) == "relief"); }

TEST_CASE("what is appended to a message names the near one, or a short list, or nothing") {
  CHECK(did_you_mean("relif", {"relief", "action"}) == "; did you mean 'relief'?");
  CHECK(did_you_mean("something", {"relief", "action"}) == "; known: relief, action");
  CHECK(did_you_mean("something", {}).empty());
  const std::vector<std::string> nine{"aa1", "bb2", "cc3", "dd4", "ee5", "ff6", "gg7", "hh8", "ii9"};
  CHECK(did_you_mean("something", nine).empty());
  CHECK(did_you_mean("something", {nine.begin(), nine.begin() + 8}) ==
        "; known: aa1, bb2, cc3, dd4, ee5, ff6, gg7, hh8");
}
