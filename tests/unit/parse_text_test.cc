// Texts with holes, as in say: and because:.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "engine/syntax/parse_expr.h"
#include "engine/text/limits.h"
#include "tests/support/parse_rows.h"

namespace stringline::test {
namespace {

// Text -> its pieces between bars; a hole in braces.
const std::vector<Row>& accepted() {
  static const std::vector<Row> rows{
      {"", ""},
      {"no holes, just a comma", "no holes, just a comma"},
      {"{relief}", "{relief}"},
      {"{ relief }", "{relief}"},
      {"at {relief} it buzzes", "at |{relief}| it buzzes"},
      {"{a}{b}", "{a}|{b}"},
      {"{{}}", "{}"},
      {"{{a}} and {{{b}}}", "{a} and {|{b}|}"},
      {"{{{{", "{{"},
      {"at {aim(action.treble)} from fret {first_stopped(fret)} up",
       "at |{aim(action.treble)}| from fret |{first_stopped(fret)}| up"},
      {"{if a over 2 mm then 1 else 2} turns", "{if a over 2 mm then 1 else 2}| turns"},
      {"{relief\n}", "{relief}"},
      {"line one\nline two", "line one\nline two"},
      {"\xc3\xa9 {relief} \xc3\xa9", "\xc3\xa9 |{relief}| \xc3\xa9"},
      {"5' 2\" & 100 % @ #", "5' 2\" & 100 % @ #"},
  };
  return rows;
}

// Text -> code, place, [the words under the caret], hint.
const std::vector<Row>& refused() {
  static const std::vector<Row> rows{
      {"{}", "E220 @0 [{}] write an expression, such as '{relief}', or '{{' for a brace"},
      {"{ }", "E220 @0 [{ }] write an expression, such as '{relief}', or '{{' for a brace"},
      {"a { b", "E219 @2 [{] write '{expression}', or '{{' for a brace"},
      {"a {fret b {c}", "E219 @2 [{] write '{expression}', or '{{' for a brace"},
      {"a } b", "E221 @2 [}] write '}}' for a brace"},
      {"{a b}", "E203 @3 [b] an operator, such as 'and', 'over' or '*', is missing before it"},
      {"{a} {b &&}", "E204 @7 [&&] write 'and'"},
      {"{9 mils} and {8 zork}", "E210 @3 [mils] write '9 thou'\nE210 @16 [zork] the units are ..."},
      {"{x", "E219 @0 [{] write '{expression}', or '{{' for a brace"},
      {"say {relief over}", "E203 @16 [}] "},
      {"say {3 inch}", "E210 @7 [inch] write '3 in'"},
      {"{a}}", "E221 @3 [}] write '}}' for a brace"},
      {"{not}", "E203 @4 [}] "},
      {"{a {b}", "E219 @0 [{] write '{expression}', or '{{' for a brace"},
      {"price {x over 3,5}", "E207 @14 [3,5] write '3.5'"},
      {"{\"a\"}", "E204 @1 [\"] names and states stand without quotes"},
  };
  return rows;
}

std::string dump(const TextExpr& text) {
  std::string result;
  for (const TextPiece& piece : text.pieces) {
    if (!result.empty()) result += "|";
    result += piece.hole ? "{" + to_text(*piece.hole) + "}" : piece.text;
  }
  return result;
}

}  // namespace

TEST_CASE("a text is words and holes in the order in which they stand") {
  check_accepted(accepted(), parse_text, [](const auto& read) { return dump(read); });
}

TEST_CASE("a hole that holds no expression, or no end, is refused at its place") {
  check_refused(refused(), parse_text);
}

TEST_CASE("what stands in a hole knows its place in the whole text") {
  const std::string text = "fret {fret} stands {fret_rise - 1 thou} proud";
  Diagnostics out;
  const auto parsed = parse_text(scalar(text), out);
  REQUIRE(parsed);
  REQUIRE(parsed->pieces.size() == 5);
  CHECK(slice(text, parsed->pieces[1].hole->span) == "fret");
  CHECK(slice(text, parsed->pieces[3].hole->span) == "fret_rise - 1 thou");
  CHECK(slice(text, parsed->span) == text);
}

TEST_CASE("a text may be long, a hole in it may not") {
  const std::string words(3 * limits::usual.expression_bytes, 'x');
  Diagnostics fine;
  CHECK(parse_text(scalar(words + "{a}"), fine));
  Diagnostics out;
  CHECK_FALSE(parse_text(scalar("{" + words + "}"), out));
  REQUIRE(out.list().size() == 1);
  CHECK(info(out.list().front().code).id == "E201");
}

}  // namespace stringline::test
