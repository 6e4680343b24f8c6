// The nearest known name: near enough to help, never a guess.
#include "engine/diag/suggest.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>
#include <vector>

using namespace stringline;

namespace {

// The usual table: how many letters more, fewer or other, or neighbours swapped, make the one of the other.
std::size_t apart(const std::string& a, const std::string& b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i)
    for (std::size_t j = 0; j <= b.size(); ++j) {
      if (i == 0 || j == 0) {
        d[i][j] = i + j;
        continue;
      }
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  return d[a.size()][b.size()];
}

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

TEST_CASE("random words are as far apart as the table of all their beginnings tells") {
  std::mt19937 random(20'261'129);
  const auto word = [&random](std::size_t longest) {
    std::string letters(1 + random() % longest, 'a');
    for (char& c : letters) c = static_cast<char>('a' + random() % 3);
    return letters;
  };
  std::size_t near_ones = 0;
  for (int round = 0; round < 20'000; ++round) {
    const std::size_t longest = round % 2 == 0 ? 8 : 64;
    const std::string from = word(longest);
    std::string to = word(longest);
    if (round % 3 > 0) {  // as a hand slips
      to = from;
      for (std::size_t slips = random() % (1 + from.size() / 2); slips > 0; --slips) {
        const std::size_t at = random() % to.size();
        if (random() % 3 == 0 && at > 0) {
          std::swap(to[at], to[at - 1]);
        } else if (random() % 2 == 0 && to.size() > 1) {
          to.erase(at, 1);
        } else {
          to.insert(at, 1, static_cast<char>('a' + random() % 3));
        }
      }
    }
    const std::size_t allowed = std::max<std::size_t>(1, std::max(from.size(), to.size()) / 3);
    const bool is_near = apart(from, to) <= allowed;
    near_ones += is_near ? 1 : 0;
    if (nearest(from, {to}).has_value() != is_near) FAIL(from << " and " << to);
  }
  CHECK(near_ones > 5'000);
  CHECK(near_ones < 19'000);
}

TEST_CASE("a word of more than 64 letters is no slip of any other") {
  const std::string word(64, 'a');
  CHECK(near(word, {word.substr(1)}) == word.substr(1));
  CHECK(near(word + "a", {word}) == "-");
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

// ---- by words

namespace {

const std::vector<Known>& bench() {
  static const std::vector<Known> jobs{
      {"cut_saddle", "take wood off the bridge's feet", "mark its place sand the feet on the top's own curve"},
      {"stand_bridge", "stand the bridge upright, both feet flat"},
      {"level_frets", "level, crown and polish the frets"},
      {"spot_level", "level one high fret"},
      {"tighten_rod", "tighten the truss rod"},
      {"loosen_rod", "loosen the truss rod"},
      {"refret"},
  };
  return jobs;
}

std::string found(std::string_view word, const std::vector<Known>& known) {
  std::string names;
  for (const Known& each : nearest_by_words(word, known)) names += (names.empty() ? "" : " ") + each.name;
  return names;
}

}  // namespace

TEST_CASE("words shared with the name, the label or what is said of it find the one that has most of them") {
  CHECK(found("sand_feet", bench()) == "cut_saddle");  // feet in the label, sand in what is said of it
  CHECK(found("bridge upright", bench()) == "stand_bridge");
  CHECK(found("truss_rod", bench()) == "loosen_rod tighten_rod");
  CHECK(found("polishing", bench()) == "level_frets");
  CHECK(found("levels", bench()) == "level_frets spot_level");
  CHECK(found("CROWN", bench()) == "level_frets");
}

TEST_CASE("two forms of a word are one where they share four letters and all but one of the shorter") {
  const std::vector<Known> stance{{"bridge_stance", "", "upright leaning"}, {"bridge_gap"}};
  CHECK(found("bridge_lean", stance) == "bridge_stance");
  CHECK(found("lea", stance).empty());
  CHECK(found("standing", {{"stand"}}) == "stand");
  CHECK(found("head", {{"heat"}}).empty());
}

TEST_CASE("nothing is found by words that tell nothing, by less than half of them, or by what four share") {
  CHECK(found("the and off", bench()).empty());
  CHECK(found("feet of my old neighbour", bench()).empty());
  CHECK(found("gap", {{"a_gap"}, {"b_gap"}, {"c_gap"}}) == "a_gap b_gap c_gap");
  CHECK(found("gap", {{"a_gap"}, {"b_gap"}, {"c_gap"}, {"d_gap"}}).empty());
  CHECK(found("", bench()).empty());
}

TEST_CASE("spelling goes first unless words find more") {
  CHECK(did_you_mean_one_of("tighten_rd", bench()) == "; did you mean 'tighten_rod'?");
  CHECK(did_you_mean_one_of("fret_level", bench()) ==
        "; did you mean 'level_frets' (level, crown and polish the frets) or 'spot_level' (level one high fret)?");
  CHECK(did_you_mean_one_of("sand_feet", bench()) == "; did you mean 'cut_saddle' (take wood off the bridge's feet)?");
  CHECK(did_you_mean_one_of("bridge_lean", {{"bridge_stance", "", "leaning"}, {"bridge_gap"}}) ==
        "; did you mean 'bridge_stance'?");
  CHECK(did_you_mean_one_of("wobble", {{"relief"}, {"action"}}) == "; known: relief, action");
}
