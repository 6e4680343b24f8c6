// What the expression language accepts, how tightly it binds, where each part stands, and what it says of everything else.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "engine/syntax/parse_expr.h"
#include "engine/text/limits.h"
#include "tests/support/parse_rows.h"

namespace stringline::test {
namespace {

// Text -> tree: [operator part part].
const std::vector<Row>& accepted() {
  static const std::vector<Row> rows{
      {"a", "a"},
      {"a.b", "a.b"},
      {"pickup_gap.neck.treble", "pickup_gap.neck.treble"},
      {"nut_gap.4a", "nut_gap.4a"},
      {"octave_error.2", "octave_error.2"},
      {"octave_error.E2", "octave_error.E2"},
      {"octave_error.F#4", "octave_error.F#4"},
      {"max(nut_gap.1..4)", "[max() nut_gap.1..4]"},
      {"7", "7"},
      {"0.25", "0.25"},
      {"-7", "-7"},
      {"3.5/64 in", "3.5/64 in"},
      {"25 1/2 in", "25 1/2 in"},
      {"9 thou", "9 thou"},
      {"1/8 turns", "1/8 turns"},
      {"25 %", "25 %"},
      {"25%", "25%"},
      {"51%RH", "51%RH"},
      {"-3 degC", "-3 degC"},
      {"E2", "pitch:E2"},
      {"Bb3", "pitch:Bb3"},
      {"F#4", "pitch:F#4"},
      {"true", "true"},
      {"false", "false"},
      {"(a)", "a"},
      {"((a))", "a"},
      {"a + b + c", "[+ [+ a b] c]"},
      {"a - b - c", "[- [- a b] c]"},
      {"a - (b - c)", "[- a [- b c]]"},
      {"a + b - c", "[- [+ a b] c]"},
      {"a * b / c", "[/ [* a b] c]"},
      {"a / b / c", "[/ [/ a b] c]"},
      {"a + b * c", "[+ a [* b c]]"},
      {"(a + b) * c", "[* [+ a b] c]"},
      {"a * b + c * d", "[+ [* a b] [* c d]]"},
      {"-a", "[neg a]"},
      {"-a * b", "[* [neg a] b]"},
      {"-(a * b)", "[neg [* a b]]"},
      {"- 3 mm", "[neg 3 mm]"},
      {"-(3 mm)", "[neg 3 mm]"},
      {"--a", "[neg [neg a]]"},
      {"a - -b", "[- a [neg b]]"},
      {"a - -3", "[- a -3]"},
      {"a -3", "[- a 3]"},
      {"a-b", "[- a b]"},
      {"a * -b", "[* a [neg b]]"},
      {"2 * -3 thou", "[* 2 -3 thou]"},
      {"a over b", "[over a b]"},
      {"a under b + c", "[under a [+ b c]]"},
      {"a at least b", "[at least a b]"},
      {"a at most b", "[at most a b]"},
      {"a is low", "[is a low]"},
      {"a is not low", "[is not a low]"},
      {"a > b", "[over a b]"},
      {"a < b", "[under a b]"},
      {"a >= b", "[at least a b]"},
      {"a <= b", "[at most a b]"},
      {"a = b", "[is a b]"},
      {"a == b", "[is a b]"},
      {"a != b", "[is not a b]"},
      {"a one of (b)", "[one of a b]"},
      {"a one of (b, c, d)", "[one of a b c d]"},
      {"a + 1 one of (2, 3)", "[one of [+ a 1] 2 3]"},
      {"a and b and c", "[and [and a b] c]"},
      {"a or b or c", "[or [or a b] c]"},
      {"a or b and c", "[or a [and b c]]"},
      {"a and b or c", "[or [and a b] c]"},
      {"(a or b) and c", "[and [or a b] c]"},
      {"not a", "[not a]"},
      {"not not a", "[not [not a]]"},
      {"not a and b", "[and [not a] b]"},
      {"not a or b", "[or [not a] b]"},
      {"not (a and b)", "[not [and a b]]"},
      {"not a is low", "[not [is a low]]"},
      {"not a over b and c", "[and [not [over a b]] c]"},
      {"a and not b", "[and a [not b]]"},
      {"a is low and b is high or c", "[or [and [is a low] [is b high]] c]"},
      {"a over b and c under d", "[and [over a b] [under c d]]"},
      {"a is not(b)", "[is not a b]"},
      {"if a then b else c", "[if a b c]"},
      {"if a then b else if c then d else e", "[if a b [if c d e]]"},
      {"if a then if b then c else d else e", "[if a [if b c d] e]"},
      {"(if a then b else c) + 1", "[+ [if a b c] 1]"},
      {"if a or b then 1 mm else 2 mm + c", "[if [or a b] 1 mm [+ 2 mm c]]"},
      {"f()", "f()"},
      {"f(a)", "[f() a]"},
      {"f(a, b)", "[f() a b]"},
      {"f( a , b )", "[f() a b]"},
      {"max(1,5)", "[max() 1 5]"},
      {"any(saddle_proud is low)", "[any() [is saddle_proud low]]"},
      {"count(fret_left is low) over 3", "[over [count() [is fret_left low]] 3]"},
      {"aim(action.treble) under 2 mm", "[under [aim() action.treble] 2 mm]"},
      {"f(if a then b else c)", "[f() [if a b c]]"},
      {"f(g(a), -h(b))", "[f() [g() a] [neg [h() b]]]"},
      {"a over -b", "[over a [neg b]]"},
      {"a\nand b", "[and a b]"},
      {"true and false", "[and true false]"},
      {"up over 3 mm", "[over up 3 mm]"},
      {"to is least", "[is to least]"},
      {"within is most", "[is within most]"},
      {"9 thou over a", "[over 9 thou a]"},
      {"humidity is within and change(humidity) at most 12 %RH",
       "[and [is humidity within] [at most [change() humidity] 12 %RH]]"},
      {"fret_rise over 1.5 thou and fret over 12", "[and [over fret_rise 1.5 thou] [over fret 12]]"},
  };
  return rows;
}

// Text -> the source text of every node, outside in and left to right.
struct Spans {
  const char* text;
  std::vector<std::string> nodes;
};
const std::vector<Spans>& spans() {
  static const std::vector<Spans> rows{
      {"  a  ", {"a"}},
      {"a + b * c", {"a + b * c", "a", "b * c", "b", "c"}},
      {"(a + b) * c", {"(a + b) * c", "(a + b)", "a", "b", "c"}},
      {"( ( a ) )", {"( ( a ) )"}},
      {"a  over  9 thou ", {"a  over  9 thou", "a", "9 thou"}},
      {"a over 25 1/2 in and b", {"a over 25 1/2 in and b", "a over 25 1/2 in", "a", "25 1/2 in", "b"}},
      {"51%RH over a", {"51%RH over a", "51%RH", "a"}},
      {"not  a is low", {"not  a is low", "a is low", "a", "low"}},
      {"a and not (b)", {"a and not (b)", "a", "not (b)", "(b)"}},
      {"- a.bass", {"- a.bass", "a.bass"}},
      {"-3 cents", {"-3 cents"}},
      {"f( a, -b )+1", {"f( a, -b )+1", "f( a, -b )", "a", "-b", "b", "1"}},
      {"f()", {"f()"}},
      {"f( )", {"f( )"}},
      {"a one of ( b, c )", {"a one of ( b, c )", "a", "b", "c"}},
      {"(a) one of (b)", {"(a) one of (b)", "(a)", "b"}},
      {"if a then b else c or d ", {"if a then b else c or d", "a", "b", "c or d", "c", "d"}},
      {"(if a then b else c)", {"(if a then b else c)", "a", "b", "c"}},
      {"nut_gap.1..4 is low", {"nut_gap.1..4 is low", "nut_gap.1..4", "low"}},
      {"a\n  and\n  b", {"a\n  and\n  b", "a", "b"}},
  };
  return rows;
}

void collect(const Expr& expr, std::string_view text, std::vector<std::string>& nodes) {
  nodes.push_back(slice(text, expr.span));
  for (const ExprPtr& part : parts(expr)) collect(*part, text, nodes);
}

// Text -> code, place, [the words under the caret], hint.
const std::vector<Row>& refused() {
  static const std::vector<Row> rows{
      {"x is one of (a, b)", "E203 @5 [one] leave out 'is': x one of (a, b)"},
      {"x is not one of (a)", "E203 @9 [one] leave out 'is' and put 'not' in front: not x one of (a, b)"},
      {"x is over 3", "E203 @5 [over] leave out 'is': x over a"},
      {"x is not at least 3", "E203 @9 [at] leave out 'is' and put 'not' in front: not x at least a"},
      {"x is between 3 and 4", "E204 @5 [between] write 'x at least A and x at most B', without 'is'"},
      {"x between 3 and 4", "E204 @2 [between] write 'x at least A and x at most B'"},
      {"a over b over c",
       "E215 @9 [over] compare two values at a time and join them with 'and': a over b and b over c"},
      {"a && b", "E204 @2 [&&] write 'and'"},
      {"a || b", "E204 @2 [||] write 'or'"},
      {"!a", "E204 @0 [!] write 'not' before the comparison"},
      {"a AND b", "E204 @2 [AND] write 'and'"},
      {"x == True", "E204 @5 [True] write 'true'"},
      {"x => 3", "E204 @2 [=>] write 'at least', or '>='"},
      {"1-1/64 in", "E208 @0 [1-1/64 in] write '1 1/64 in', or ' - ' with spaces to subtract"},
      {"25  1/2 in", "E208 @0 [25  1/2] a mixed number is a whole number, one space and a fraction: 25 1/2"},
      {"5 64ths", "E208 @0 [5 64ths] a mixed number is a whole number, one space and a fraction: 5/64 in"},
      {"3/64th", "E210 @4 [th] write '3/64 in'"},
      {"9thou", "E209 @0 [9thou] write '9 thou'"},
      {"9 mils", "E210 @2 [mils] write '9 thou'"},
      {"9 inches", "E210 @2 [inches] write '9 in'"},
      {"9\"", "E210 @1 [\"] write '9 in'"},
      {"20°C", "E210 @2 [°C] write '20 degC'"},
      {"20 °C", "E210 @3 [°C] write '20 degC'"},
      {"9 zork", "E210 @2 [zork] the units are ..."},
      {"9 thuo", "E210 @2 [thuo] did you mean '9 thou'?"},
      {"3 x 4", "E204 @2 [x] write '*' to multiply"},
      {"007", "E207 @0 [007] write '7'"},
      {"1_000", "E207 @0 [1_000] write '1000'"},
      {"1e-3", "E207 @0 [1e-3] write all the digits, such as '0.001' or '1000'"},
      {"0x1F", "E207 @0 [0x1F] write it in tens; to multiply, put ' * ' between two numbers"},
      {"5.", "E207 @0 [5.] write '5'"},
      {".5", "E207 @0 [.5] write '0.5'"},
      {"1/3 in",
       "E211 @0 [1/3 in] lengths go down to 1/8192 in, 0.00001 thou and 0.000000001 mm; write one that is a whole "
       "count of these"},
      {"1/0 in", "E213 @0 [1/0] a fraction has a number above zero under its '/'"},
      {"99999999999999999999", "E212 @0 [99999999999999999999] numbers have up to 18 digits"},
      {"9999999999 in", "E212 @0 [9999999999 in] write it in a larger unit, or with fewer digits"},
      {"a/b", "E214 @1 [/] write 'a / b'; without spaces '/' makes a fraction of two whole numbers"},
      {"1/8/2", "E214 @0 [1/8/] a fraction is written '3/64'; to divide, write ' / ' with a space on both sides"},
      {"1,5 mm", "E207 @0 [1,5] write '1.5'"},
      {"f(a,)", "E203 @4 [)] "},
      {"f(a", "E203 @3 [] "},
      {"(a", "E203 @2 [] "},
      {"a)", "E203 @1 [)] "},
      {"a b", "E203 @2 [b] an operator, such as 'and', 'over' or '*', is missing before it"},
      {"a 3", "E203 @2 [3] an operator, such as 'and', 'over' or '*', is missing before it"},
      {"relief (3 thou)",
       "E203 @7 [(] the '(' of a function follows its name without a space; else an operator is missing"},
      {"if a then b", "E203 @11 [] "},
      {"1 + if a then b else c", "E203 @4 [if] put the whole 'if C then A else B' in parentheses"},
      {"1 + not a", "E203 @4 [not] put it in parentheses, '(not a)', or before the whole comparison"},
      {"relief over", "E203 @11 [] "},
      {"over 3", "E206 @0 [over] 'over' is a word of the language and can not be a name"},
      {"a over and b", "E206 @7 [and] 'and' is a word of the language and can not be a name"},
      {"aim over 3", "E206 @0 [aim] 'aim' is a word of the language and can not be a name"},
      {"Relief over 3", "E203 @0 [Relief] names are lower-case: 'relief'"},
      {"Bb over 3", "E203 @0 [Bb] a pitch is a capital, '#' or 'b' where it has one, and its octave: E2, Bb3, F#4"},
      {"H2", "E203 @0 [H2] names are lower-case: 'h2'"},
      {"x in (a, b)", "E204 @2 [in] 'in' is the inch; write 'x one of (a, b)'"},
      {"x is in (a, b)", "E204 @5 [in] 'in' is the inch; write 'x one of (a, b)', without 'is'"},
      {"x is greater than 3", "E204 @5 [greater] write 'over', without 'is'"},
      {"x above 3", "E204 @2 [above] write 'over'"},
      {"a ≤ b", "E205 @2 [≤] write 'at most', or '<='"},
      {"a − b", "E205 @2 [−] write '-'"},
      {"½ in", "E205 @0 [½] write '1/2'"},
      {"“low”", "E205 @0 [“] names and states stand without quotes"},
      {"\"low\"", "E204 @0 [\"] names and states stand without quotes"},
      {"action[bass]",
       "E204 @6 [[] a member stands after a dot, 'action.bass', and a list of states in 'one of (a, b)'"},
      {"a..b",
       "E203 @1 [..] a range stands alone under a key that wants one; here write 'x at least A and x at most B'"},
      {"0 +- 2 cents",
       "E203 @2 [+-] a range stands alone under a key that wants one; here write 'x at least A and x at most B'"},
      {"a.", "E203 @2 [] "},
      {"a.B", "E203 @2 [B] a pitch is a capital, '#' or 'b' where it has one, and its octave: E2, Bb3, F#4"},
      {"x at 3", "E203 @5 [3] "},
      {"a -> b", "E204 @2 [->] write 'if C then A else B'"},
      {"é", "E205 @0 [é] names have the letters a to z, digits and '_'"},
      {"a % b", "E203 @2 [%] '%' stands only right after a number"},
      {"51 % RH", "E209 @3 [% RH] write '%RH'"},
      {"", "E203 @0 [] "},
      {"x is", "E203 @4 [] "},
      {"$3", "E204 @0 [$] write '3'; the currency stands in currency: of the house"},
      {"€75.00", "E205 @0 [€] write '75.00'; the currency stands in currency: of the house"},
      {"£ 7,50", "E205 @0 [£] write '7.50'; the currency stands in currency: of the house"},
      {"€", "E205 @0 [€] money is a bare number; the currency stands in currency: of the house"},
      {"9  thou", "E209 @0 [9  thou] write '9 thou'"},
      {"x one (a)", "E203 @6 [(] "},
      {"x one of a", "E203 @9 [a] "},
      {"x one of ()", "E203 @10 [)] "},
      {"2 relief", "E210 @2 [relief] the units are ..."},
      {"a !== b", "E204 @2 [!==] write 'is not'"},
      {"a <> b", "E204 @2 [<>] write 'is not'"},
      {"a === b", "E204 @2 [===] write 'is'"},
      {"a ** 2", "E204 @2 [**] there are no powers; multiply the value by itself"},
      {"a ^ 2", "E204 @2 [^] there are no powers; multiply the value by itself"},
      {"a ? b : c", "E204 @2 [?] write 'if C then A else B'"},
      {"a; b", "E204 @1 [;] one scalar holds one expression"},
      {"a ++ b", "E204 @2 [++] write one '+'"},
      {"a +/- b", "E204 @2 [+/-] a range stands alone under a key that wants one, with '+-'"},
      {"a not over b", "E203 @2 [not] write 'not' before the whole comparison: not a over b"},
      {"a not one of (b)", "E203 @2 [not] write 'not' before the whole comparison: not a over b"},
      {"a equals b", "E204 @2 [equals] write 'is'"},
      {"a exceeds b", "E204 @2 [exceeds] write 'over'"},
      {"a less than b", "E204 @2 [less] write 'under'"},
      {"a contains b", "E204 @2 [contains] write 'x one of (a, b)', with the list on the right"},
      {"a plus b", "E204 @2 [plus] write '+'"},
      {"a per b", "E204 @2 [per] write ' / ' to divide"},
      {"3 per b", "E204 @2 [per] write ' / ' to divide"},
      {"if a, b", "E203 @4 [,] "},
      {"if a then b else", "E203 @16 [] "},
      {"if a else b", "E203 @5 [else] "},
      {"IF a then b", "E204 @0 [IF] write 'if'"},
      {"unless a", "E204 @0 [unless] write 'if not C then A else B'"},
      {"TRUE", "E204 @0 [TRUE] write 'true'"},
      {"_x", "E203 @0 [_x] a name begins with a lower-case letter"},
      {"otherwise", "E206 @0 [otherwise] 'otherwise' is a word of the language and can not be a name"},
      {"by a", "E206 @0 [by] 'by' is a word of the language and can not be a name"},
      {"of", "E206 @0 [of] 'of' is a word of the language and can not be a name"},
      {"3 in (a, b)",
       "E203 @5 [(] the '(' of a function follows its name without a space; else an operator is missing"},
      {"5 % 3", "E203 @4 [3] an operator, such as 'and', 'over' or '*', is missing before it"},
      {"a over b is low", "E215 @9 [is] compare two values at a time and join them with 'and': a over b and b over c"},
      {"a is b is c", "E215 @7 [is] compare two values at a time and join them with 'and': a over b and b over c"},
      {"a one of (b) one of (c)",
       "E215 @13 [one] compare two values at a time and join them with 'and': a over b and b over c"},
      {"a at", "E203 @4 [] "},
      {"a is over", "E203 @5 [over] leave out 'is': x over a"},
      {"(a over b", "E203 @9 [] "},
      {"a,b", "E203 @1 [,] "},
      {"f(a b)", "E203 @4 [b] "},
      {"f((a)", "E203 @5 [] "},
      {"(a))", "E203 @3 [)] "},
      {"a / b/c", "E214 @5 [/] write 'a / b'; without spaces '/' makes a fraction of two whole numbers"},
      {"a /b", "E214 @2 [/] write 'a / b'; without spaces '/' makes a fraction of two whole numbers"},
      {"a/ b", "E214 @1 [/] write 'a / b'; without spaces '/' makes a fraction of two whole numbers"},
      {"1 /2", "E214 @2 [/] write 'a / b'; without spaces '/' makes a fraction of two whole numbers"},
      {"3/64 in/2", "E214 @7 [/] write 'a / b'; without spaces '/' makes a fraction of two whole numbers"},
      {"x is above 3", "E204 @5 [above] write 'over', without 'is'"},
      {"x is within 3", "E204 @5 [within] write 'x is within'"},
      {"1.5.2", "E207 @0 [1.5.] write '1.5'"},
      {"0.5.", "E207 @0 [0.5.] write '0.5'"},
      {"00", "E207 @0 [00] write '0'"},
      {"-007", "E207 @0 [-007] write '-7'"},
      {"1-1/64", "E208 @0 [1-1/64] write '1 1/64', or ' - ' with spaces to subtract"},
      {"5 64ths in", "E208 @0 [5 64ths] a mixed number is a whole number, one space and a fraction: 5/64 in"},
      {"3'", "E210 @1 ['] write inches: it is 12 in"},
      {"3 ft", "E210 @2 [ft] write inches: it is 12 in"},
      {"3 C", "E210 @2 [C] write '3 degC'"},
      {"12 hours", "E210 @3 [hours] write '12 h'"},
      {"5 km", "E210 @2 [km] the units are ..."},
      {"3 seconds", "E210 @2 [seconds] write minutes: one is 1/60 min"},
      {"60 %rh", "E210 @3 [%rh] did you mean '60 %RH'?"},
      {"60 percent", "E210 @3 [percent] write '60 %'"},
      {"2 lb", "E210 @2 [lb] write '2 lbf'"},
      {"3 mm2", "E210 @2 [mm2] did you mean '3 mm'?"},
      {"3 mm mm", "E203 @5 [mm] an operator, such as 'and', 'over' or '*', is missing before it"},
      {"9 mils over 3 zork", "E210 @2 [mils] write '9 thou'\nE210 @14 [zork] the units are ..."},
      {"9 zork zork", "E210 @2 [zork] the units are ..."},
      {"9	thou", "E203 @1 [	] write a space"},
      {"a	b", "E203 @1 [	] write a space"},
      {"1/8 revs", "E210 @4 [revs] write '1/8 turns'"},
      {"1/64 inch", "E210 @5 [inch] write '1/64 in'"},
      {"9 µm", "E210 @2 [µm] write millimetres: it is 0.001 mm"},
      {"♯", "E205 @0 [♯] write '#'"},
      {"a±b", "E205 @1 [±] here write 'x at least A and x at most B'"},
      {"`a`", "E204 @0 [`] names and states stand without quotes"},
      {"@", "E203 @0 [@] "},
      {"a.-b", "E203 @2 [-] "},
      {"a.(b)", "E203 @2 [(] "},
      {"a.b..c",
       "E203 @3 [..] a range stands alone under a key that wants one; here write 'x at least A and x at most B'"},
  };
  return rows;
}

std::string nested(std::size_t levels, const char* open, const char* inner, const char* close) {
  std::string text;
  for (std::size_t i = 0; i < levels; ++i) text += open;
  text += inner;
  for (std::size_t i = 0; i < levels; ++i) text += close;
  return text;
}

std::string only_code(const Diagnostics& out) {
  return out.list().size() == 1 ? std::string(info(out.list().front().code).id) : "not one report";
}

}  // namespace

TEST_CASE("an expression binds as its table of precedence says") {
  check_accepted(accepted(), parse_expression, [](const auto& read) { return dump(read); });
}

TEST_CASE("every node knows exactly the text it was written with") {
  for (const Spans& row : spans()) {
    INFO(row.text);
    Diagnostics out;
    const ExprPtr expr = parse_expression(scalar(row.text), out);
    REQUIRE(expr);
    std::vector<std::string> nodes;
    collect(*expr, row.text, nodes);
    CHECK(nodes == row.nodes);
  }
}

TEST_CASE("what is no expression is refused at its place with what to write instead") {
  check_refused(refused(), parse_expression);
}

TEST_CASE("messages say what was wanted, after what, and what stands there") {
  const auto message = [](const char* text) {
    Diagnostics out;
    CHECK(parse_expression(scalar(text), out) == nullptr);
    return out.list().empty() ? std::string() : out.list().front().message;
  };
  CHECK(message("") == "expected a value");
  CHECK(message("relief over") == "expected a value after 'over'");
  CHECK(message("relief over )") == "expected a value after 'over', found ')'");
  CHECK(message("f(a b)") == "expected ',' or the closing ')' after 'a', found 'b'");
  CHECK(message("if a over 3 b") == "'b' is no unit");
  CHECK(message("if a is low b") == "expected an operator or 'then' after 'low', found 'b'");
  CHECK(message("a && b") == "'&&' is no sign of the language");
  CHECK(message("a AND b") == "'AND' is no word of the language");
  CHECK(message("x is one of (a)") == "'one' follows on 'is', and both compare");
  CHECK(message("9thou") == "'9thou' has no space before its unit");
  CHECK(message("0.00000000001 in") == "'0.00000000001 in' is no whole count of the finest step, 1/16000 nm");
  const std::string long_word(60, 'x');
  CHECK(message(("a " + long_word).c_str()) ==
        "expected an operator or the end after 'a', found '" + long_word.substr(0, 40) + "...'");
}

TEST_CASE("an unknown unit does not hide a second one, and is not reported again as its own consequence") {
  Diagnostics out;
  CHECK(parse_expression(scalar("9 zork zork"), out) == nullptr);
  CHECK(out.list().size() == 1);
  Diagnostics both;
  CHECK(parse_expression(scalar("9 mils over 3 inches"), both) == nullptr);
  CHECK(both.list().size() == 2);
  Diagnostics far;
  CHECK(parse_expression(scalar("9 mils over a b"), far) == nullptr);
  CHECK(dump(far, "9 mils over a b") ==
        "E210 @2 [mils] write '9 thou'\n"
        "E203 @14 [b] an operator, such as 'and', 'over' or '*', is missing before it");
}

TEST_CASE("nesting ends with a report before it could exhaust the stack") {
  const std::size_t most = limits::usual.expression_depth;
  for (const auto& [open, close] :
       {std::pair{"(", ")"}, {"f(", ")"}, {"not ", ""}, {"-", ""}, {"if a then ", " else b"}}) {
    INFO(open);
    Diagnostics fine;
    CHECK(parse_expression(scalar(nested(most - 1, open, "a", close)), fine));
    Diagnostics out;
    CHECK(parse_expression(scalar(nested(most + 1, open, "a", close)), out) == nullptr);
    CHECK(only_code(out) == "E202");
    Diagnostics wild;
    CHECK(parse_expression(scalar(nested(4'000 / std::string(open).size(), open, "a", "")), wild) == nullptr);
    CHECK(only_code(wild) == "E202");
  }
}

TEST_CASE("a chain of operators is as deep as it is long, since it is walked so") {
  const std::size_t most = limits::usual.expression_depth;
  Diagnostics fine;
  CHECK(parse_expression(scalar(nested(most - 1, "a + ", "a", "")), fine));
  Diagnostics out;
  CHECK(parse_expression(scalar(nested(most, "a + ", "a", "")), out) == nullptr);
  CHECK(only_code(out) == "E202");
}

TEST_CASE("an expression has a greatest length") {
  const std::string room(limits::usual.expression_bytes - 1, ' ');
  Diagnostics fine;
  CHECK(parse_expression(scalar(room + "a"), fine));
  Diagnostics out;
  CHECK(parse_expression(scalar(room + "ab"), out) == nullptr);
  CHECK(only_code(out) == "E201");
}

TEST_CASE("bytes that are no text are refused like any other character") {
  for (const std::string& text : {std::string("\xff"), std::string("a \xc3"), std::string("\x80\x80"),
                                  std::string("a\0b", 3), std::string("\xf0\x9f\x8e\xb8")}) {
    Diagnostics out;
    CHECK(parse_expression(scalar(text), out) == nullptr);
    CHECK(out.error_count() == 1);
  }
}

TEST_CASE("a place in a quoted scalar is its place in the file") {
  // 'when: "a \u00e9 b"': the escape takes six bytes of the file and two of the text.
  Node node;
  node.text = "a \xc3\xa9 b";
  node.style = ScalarStyle::double_quoted;
  node.span = {0, 6, 18};
  node.embedded = Embedded(node.span, {{0, 7, 2, true}, {2, 9, 6, false}, {4, 15, 2, true}});
  Diagnostics out;
  CHECK(parse_expression(node, out) == nullptr);
  REQUIRE(out.list().size() == 1);
  CHECK(out.list().front().span == Span{0, 9, 15});
}

TEST_CASE("a name keeps the place of each of its members") {
  const std::string text = "a over pickup_gap.neck.treble";
  Diagnostics out;
  const ExprPtr expr = parse_expression(scalar(text), out);
  REQUIRE(expr);
  const Name& name = std::get<Name>(std::get<Binary>(expr->node).right->node);
  REQUIRE(name.member_spans.size() == 2);
  CHECK(slice(text, name.member_spans[0]) == "neck");
  CHECK(slice(text, name.member_spans[1]) == "treble");
}

TEST_CASE("numbers are exact in base units") {
  const auto millimetres = [](const char* text) {
    Diagnostics out;
    const auto number = parse_number(scalar(text), out);
    return number ? number->quantity.value : Ratio{-999};
  };
  CHECK(millimetres("3.5/64 in") == millimetres("1.3890625 mm"));
  CHECK(millimetres("3.5/64 in") == millimetres("0.0546875 in"));
  CHECK(millimetres("25 1/2 in") == millimetres("647.7 mm"));
  CHECK(millimetres("-1 1/2 in") == millimetres("-38.1 mm"));
  CHECK(millimetres("9 thou") == millimetres("0.2286 mm"));
  CHECK(millimetres("1/8192 in") == Ratio::make(127, 40'960));
  CHECK(millimetres("0.000000001 mm") == Ratio::make(1, 1'000'000'000));
}

TEST_CASE("a temperature below zero is a number, not the negative of one above it") {
  Diagnostics out;
  const auto below = parse_number(scalar("-3 degC"), out);
  REQUIRE(below);
  CHECK(below->quantity.value == Ratio::make(5403, 20));  // 273.15 - 3 = 270.15 K
  CHECK(below->written == "-3 degC");
}

TEST_CASE("a number alone is read with its unit") {
  const std::vector<Row> rows{
      {"14 thou", "14 thou 0.3556"},
      {"-3 cents", "-3 cents -3"},
      {"25 1/2 in", "25 1/2 in 647.7"},
      {"7", "7 7"},
      {"1/8 turns", "1/8 turns 0.125"},
      {"-1 1/2 in", "-1 1/2 in -38.1"},
      {"51 %RH", "51 %RH 51"},
      {"51%RH", "51%RH 51"},
      {"25%", "25% 0.25"},
      {"85.00", "85.00 85"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    Diagnostics out;
    const auto number = parse_number(scalar(row.text), out);
    REQUIRE(number);
    CHECK(out.list().empty());
    CHECK(number->written + " " + to_decimal(number->quantity.value) == row.expected);
  }
}

TEST_CASE("what is no single number is refused") {
  const std::vector<Row> rows{
      {"9\"", "E210 @1 [\"] write '9 in'"},
      {"20°C", "E210 @2 [°C] write '20 degC'"},
      {"- 3", "E203 @0 [-] a '-' stands right before its number, and no calculation stands here"},
      {"abc", "E203 @0 [abc] "},
      {"14 thou over", "E203 @8 [over] "},
      {"14 thou, 3", "E203 @7 [,] "},
      {"3 thou + 1", "E203 @7 [+] a number above zero has no '+', and no calculation stands here"},
      {"", "E203 @0 [] "},
      {"nan", "E203 @0 [nan] "},
      {".inf", "E203 @0 [.] a number begins with a digit; what is not known is left out, or written 'unknown'"},
      {"+3", "E203 @0 [+] a number above zero has no '+', and no calculation stands here"},
      {"6 .. 9 thou", "E203 @2 [..] one value stands here, not a range"},
      {"14  thou", "E209 @0 [14  thou] write '14 thou'"},
      {"14 Thou", "E210 @3 [Thou] did you mean '14 thou'?"},
      {"14 MM", "E210 @3 [MM] did you mean '14 mm'?"},
      {"5'", "E210 @1 ['] write inches: it is 12 in"},
      {"$85.00", "E204 @0 [$] write '85.00'; the currency stands in currency: of the house"},
      {"85.00 USD", "E210 @6 [USD] money is a bare number, in the house's currency"},
      {"1,000.00", "E207 @0 [1,000] write '1.000', or '1000' if these are thousands"},
      {"1.5 1/2 in", "E208 @0 [1.5 1/2] a mixed number is a whole number, one space and a fraction: 25 1/2 in"},
      {"12h", "E209 @0 [12h] write '12 h'"},
      {"E2", "E203 @0 [E2] "},
      {"at least 3", "E203 @0 [at] "},
  };
  check_refused(rows, [](const Node& node, Diagnostics& out) { return parse_number(node, out); });
}

TEST_CASE("identifiers begin with a lower-case letter; the words of the language are known") {
  for (const char* good : {"a", "at_pitch", "fret_left", "x2"}) CHECK(is_identifier(good));
  for (const char* bad : {"", "A", "2x", "_x", "a-b", "a b", "a.b", "\xc3\xa9"}) CHECK_FALSE(is_identifier(bad));
  for (const char* ours : {"if", "then", "else", "or", "and", "not", "over", "under", "at", "is", "one", "of", "by",
                           "from", "otherwise", "aim", "true", "false"}) {
    CHECK(is_reserved_word(ours));
    Diagnostics out;
    const bool literal = std::string_view(ours) == "true" || std::string_view(ours) == "false";
    CHECK((parse_expression(scalar(ours), out) != nullptr) == literal);
  }
  for (const char* free : {"up", "to", "least", "most", "in", "low", "overs", "a"}) CHECK_FALSE(is_reserved_word(free));
}

}  // namespace stringline::test
