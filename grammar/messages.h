// What to say about each rule: what was wanted where it had to match, and why a mistake that it recognises is refused.
// Every rule under `need<>` has an entry in `wanted`, every `..._mistake` one in `refusal`; a missing one stops the build.
#pragma once

#include "engine/diag/diagnostic.h"
#include "engine/syntax/explain.h"
#include "grammar/expression.h"

namespace stringline::grammar {

struct Wanted {
  const char* what = nullptr;
  Place place = Place::operation;
};

template <typename Rule>
inline constexpr Wanted wanted{};

template <>
inline constexpr Wanted wanted<value>{"a value", Place::value};
template <>
inline constexpr Wanted wanted<member>{"the name of a member", Place::value};
template <>
inline constexpr Wanted wanted<list_open>{"'(' and a list of states"};
template <>
inline constexpr Wanted wanted<list_close>{"',' or the closing ')'"};
template <>
inline constexpr Wanted wanted<parens_close>{"an operator or the closing ')'"};
template <>
inline constexpr Wanted wanted<kw_then>{"an operator or 'then'"};
template <>
inline constexpr Wanted wanted<kw_else>{"an operator or 'else'"};
template <>
inline constexpr Wanted wanted<kw_of>{"'of'"};
template <>
inline constexpr Wanted wanted<kw_by>{"'by'"};
template <>
inline constexpr Wanted wanted<least_or_most>{"'least' or 'most'"};
template <>
inline constexpr Wanted wanted<expression_end>{"an operator or the end"};
template <>
inline constexpr Wanted wanted<hole_close>{"an operator or the closing '}'"};
template <>
inline constexpr Wanted wanted<number_alone>{"a number, such as '14 thou' or '25 1/2 in'", Place::number};
template <>
inline constexpr Wanted wanted<number_end>{"the end", Place::number};
template <>
inline constexpr Wanted wanted<range_join>{"'..' or '+-' and the other limit", Place::range};
template <>
inline constexpr Wanted wanted<range_end>{"'aim' or the end of the range", Place::range};
template <>
inline constexpr Wanted wanted<row_any>{"a member, 'up to', 'over', 'from' or 'otherwise'", Place::row};
template <>
inline constexpr Wanted wanted<row_end>{"the end of the row's key", Place::row};

// In a message or hint, {0} is what the author wrote and {1} the same as the language would write it.
struct Said {
  Code code{};
  const char* message = nullptr;
  const char* hint = "";
  bool from_number = false;  // reported from the first digit of the number it belongs to
};

template <typename Rule>
inline constexpr Said refusal{};

template <>
inline constexpr Said refusal<leading_zeros_mistake>{Code::bad_number, "'{0}' begins with a zero", "write '{1}'", true};
template <>
inline constexpr Said refusal<underscore_mistake>{Code::bad_number, "'{0}' has a '_' in it", "write '{1}'", true};
template <>
inline constexpr Said refusal<exponent_mistake>{Code::bad_number, "'{0}' has an exponent",
                                                "write all the digits, such as '0.001' or '1000'", true};
template <>
inline constexpr Said refusal<hex_mistake>{Code::bad_number, "'{0}' is no number in tens",
                                           "write it in tens; to multiply, put ' * ' between two numbers", true};
template <>
inline constexpr Said refusal<loose_point_mistake>{Code::bad_number, "'{0}' has a point with no digit after it",
                                                   "write '{1}'", true};
template <>
inline constexpr Said refusal<leading_point_mistake>{Code::bad_number, "'{0}' has no digit before its point",
                                                     "write '{1}'"};
template <>
inline constexpr Said refusal<hyphen_mixed_mistake>{Code::bad_mixed_number,
                                                    "'{0}' could be a mixed number or a subtraction",
                                                    "write '{1}', or ' - ' with spaces to subtract", true};
template <>
inline constexpr Said refusal<side_by_side_mistake>{
    Code::bad_mixed_number, "'{0}' is two numbers with nothing between them",
    "a mixed number is a whole number, one space and a fraction: {1}", true};
template <>
inline constexpr Said refusal<glued_unit_mistake>{Code::unit_spacing, "'{0}' has no space before its unit",
                                                  "write '{1}'", true};
template <>
inline constexpr Said refusal<far_unit_mistake>{Code::unit_spacing, "a unit stands one space after its number",
                                                "write '{1}'", true};
template <>
inline constexpr Said refusal<glued_slash_mistake>{
    Code::division_spacing, "'{0}' is no fraction of two whole numbers",
    "a fraction is written '3/64'; to divide, write ' / ' with a space on both sides", true};

template <>
inline constexpr Said refusal<slash_mistake>{Code::division_spacing, "a division has a space on both sides of its '/'",
                                             "write 'a / b'; without spaces '/' makes a fraction of two whole numbers"};
template <>
inline constexpr Said refusal<chained_mistake>{
    Code::chained_comparison, "a second comparison, '{0}', follows on the first",
    "compare two values at a time and join them with 'and': a over b and b over c"};
template <>
inline constexpr Said refusal<range_start_mistake>{
    Code::bad_range, "a range does not begin with '{0}'",
    "write 'A .. B', 'at least A' or 'at most B'; a limit belongs to its range"};
template <>
inline constexpr Said refusal<row_start_mistake>{
    Code::bad_row_key, "the key of a row does not begin with '{0}'",
    "write 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'"};
template <>
inline constexpr Said refusal<row_from_up_to_mistake>{
    Code::bad_row_key, "a row that begins with 'from' ends where the next one begins",
    "leave out 'up to', or write 'over A up to B' when the lower end does not belong to the band"};
template <>
inline constexpr Said refusal<empty_hole_mistake>{Code::empty_hole, "there is nothing between the braces",
                                                  "write an expression, such as '{relief}', or '{{' for a brace"};
template <>
inline constexpr Said refusal<lone_brace_mistake>{Code::lone_brace, "this '}' closes nothing",
                                                  "write '}}' for a brace"};

template <typename Rule>
inline constexpr bool is_mistake = refusal<Rule>.message != nullptr;

}  // namespace stringline::grammar
