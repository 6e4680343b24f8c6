#include "engine/check/review.h"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/check/check.h"
#include "tests/support/read_case.h"

using namespace stringline;

namespace {

// "code: text under it" of every note that two layers of one profile call for.
std::vector<std::string> notes(const std::string& below, const std::string& above) {
  test::ReadCase base(below);
  test::ReadCase over(above);
  REQUIRE(base.profile);
  REQUIRE(over.profile);
  Diagnostics out;
  review_layers({&*base.profile, &*over.profile}, out);
  CHECK(out.error_count() == 0);
  std::vector<std::string> told;
  for (const Diagnostic& each : out.list()) {
    told.push_back(std::string(info(each.code).id) + ": " + each.message + " at '" + over.under(each.span) +
                   "' over '" + base.under(each.related.front().span) + "'");
  }
  return told;
}

std::string layer_of(const std::string& name, const std::string& range) {
  return "profile: " + name + "\ntargets:\n  action.bass: {range: " + range + "}\n";
}

// What is said of a range whose reading is read to 0.1 mm.
std::vector<std::string> said_of(const std::string& range, const std::string& more = "", const char* decide = "clear") {
  test::ReadCase house(std::string("house: mill_street\norder: [bridge]\ndecide: ") + decide + "\n");
  test::ReadCase read("profile: guitar\nfacts: {frets: 20}\nreadings:\n  height: {is: length, read_to: 0.1 mm" + more +
                      "}\ntargets:\n  height: {range: " + range + "}\n");
  REQUIRE(house.house);
  REQUIRE(read.profile);
  const auto program = check({&*house.house, {&*read.profile}, nullptr}, read.diagnostics);
  REQUIRE(program);
  Diagnostics out;
  review({{"guitar", {&*read.profile}, &*program, true, true}}, true, out);
  std::vector<std::string> told;
  for (const Diagnostic& each : out.list()) told.push_back(std::string(info(each.code).id) + " " + each.message);
  return told;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("a house's table that can not be laid over the shipped one row by row replaces it, with a note") {
  const std::string shipped = layer_of("guitar", "{by style: {soft: 1 .. 2 mm, hard: 2 .. 3 mm}}");
  CHECK(notes(shipped, layer_of("guitar", "{by style: {soft: 1.2 .. 2 mm}}")) == Lines{});
  CHECK(notes(shipped, layer_of("guitar", "1 .. 2 mm")) == Lines{});
  CHECK(notes(shipped, layer_of("guitar", "{by radius: {up to 12 in: 1 .. 2 mm, over 12 in: 2 .. 3 mm}}")) ==
        Lines{"N401: this table replaces the whole table of 'action.bass' at 'by radius' over 'by style'"});
  // Bands asked the same way do not merge either.
  const std::string bands = layer_of("guitar", "{by radius: {up to 12 in: 1 .. 2 mm, over 12 in: 2 .. 3 mm}}");
  CHECK(notes(bands, bands).size() == 1);
  // Another profile that is based on it says what is so of another family.
  CHECK(notes(shipped, layer_of("ukulele", "{by radius: {up to 12 in: 1 .. 2 mm, over 12 in: 2 .. 3 mm}}")) == Lines{});
}

TEST_CASE("a note is no mistake") {
  Diagnostics out;
  out.report(Code::table_replaced, {}, "this table replaces another");
  CHECK_FALSE(out.has_errors());
  CHECK(info(Code::table_replaced).severity == Severity::note);
}

TEST_CASE("a range must hold two steps of its tool that are clearly within it") {
  // U = 0.1 mm / sqrt 3 = 0.0577 mm: 1.7 and 1.8 lie at least that far inside 1.6 .. 1.9, only 1.7 inside 1.6 .. 1.8.
  CHECK(said_of("1.6 .. 1.9 mm") == Lines{});
  CHECK(said_of("1.6 .. 1.8 mm") ==
        Lines{"W408 'height' is read to 0.1 mm, and only one such reading is clearly within this range"});
  CHECK(said_of("1.6 .. 1.7 mm") ==
        Lines{"W408 'height' is read to 0.1 mm, and no such reading is clearly within this range"});
  // Off the tool's steps: of 1.65 .. 1.85 neither 1.7 nor 1.8 is far enough inside.
  CHECK(said_of("1.65 .. 1.85 mm").size() == 1);
  CHECK(said_of("1.64 .. 1.86 mm") == Lines{});
  // One limit alone leaves room enough.
  CHECK(said_of("at least 1.6 mm") == Lines{});
}

TEST_CASE("the spread of repeated readings widens what a range must hold, and deciding plainly asks for nothing") {
  // U^2 = 0.01/3 + 4 * 0.04: U = 0.4041 mm.
  CHECK(
      said_of("1.6 .. 1.9 mm", ", repeat: 0.2 mm") ==
      Lines{"W408 'height' is read to 0.1 mm and repeats to 0.2 mm, and no such reading is clearly within this range"});
  CHECK(said_of("1.5 .. 2.6 mm", ", repeat: 0.2 mm") == Lines{});
  CHECK(said_of("1.6 .. 1.7 mm", "", "plain") == Lines{});
  CHECK(said_of("1.6 .. 1.7 mm", "", "prove").size() == 1);
}
