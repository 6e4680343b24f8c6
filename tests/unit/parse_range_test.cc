// Ranges: two limits, one limit, a centre; the unit that bare numbers take; what is refused.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "engine/syntax/parse_expr.h"
#include "tests/support/parse_rows.h"

namespace stringline::test {
namespace {

// Text -> as the language would write it.
const std::vector<Row>& accepted() {
  static const std::vector<Row> rows{
      {"6 .. 9 thou", "6 thou .. 9 thou"},
      {"6..9 thou", "6 thou .. 9 thou"},
      {"6 thou .. 9", "6 thou .. 9 thou"},
      {"3.5/64 in +- 0.5/64 in", "0.046875 in .. 0.0625 in aim 3.5/64 in"},
      {"3.5/64 in ± 0.1 mm", "825/16256 in .. 953/16256 in aim 3.5/64 in"},
      {"0 +- 2 cents", "-2 cents .. 2 cents aim 0 cents"},
      {"-3 .. 2 cents", "-3 cents .. 2 cents"},
      {"20 +- 2 degC", "18 degC .. 22 degC aim 20 degC"},
      {"-5 .. 30 degC", "-5 degC .. 30 degC"},
      {"0.10 .. 0.30 mm aim 0.20", "0.10 mm .. 0.30 mm aim 0.20 mm"},
      {"at least 0.8 mm", "at least 0.8 mm"},
      {"at most 5 thou aim 3", "at most 5 thou aim 3 thou"},
      {"at most fret_min + 0.05 mm", "at most fret_min + 0.05 mm"},
      {"at least bend_floor", "at least bend_floor"},
      {"fret_min .. fret_min + 0.1 mm aim fret_min + 0.05 mm", "fret_min .. fret_min + 0.1 mm aim fret_min + 0.05 mm"},
      {"x.1 .. x.4", "x.1 .. x.4"},
      {"9 .. 6 thou", "9 thou .. 6 thou"},
      {"5 % .. 10 %", "5 % .. 10 %"},
      {"10 +- 5%", "5 % .. 15 % aim 10 %"},
      {"(if a then b else c) .. 3", "(if a then b else c) .. 3"},
      {"40 .. 60 %RH aim 48", "40 %RH .. 60 %RH aim 48 %RH"},
  };
  return rows;
}

// Text -> code, place, [the words under the caret], hint.
const std::vector<Row>& refused() {
  static const std::vector<Row> rows{
      {"1 mm .. 3/64 in aim 2", "E218 @20 [2] write its unit"},
      {"6 thou",
       "E216 @6 [] write 'A .. B', 'A +- B', 'at least A' or 'at most B', each with 'aim V' where you want one"},
      {"6-9 thou", "E216 @8 [] write '6 .. 9 thou'"},
      {"6 - 9 thou", "E216 @10 [] write '6 .. 9 thou'"},
      {"6 to 9 thou", "E204 @2 [to] write '..' between the limits"},
      {"6 thou to 9 thou", "E204 @7 [to] write '..' between the limits"},
      {"6 ... 9 thou", "E204 @2 [...] write '..' between the limits"},
      {"6 … 9 thou", "E205 @2 […] write '..'"},
      {"6 – 9 thou", "E205 @2 [–] write '-' to subtract, or '..' in a range"},
      {"between 6 and 9 thou", "E204 @0 [between] write 'A .. B'"},
      {"from 6 to 9 thou", "E216 @0 [from] write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"},
      {"over 3 mm", "E216 @0 [over] write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"},
      {"under 3 mm", "E216 @0 [under] write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"},
      {"<= 3 mm", "E216 @0 [<=] write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"},
      {"> 3", "E216 @0 [>] write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"},
      {".. 9 thou", "E216 @0 [..] write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"},
      {"6 thou ..", "E203 @9 [] "},
      {"6 .. 9 .. 12 thou", "E203 @7 [..] a range has two limits"},
      {"6 .. 9 thou aim", "E203 @15 [] "},
      {"6 .. 9 thou target 7", "E204 @12 [target] write 'aim'"},
      {"6 .. 9 thou aim 7 thou 3",
       "E216 @23 [3] write 'A .. B', 'A +- B', 'at least A' or 'at most B', each with 'aim V' where you want one"},
      {"6 .. 9 thou or 3",
       "E216 @12 [or] write 'A .. B', 'A +- B', 'at least A' or 'at most B', each with 'aim V' where you want one"},
      {"0 +/- 2 cents", "E204 @2 [+/-] write '+-'"},
      {"at 3 mm", "E203 @3 [3] "},
      {"max 3 mm", "E204 @0 [max] write 'at most A'"},
      {"min 3 mm", "E204 @0 [min] write 'at least A'"},
      {"", "E203 @0 [] "},
      {"relief over 3",
       "E216 @7 [over] write 'A .. B', 'A +- B', 'at least A' or 'at most B', each with 'aim V' where you want one"},
      {"1/3 .. 9 in",
       "E211 @0 [1/3] lengths go down to 1/8192 in, 0.00001 thou and 0.000000001 mm; write one that is a whole count "
       "of these"},
      {"2 mils .. 3 zork", "E210 @2 [mils] write '2 thou'\nE210 @12 [zork] the units are ..."},
      {"aim 3 thou", "E206 @0 [aim] 'aim' is a word of the language and can not be a name"},
      {"at least 3 thou at most 5 thou",
       "E216 @16 [at] write 'A .. B', 'A +- B', 'at least A' or 'at most B', each with 'aim V' where you want one"},
      {"if a then b else c .. 3", "E203 @0 [if] put the whole 'if C then A else B' in parentheses"},
  };
  return rows;
}

RangeExpr range_of(const char* text) {
  Diagnostics out;
  const auto range = parse_range(scalar(text), out);
  INFO(text);
  REQUIRE(range);
  return *range;
}

Quantity quantity_of(const ExprPtr& expr) {
  REQUIRE(expr);
  REQUIRE(std::holds_alternative<Number>(expr->node));
  return std::get<Number>(expr->node).quantity;
}

}  // namespace

TEST_CASE("ranges are read with their limits, their aim and one unit") {
  check_accepted(accepted(), parse_range, [](const auto& read) { return to_text(read); });
}

TEST_CASE("what is no range is refused at its place with what to write instead") {
  check_refused(refused(), parse_range);
}

TEST_CASE("a printed range is read as the same range") {
  for (const Row& row : accepted()) {
    INFO(row.text);
    const RangeExpr first = range_of(row.text);
    const RangeExpr again = range_of(to_text(first).c_str());
    for (const auto& [a, b] : {std::pair{first.lo, again.lo}, {first.hi, again.hi}, {first.aim, again.aim}}) {
      REQUIRE((a == nullptr) == (b == nullptr));
      if (a) CHECK(same(*a, *b));
    }
  }
}

TEST_CASE("a one-sided range has one limit") {
  CHECK(range_of("at least 0.8 mm").hi == nullptr);
  CHECK(range_of("at most 0.8 mm").lo == nullptr);
  CHECK(range_of("at most 0.8 mm").aim == nullptr);
  CHECK(range_of("6 .. 9 thou").aim == nullptr);
}

TEST_CASE("a bare limit takes the unit of the other, and its value with it") {
  const RangeExpr range = range_of("6 .. 9 thou aim 7");
  CHECK(quantity_of(range.lo) == make_quantity(6, Unit::thou));
  CHECK(quantity_of(range.aim) == make_quantity(7, Unit::thou));
  CHECK(std::get<Number>(range.lo->node).written == "6 thou");
  CHECK(quantity_of(range_of("-5 .. 30 degC").lo) == make_quantity(-5, Unit::deg_c));
  CHECK(quantity_of(range_of("1 .. 5").lo) == make_quantity(1, Unit::none));
}

TEST_CASE("plus and minus make two limits and the centre the aim") {
  const RangeExpr range = range_of("3.5/64 in +- 0.5/64 in");
  CHECK(quantity_of(range.lo).value == make_quantity(Ratio::make(3, 64).value(), Unit::in)->value);
  CHECK(quantity_of(range.hi).value == make_quantity(Ratio::make(4, 64).value(), Unit::in)->value);
  CHECK(quantity_of(range.aim).value == make_quantity(Ratio::make(7, 128).value(), Unit::in)->value);
  const RangeExpr other_aim = range_of("0 +- 2 cents aim 1");
  CHECK(quantity_of(other_aim.aim) == make_quantity(1, Unit::cents));
}

TEST_CASE("a width in degrees is a difference") {
  const RangeExpr range = range_of("20 +- 9 degF");
  CHECK(quantity_of(range.lo).value == make_quantity(11, Unit::deg_f)->value);
  CHECK(quantity_of(range.hi).value == make_quantity(29, Unit::deg_f)->value);
  const RangeExpr mixed = range_of("20 degC +- 9 degF");  // nine degrees Fahrenheit are five Celsius
  CHECK(quantity_of(mixed.lo).value == make_quantity(15, Unit::deg_c)->value);
  CHECK(quantity_of(mixed.hi).value == make_quantity(25, Unit::deg_c)->value);
}

TEST_CASE("a width round something to be computed stays a sum and a difference") {
  const RangeExpr range = range_of("aim(action.bass) +- 0.1 mm");
  CHECK(dump(*range.lo) == "[- [aim() action.bass] 0.1 mm]");
  CHECK(dump(*range.hi) == "[+ [aim() action.bass] 0.1 mm]");
  CHECK(dump(*range.aim) == "[aim() action.bass]");
  CHECK(dump(*range_of("3 mm +- 2 cents").lo) == "[- 3 mm 2 cents]");  // check says what is wrong with it
}

TEST_CASE("limits know their places") {
  const std::string text = " 0.10 .. 0.30 mm aim 0.20 ";
  const RangeExpr range = range_of(text.c_str());
  CHECK(slice(text, range.span) == "0.10 .. 0.30 mm aim 0.20");
  CHECK(slice(text, range.lo->span) == "0.10");
  CHECK(slice(text, range.hi->span) == "0.30 mm");
  CHECK(slice(text, range.aim->span) == "0.20");
  const std::string around = "0 +- 2 cents";
  CHECK(slice(around, range_of(around.c_str()).lo->span) == around);
}

}  // namespace stringline::test
