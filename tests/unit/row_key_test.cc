// Keys of tables and of their rows.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "engine/syntax/parse_expr.h"
#include "tests/support/parse_rows.h"

namespace stringline::test {
namespace {

// Text -> "kind member lo hi".
const std::vector<Row>& accepted() {
  static const std::vector<Row> rows{
      {"tapping", "member tapping"},
      {"up", "member up"},
      {"8", "member 8"},
      {"0.5", "member 0.5"},
      {"-1", "member -1"},
      {"12 in", "member 12 in"},
      {"E2", "member E2"},
      {"F#4", "member F#4"},
      {"true", "member true"},
      {"false", "member false"},
      {"4a", "member 4a"},
      {"1..4", "member 1..4"},
      {" wound ", "member wound"},
      {"up to 9.5 in", "band up to 9.5 in"},
      {"up  to 9.5 in", "band up to 9.5 in"},
      {"over 9.5 in up to 12 in", "band over 9.5 in up to 12 in"},
      {"over 9.5 up to 12 in", "band over 9.5 in up to 12 in"},
      {"over 9.5 in up to 12", "band over 9.5 in up to 12 in"},
      {"over 12 in", "band over 12 in"},
      {"over 10 %", "band over 10 %"},
      {"over -5 up to 5 cents", "band over -5 cents up to 5 cents"},
      {"up to bend_floor + 1 mm", "band up to bend_floor + 1 mm"},
      {"from 12 in", "from 12 in"},
      {"from 200.00", "from 200.00"},
      {"otherwise", "otherwise"},
  };
  return rows;
}

// Text -> code, place, [the words under the caret], hint.
const std::vector<Row>& refused() {
  static const std::vector<Row> rows{
      {"up 9.5 in", "E203 @0 [up] write 'up to B'"},
      {"from 9 in up to 12 in",
       "E217 @10 [up] leave out 'up to', or write 'over A up to B' when the lower end does not belong to the band"},
      {"under 9 in", "E217 @0 [under] write 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"below 9 in", "E204 @0 [below] write 'up to B', which includes B"},
      {"above 9 in", "E204 @0 [above] write 'over A', or 'from A' when A belongs to the band"},
      {"> 9 in", "E217 @0 [>] write 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"at most 9 in", "E217 @0 [at] write 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"9.5 .. 12 in", "E203 @4 [..] write 'over A up to B'"},
      {"9.5 in to 12 in", "E204 @7 [to] write 'over A up to B'"},
      {"else", "E217 @0 [else] write 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"over", "E203 @4 [] "},
      {"over 9.5 in up 12 in", "E203 @12 [up] write 'up to B'"},
      {"007", "E207 @0 [007] write '7'"},
      {"9thou", "E209 @0 [9thou] write '9 thou'"},
      {"Tapping", "E203 @0 [Tapping] names are lower-case: 'tapping'"},
      {"", "E217 @0 [] write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"bass and treble",
       "E217 @5 [and] write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"upto 3", "E204 @0 [upto] write 'up to'"},
      {"is low", "E217 @0 [is] write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"{x}", "E204 @0 [{] a member stands after a dot, 'action.bass', and a list of states in 'one of (a, b)'"},
      {"up to", "E203 @5 [] "},
      {"up to over", "E206 @6 [over] 'over' is a word of the language and can not be a name"},
      {"over a or b", "E217 @7 [or] write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"from", "E203 @4 [] "},
      {"over 3 in from 4 in",
       "E217 @10 [from] write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"4ab", "E210 @1 [ab] the units are ..."},
      {"9.5 mils", "E210 @4 [mils] write '9.5 thou'"},
      {"<= 9 in", "E217 @0 [<=] write 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"over 9 in to 12 in", "E204 @10 [to] write 'over A up to B'"},
      {"otherwise 3", "E217 @10 [3] write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"},
      {"over 3 mm up to 1/8 in up to 4 mm", "E203 @23 [up] write 'up to B'"},
      {"1/3 in",
       "E211 @0 [1/3 in] lengths go down to 1/8192 in, 0.00001 thou and 0.000000001 mm; write one that is a whole "
       "count of these"},
  };
  return rows;
}

std::string dump(const RowKey& row) {
  const auto end = [](const char* word, const ExprPtr& expr) { return expr ? std::string(word) + to_text(*expr) : ""; };
  switch (row.kind) {
    case RowKey::Kind::member: return "member " + row.member;
    case RowKey::Kind::band: return "band" + end(" over ", row.lo) + end(" up to ", row.hi);
    case RowKey::Kind::from: return end("from ", row.lo);
    case RowKey::Kind::otherwise: return "otherwise";
  }
  return "";
}

}  // namespace

TEST_CASE("a row is a member, a band or otherwise") {
  check_accepted(accepted(), parse_row_key, [](const auto& read) { return dump(read); });
}

TEST_CASE("what is no key of a row is refused at its place with what to write instead") {
  check_refused(refused(), parse_row_key);
}

TEST_CASE("the ends of a band know their places") {
  const std::string text = "over 9.5 up to 12 in";
  Diagnostics out;
  const auto key = parse_row_key(scalar(text), out);
  REQUIRE(key);
  CHECK(slice(text, key->span) == text);
  CHECK(slice(text, key->lo->span) == "9.5");
  CHECK(slice(text, key->hi->span) == "12 in");
}

TEST_CASE("a table begins with the word by") {
  CHECK(is_table_key(scalar("by style")));
  CHECK(is_table_key(scalar("by")));
  CHECK(is_table_key(scalar("by(a)")));
  CHECK_FALSE(is_table_key(scalar("bypass")));
  CHECK_FALSE(is_table_key(scalar("style")));
  CHECK_FALSE(is_table_key(scalar("")));
}

TEST_CASE("the selector of a table is any expression") {
  Diagnostics out;
  const std::string text = "by count(fret_left is low)";
  const ExprPtr expr = parse_table_key(scalar(text), out);
  REQUIRE(expr);
  CHECK(test::dump(*expr) == "[count() [is fret_left low]]");
  CHECK(slice(text, expr->span) == "count(fret_left is low)");
}

TEST_CASE("a table without a selector, or with more than one, is refused") {
  const std::vector<Row> rows{
      {"by", "E203 @2 [] "},
      {"by over", "E206 @3 [over] 'over' is a word of the language and can not be a name"},
      {"by a b", "E203 @5 [b] an operator, such as 'and', 'over' or '*', is missing before it"},
      {"by a, b", "E203 @4 [,] "},
      {"style", "E203 @0 [style] "},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    Diagnostics out;
    CHECK(parse_table_key(scalar(row.text), out) == nullptr);
    CHECK(dump(out, row.text) == row.expected);
  }
}

}  // namespace stringline::test
