// Numbers, units and pitches as the trade writes them. Shapes only: no actions, no state, and no meaning of a unit.
//
// Accepted: 7   0.25   3.5/64 in   25 1/2 in   1/8 turns   9 thou   25 %   25%   51 %RH   E2   Bb3   F#4
// A rule named `..._mistake` matches what authors write by habit and the language does not have; messages.h says why.
// Tested by tests/unit/grammar_test.cc (no rule can loop) and tests/unit/parse_expr_test.cc (what they accept).
#pragma once

#include <tao/pegtl.hpp>

namespace stringline::grammar {

namespace pegtl = tao::pegtl;

struct blank : pegtl::one<' ', '\n'> {};
struct gap : pegtl::star<blank> {};
struct wide_gap : pegtl::plus<blank> {};
struct word_char : pegtl::identifier_other {};  // letters, digits and _
struct word : pegtl::identifier {};

// ---- Words of the language. They can name nothing; aim, up and to are words only where a range or a row wants them.
struct kw_if : pegtl::keyword<'i', 'f'> {};
struct kw_then : pegtl::keyword<'t', 'h', 'e', 'n'> {};
struct kw_else : pegtl::keyword<'e', 'l', 's', 'e'> {};
struct kw_or : pegtl::keyword<'o', 'r'> {};
struct kw_and : pegtl::keyword<'a', 'n', 'd'> {};
struct kw_not : pegtl::keyword<'n', 'o', 't'> {};
struct kw_over : pegtl::keyword<'o', 'v', 'e', 'r'> {};
struct kw_under : pegtl::keyword<'u', 'n', 'd', 'e', 'r'> {};
struct kw_at : pegtl::keyword<'a', 't'> {};
struct kw_least : pegtl::keyword<'l', 'e', 'a', 's', 't'> {};
struct kw_most : pegtl::keyword<'m', 'o', 's', 't'> {};
struct kw_is : pegtl::keyword<'i', 's'> {};
struct kw_one : pegtl::keyword<'o', 'n', 'e'> {};
struct kw_of : pegtl::keyword<'o', 'f'> {};
struct kw_by : pegtl::keyword<'b', 'y'> {};
struct kw_from : pegtl::keyword<'f', 'r', 'o', 'm'> {};
struct kw_otherwise : pegtl::keyword<'o', 't', 'h', 'e', 'r', 'w', 'i', 's', 'e'> {};
struct kw_aim : pegtl::keyword<'a', 'i', 'm'> {};
struct kw_up : pegtl::keyword<'u', 'p'> {};
struct kw_to : pegtl::keyword<'t', 'o'> {};
struct truth : pegtl::sor<pegtl::keyword<'t', 'r', 'u', 'e'>, pegtl::keyword<'f', 'a', 'l', 's', 'e'>> {};

struct reserved : pegtl::sor<truth, kw_if, kw_then, kw_else, kw_or, kw_and, kw_not, kw_over, kw_under, kw_at, kw_is,
                             kw_one, kw_of, kw_by, kw_from, kw_otherwise, kw_aim> {};

// ---- Magnitudes. A fraction has no spaces round its `/`; a mixed number has exactly one before its fraction.
struct whole : pegtl::sor<pegtl::seq<pegtl::one<'0'>, pegtl::not_at<pegtl::digit>>,
                          pegtl::seq<pegtl::range<'1', '9'>, pegtl::star<pegtl::digit>>> {};
struct decimal : pegtl::seq<whole, pegtl::opt<pegtl::one<'.'>, pegtl::plus<pegtl::digit>>> {};
struct fraction : pegtl::seq<decimal, pegtl::one<'/'>, whole> {};
struct mixed : pegtl::seq<whole, pegtl::one<' '>, fraction> {};
struct magnitude : pegtl::sor<mixed, fraction, decimal> {};

// ---- Units. Which of them exist is asked of engine/value/units.def once the shape is read.
struct percent_unit : pegtl::seq<pegtl::one<'%'>, pegtl::opt<word>> {};
// Signs that people write for a unit: " ' $ and the non-ASCII inch, foot, degree, micro, euro and pound signs.
struct unit_sign : pegtl::sor<pegtl::one<'"', '\'', '$'>,
                              pegtl::utf8::one<0x00B0, 0x00B5, 0x03BC, 0x2032, 0x2033, 0x201D, 0x20AC, 0x00A3>> {};
struct signed_unit : pegtl::seq<unit_sign, pegtl::opt<word>> {};
struct unit_word : pegtl::seq<pegtl::not_at<pegtl::sor<reserved, kw_up, kw_to>>, word> {};
struct unit : pegtl::sor<percent_unit, signed_unit, unit_word> {};
struct near_unit : pegtl::seq<pegtl::at<pegtl::sor<pegtl::one<'%'>, unit_sign>>, unit> {
};  // 25% and, to be refused, 9"
struct unit_part : pegtl::sor<pegtl::seq<pegtl::one<' '>, unit>, near_unit> {};

// ---- Habits that end here.
struct leading_zeros_mistake : pegtl::seq<pegtl::one<'0'>, pegtl::plus<pegtl::digit>, pegtl::star<word_char>> {
};                                                                                   // 007
struct underscore_mistake : pegtl::seq<pegtl::one<'_'>, pegtl::star<word_char>> {};  // 1_000
struct exponent_mistake                                                              // 1e-3
    : pegtl::seq<pegtl::one<'e', 'E'>, pegtl::opt<pegtl::one<'+', '-'>>, pegtl::plus<pegtl::digit>> {};
struct hex_mistake : pegtl::seq<pegtl::one<'x', 'X'>, pegtl::plus<pegtl::xdigit>> {};                  // 0x1f
struct loose_point_mistake : pegtl::seq<pegtl::one<'.'>, pegtl::not_at<pegtl::one<'.'>>> {};           // 5.
struct glued_unit_mistake : pegtl::seq<pegtl::identifier_first, pegtl::star<word_char>> {};            // 9thou
struct hyphen_mixed_mistake : pegtl::seq<pegtl::one<'-'>, pegtl::plus<pegtl::digit>, pegtl::one<'/'>,  // 1-1/64
                                         pegtl::plus<pegtl::digit>, pegtl::opt<unit_part>> {};
struct glued_slash_mistake : pegtl::one<'/'> {};  // 1/8/2
struct side_by_side_mistake : pegtl::seq<wide_gap, pegtl::digit, pegtl::star<pegtl::sor<word_char, pegtl::one<'/'>>>> {
};
struct far_unit_mistake : pegtl::seq<pegtl::sor<pegtl::one<'\n'>, pegtl::seq<blank, blank>>, gap, unit_word> {
};                                                                                         // 9  thou
struct leading_point_mistake : pegtl::seq<pegtl::one<'.'>, pegtl::plus<pegtl::digit>> {};  // .5

struct after_magnitude_mistake
    : pegtl::sor<underscore_mistake, exponent_mistake, hex_mistake, loose_point_mistake, glued_unit_mistake,
                 hyphen_mixed_mistake, glued_slash_mistake, side_by_side_mistake, far_unit_mistake> {};

// A minus right before a digit belongs to the number, so that -3 degC is a temperature and not minus one of them.
// Once its first digit is seen, a number either matches or is refused; nothing is tried again elsewhere.
struct number_start : pegtl::at<pegtl::opt<pegtl::one<'-'>>, pegtl::digit> {};
struct number : pegtl::seq<number_start, pegtl::opt<pegtl::one<'-'>>, pegtl::opt<leading_zeros_mistake>, magnitude,
                           pegtl::opt<after_magnitude_mistake>, pegtl::opt<unit_part>> {};

// ---- Pitches: E2, Bb3, F#4.
struct pitch
    : pegtl::seq<pegtl::range<'A', 'G'>, pegtl::opt<pegtl::one<'#', 'b'>>, pegtl::digit, pegtl::not_at<word_char>> {};

}  // namespace stringline::grammar
