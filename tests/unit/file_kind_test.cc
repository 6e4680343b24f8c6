#include "engine/syntax/file_kind.h"

#include <set>
#include <string>

#include <catch2/catch.hpp>

#include "engine/syntax/keys.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/read_case.h"

using namespace stringline;
using stringline::test::ReadCase;

namespace {

std::optional<FileKind> kind_of(const std::string& text) {
  Sources sources;
  Diagnostics out;
  const auto document = read_yaml(sources.add("case.yaml", text), sources, out);
  REQUIRE(document);
  const auto kind = file_kind(*document, out);
  CHECK(out.has_errors() == !kind);
  return kind;
}

// Small files with one mistake each, at the ^.
struct Example {
  const char* code;
  const char* text;
};

const std::vector<Example>& examples() {
  static const std::vector<Example> table{
      {"E301", "profile: p\njobs:\n  retune: {^lable: tune it}\n"},
      {"E301", "house: h\n^orders: [rod]\n"},
      {"E301", "visit: v\nprofile: p\nlog:\n  - ^raed: {relief: 9 thou}\n"},
      {"E302", "house: h\norder: ^rod\n"},
      {"E302", "profile: p\njobs:\n  retune: {label: ^[tune, it]}\n"},
      {"E302", "profile: p\nrules: ^none\n"},
      {"E302", "profile: p\ntargets:\n  relief: ^6 .. 9 thou\n"},
      {"E302", "profile: p\nchoices:\n  style: ^fingers\n"},
      {"E303", "house: h\npackages:\n  ^setup: {covers: rod}\n"},
      {"E303", "^visit: v\nlog: []\n"},
      {"E303", "visit: v\nprofile: p\nowner: ^{phone: 555-0100}\n"},
      {"E304", "profile: p\nreadings:\n  ^nutGap: {is: length}\n"},
      {"E304", "profile: p\njobs:\n  j: {phase: ^nut work}\n"},
      {"E304", "profile: p\ntargets:\n  ^nutGap.bass: {phase: nut}\n"},
      {"E305", "profile: p\nfacts:\n  ^over: 3\n"},
      {"E305", "profile: ^otherwise\n"},
      {"E306", "^profil: tenor\n"},
      {"E306", "^label: a tenor\nprofile: tenor\n"},
      {"E307", "profile: p\njobs:\n  j: {routine: ^yes}\n"},
      {"E308", "house: h\ndecide: ^clearly\n"},
      {"E308", "profile: p\nreadings:\n  r: {per: ^strng}\n"},
      {"E308", "profile: p\nreadings:\n  r: {is: ^lenght}\n"},
      {"E308", "profile: p\njobs:\n  j: {moves: ^saddle}\n"},
      {"E309", "visit: v\nprofile: p\ndue: ^3.8.2026\n"},
      {"E309", "visit: v\nprofile: p\nlog:\n  - {date: ^2026-02-30, note: cold}\n"},
      {"E310", "visit: v\nprofile: p\nlog:\n  - {date: 2026-08-03, note: a}\n  - {date: ^2026-08-02, note: b}\n"},
      {"E311", "visit: v\nprofile: p\ninstrument: {strings: [11p, ^14, 18p]}\n"},
      {"E312", "house: h\ncurrency: ^EUX\n"},
      {"E313", "house: h\ncurrency: USD\nprices: {assess: ^30.005}\n"},
      {"E314", "house: h\ntax: ^25\n"},
      {"E314", "house: h\nshow: {length: ^kg}\n"},
      {"E314", "profile: p\njobs:\n  j: {wait: ^24 mm}\n"},
      {"E315", "visit: v\nprofile: p\nlog:\n  - read: {nut_gap.^4..1: 9 thou}\n"},
      {"E316", "visit: v\nprofile: p\nlog:\n  - ^{date: 2026-08-03}\n"},
      {"E316", "house: h\norder: ^[]\n"},
      {"E317", "house: h\norder: [rod, nut, ^rod]\n"},
      {"E317", "visit: v\nprofile: p\nlog:\n  - read: {action.bass: 2 mm, action: {^bass: 2 mm}}\n"},
      {"E318",
       "profile: p\ntargets:\n  relief:\n    range:\n      by style: {tapping: 3 .. 6 thou}\n      ^otherwise: 1 .. 2 "
       "mm\n"},
      {"E319", "visit: ^31 july\nprofile: p\n"},
      {"E320", "profile: p\nreadings:\n  r: {read_to: ^0 mm}\n"},
      {"E320", "profile: p\njobs:\n  j: {wait: ^21 d .. 7 d}\n"},
      {"E321", "house: h\nbench: {rate: ^90.00}\n"},
      {"E321", "house: h\nask_again: ^10 %\n"},
      {"E322", "visit: v\nprofile: p\nlog:\n  - read: {relief: ^8 thou + 1 thou}\n"},
      {"E323",
       "visit: v\nprofile: p\ninstrument: {strings: ^[9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p, "
       "9p, "
       "9p, 9p, 9p, 9p, 9p, 9p, 9p, 9p]}\n"},
      {"E324", "profile: p\nreadings:\n  r: {gap: {at: ^12th}}\n"},
  };
  return table;
}

}  // namespace

TEST_CASE("the first key tells the kind of a file") {
  CHECK(kind_of("house: h\n") == FileKind::house);
  CHECK(kind_of("profile: tenor\n") == FileKind::profile);
  CHECK(kind_of("visit: 2026-0731\nprofile: tenor\n") == FileKind::visit);
  CHECK(kind_of("trials: tenor\n") == FileKind::trials);
}

TEST_CASE("another first key, a list or an empty map tells no kind") {
  CHECK_FALSE(kind_of("label: tenor\n"));
  CHECK_FALSE(kind_of("- profile: tenor\n"));
  CHECK_FALSE(kind_of("{}\n"));
}

TEST_CASE("a kind that stands further down is to be moved up") {
  const ReadCase file("label: a tenor\nprofile: tenor\n");
  CHECK(file.said() == "the first key 'label' tells no kind of file | move 'profile:' to the top");
}

TEST_CASE("a slip in the first key offers the nearest kind") {
  const ReadCase file("profil: tenor\n");
  CHECK(file.said() ==
        "the first key 'profil' tells no kind of file; did you mean 'profile'?"
        " | begin the file with one of 'house:', 'profile:', 'visit:', 'trials:' and its name");
}

TEST_CASE("each mistake of a structure is reported once, at its place") {
  for (const Example& example : examples()) {
    CAPTURE(example.text);
    const ReadCase file(example.text);
    CHECK(file.mistakes() == file.expected(example.code));
    CHECK_FALSE(file.house);
    CHECK_FALSE(file.profile);
    CHECK_FALSE(file.visit);
  }
}

TEST_CASE("each diagnostic of a structure has an example") {
  std::set<std::string> shown;
  for (const Example& example : examples()) shown.insert(example.code);
  for (const CodeInfo& each : all_codes()) {
    if (each.id.substr(0, 2) == "E3") CHECK(shown.count(std::string(each.id)) == 1);
  }
}
