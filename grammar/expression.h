// Expressions, ranges, keys of table rows, and texts with holes: one struct for each level of precedence, loosest first.
//
//   if c then a else b                                      if relief is low then 2 mm else 1.8 mm
//   or    and    not                                        not zero_fret and nut_gap.wound is high
//   over  under  at least  at most  is  is not  one of      action.bass over 2 mm; one comparison, never a chain
//   + -   * /   -a                                          travel / post_pitch
//   number, pitch, true, false, f(a, b), name.member, (a)
//
// The grammar never reads an operand twice: an operator is recognised before what follows it, and a value that is missing
// where only a value can stand ends the reading at once. So actions may build the tree while they read.
// Tested by tests/unit/{grammar,parse_expr,parse_range,row_key,parse_text}_test.cc and tests/property/expression_test.cc.
#pragma once

#include "grammar/quantity.h"

namespace stringline::grammar {

// `Rule` has to match here; messages.h says what was wanted.
template <typename Rule>
struct need : pegtl::sor<Rule, pegtl::raise<Rule>> {};

struct expression;

// ---- Names: relief, action.bass, pickup_gap.neck.treble, nut_gap.4a, octave_error.E2, nut_gap.1..4
struct identifier : pegtl::seq<pegtl::range<'a', 'z'>, pegtl::star<word_char>> {};
struct member_group : pegtl::seq<whole, pegtl::two<'.'>, whole, pegtl::not_at<word_char>> {};
struct member_mate : pegtl::seq<whole, pegtl::range<'a', 'z'>, pegtl::not_at<word_char>> {};
struct member_number : pegtl::seq<whole, pegtl::not_at<word_char>> {};
// Read as one word: a pitch in it is a place, not a value.
struct member : pegtl::disable<pegtl::sor<member_group, member_mate, member_number, pitch, identifier>> {};
struct name_head : pegtl::seq<pegtl::not_at<reserved>, identifier> {};
struct member_dot : pegtl::seq<pegtl::one<'.'>, pegtl::not_at<pegtl::one<'.'>>> {};  // two of them make a range
struct name : pegtl::seq<name_head, pegtl::star<member_dot, need<member>>> {};

// ---- Primary values
struct comma : pegtl::one<','> {};
struct list_open : pegtl::one<'('> {};
struct list_close : pegtl::one<')'> {};
struct list_items : pegtl::seq<gap, expression, pegtl::star<gap, comma, gap, expression>, gap, need<list_close>> {};
struct no_items : pegtl::seq<gap, pegtl::one<')'>> {};
struct call_name : pegtl::seq<pegtl::not_at<pegtl::not_at<kw_aim>, reserved>, identifier, pegtl::at<pegtl::one<'('>>> {
};
struct call : pegtl::seq<call_name, pegtl::one<'('>, pegtl::sor<no_items, list_items>> {};
struct parens_open : pegtl::one<'('> {};
struct parens_close : pegtl::one<')'> {};
struct parens : pegtl::seq<parens_open, gap, expression, gap, need<parens_close>> {};
struct value : pegtl::sor<parens, number, leading_point_mistake, pitch, truth, call, name> {};
struct primary : need<value> {};

// ---- Arithmetic
struct minus_sign : pegtl::seq<pegtl::one<'-'>, pegtl::not_at<pegtl::one<'>'>>> {};
struct unary;
struct negation_sign : pegtl::seq<pegtl::not_at<pegtl::one<'-'>, pegtl::digit>, minus_sign> {};
struct negation : pegtl::seq<negation_sign, gap, unary> {};
struct unary : pegtl::sor<negation, primary> {};

struct times : pegtl::seq<pegtl::one<'*'>, pegtl::not_at<pegtl::one<'*'>>> {};
struct divided : pegtl::seq<pegtl::one<'/'>, pegtl::at<blank>> {};
struct slash_mistake : pegtl::one<'/'> {};  // a/b
struct multiply_tail : pegtl::seq<gap, times, gap, unary> {};
struct divide_tail : pegtl::seq<wide_gap, divided, gap, unary> {};
struct term : pegtl::seq<unary, pegtl::star<pegtl::sor<multiply_tail, divide_tail, pegtl::seq<gap, slash_mistake>>>> {};

struct plus_sign : pegtl::seq<pegtl::one<'+'>, pegtl::not_at<pegtl::one<'-', '+', '/'>>> {};  // +- belongs to ranges
struct add_tail : pegtl::seq<gap, plus_sign, gap, term> {};
struct subtract_tail : pegtl::seq<gap, minus_sign, gap, term> {};
struct sum : pegtl::seq<term, pegtl::star<pegtl::sor<add_tail, subtract_tail>>> {};

// ---- Comparisons: words first; the signs are their twins.
template <char... Cs>
struct sign : pegtl::seq<pegtl::string<Cs...>, pegtl::not_at<pegtl::one<'=', '<', '>'>>> {};
struct at_least_words : pegtl::seq<kw_at, wide_gap, kw_least> {};
struct at_most_words : pegtl::seq<kw_at, wide_gap, kw_most> {};
struct is_not_words : pegtl::seq<kw_is, wide_gap, kw_not> {};
struct over_op : pegtl::sor<kw_over, sign<'>'>> {};
struct under_op : pegtl::sor<kw_under, sign<'<'>> {};
struct at_least_op : pegtl::sor<at_least_words, sign<'>', '='>> {};
struct at_most_op : pegtl::sor<at_most_words, sign<'<', '='>> {};
struct is_not_op : pegtl::sor<is_not_words, sign<'!', '='>> {};
struct is_op : pegtl::sor<kw_is, sign<'=', '='>, sign<'='>> {};
struct least_or_most : pegtl::sor<kw_least, kw_most> {};
struct half_at : pegtl::seq<kw_at, gap, need<least_or_most>> {};  // at 3 mm: always refused
struct comparison_op : pegtl::sor<over_op, under_op, at_least_op, at_most_op, is_not_op, is_op, kw_one> {};

struct over_tail : pegtl::seq<over_op, gap, sum> {};
struct under_tail : pegtl::seq<under_op, gap, sum> {};
struct at_least_tail : pegtl::seq<at_least_op, gap, sum> {};
struct at_most_tail : pegtl::seq<at_most_op, gap, sum> {};
struct is_not_tail : pegtl::seq<is_not_op, gap, sum> {};
struct is_tail : pegtl::seq<is_op, gap, sum> {};
struct one_of_open : pegtl::seq<kw_one, gap, need<kw_of>, gap, need<list_open>> {};
struct one_of_tail : pegtl::seq<one_of_open, list_items> {};
struct comparison_tail
    : pegtl::sor<over_tail, under_tail, at_least_tail, at_most_tail, is_not_tail, is_tail, one_of_tail, half_at> {};
struct chained_mistake : pegtl::seq<comparison_op> {};  // a over b over c
struct comparison : pegtl::seq<sum, pegtl::opt<gap, comparison_tail, pegtl::opt<gap, chained_mistake>>> {};

// ---- Logic
struct inversion;
struct not_word : pegtl::seq<kw_not> {};
struct not_tail : pegtl::seq<not_word, gap, inversion> {};
struct inversion : pegtl::sor<not_tail, comparison> {};
struct and_tail : pegtl::seq<kw_and, gap, inversion> {};
struct conjunction : pegtl::seq<inversion, pegtl::star<gap, and_tail>> {};
struct or_tail : pegtl::seq<kw_or, gap, conjunction> {};
struct disjunction : pegtl::seq<conjunction, pegtl::star<gap, or_tail>> {};

struct if_word : pegtl::seq<kw_if> {};
struct conditional
    : pegtl::seq<if_word, gap, expression, gap, need<kw_then>, gap, expression, gap, need<kw_else>, gap, expression> {};
struct expression : pegtl::sor<conditional, disjunction> {};

// ---- Entry: an expression alone; a key `by E`; a number alone
struct expression_end : pegtl::eof {};
struct expression_scalar : pegtl::seq<gap, expression, gap, need<expression_end>> {};
struct table_key_scalar : pegtl::seq<gap, need<kw_by>, gap, expression, gap, need<expression_end>> {};
struct number_alone : pegtl::sor<number, leading_point_mistake> {};
struct number_end : pegtl::eof {};
struct number_scalar : pegtl::seq<gap, need<number_alone>, gap, need<number_end>> {};

// ---- Entry: a range
struct dots : pegtl::seq<pegtl::two<'.'>, pegtl::not_at<pegtl::one<'.'>>> {};
struct plus_minus : pegtl::sor<pegtl::string<'+', '-'>, pegtl::utf8::one<0x00B1>> {};
struct range_from_words : pegtl::seq<at_least_words> {};
struct range_to_words : pegtl::seq<at_most_words> {};
struct range_floor : pegtl::seq<range_from_words, gap, sum> {};  // at least 0.8 mm
struct range_ceiling : pegtl::seq<range_to_words, gap, sum> {};  // at most 5 thou
struct range_between : pegtl::seq<dots, gap, sum> {};            // 6 .. 9 thou
struct range_around : pegtl::seq<plus_minus, gap, sum> {};       // 0 +- 2 cents
struct range_join : pegtl::sor<range_between, range_around> {};
struct range_start_mistake : pegtl::sor<over_op, under_op, sign<'>', '='>, sign<'<', '='>, kw_from, dots> {};
struct two_sided : pegtl::seq<sum, gap, need<range_join>> {};
struct range_aim : pegtl::seq<gap, kw_aim, gap, sum> {};
struct range_end : pegtl::eof {};
struct range_scalar
    : pegtl::seq<gap, pegtl::opt<range_start_mistake>, pegtl::sor<range_floor, range_ceiling, half_at, two_sided>,
                 pegtl::opt<range_aim>, gap, need<range_end>> {};

// ---- Entry: the key of a table's row
struct up_to_words : pegtl::seq<kw_up, wide_gap, kw_to> {};
struct row_otherwise : pegtl::seq<kw_otherwise> {};
struct row_up_to : pegtl::seq<up_to_words, gap, sum> {};
struct row_over : pegtl::seq<kw_over, gap, sum> {};
struct row_from_up_to_mistake : pegtl::seq<kw_up> {};
struct row_from : pegtl::seq<kw_from, gap, sum, pegtl::opt<gap, row_from_up_to_mistake>> {};
struct row_band : pegtl::sor<row_up_to, pegtl::seq<row_over, pegtl::opt<gap, row_up_to>>> {};
struct row_start_mistake : pegtl::sor<under_op, sign<'>'>, sign<'>', '='>, sign<'<', '='>, kw_at, kw_else> {};
struct row_group : pegtl::seq<member_group, pegtl::at<gap, pegtl::eof>> {};
struct row_word : pegtl::sor<row_group, member_mate, pitch, truth, name_head> {};
struct row_number : pegtl::seq<number> {};
struct row_member : pegtl::sor<row_word, row_number> {};
struct row_end : pegtl::eof {};
struct row_any : pegtl::sor<row_otherwise, row_band, row_from, row_member> {};
struct row_key_scalar : pegtl::seq<gap, pegtl::opt<row_start_mistake>, need<row_any>, gap, need<row_end>> {};

// ---- Entry: a text with holes. {{ and }} are the braces themselves.
struct text_literal : pegtl::plus<pegtl::sor<pegtl::two<'{'>, pegtl::two<'}'>, pegtl::not_one<'{', '}'>>> {};
struct hole_open : pegtl::one<'{'> {};
struct hole_close : pegtl::one<'}'> {};
struct empty_hole_mistake : pegtl::seq<pegtl::one<'{'>, gap, pegtl::one<'}'>> {};
struct lone_brace_mistake : pegtl::one<'}'> {};
struct hole : pegtl::seq<hole_open, gap, expression, gap, need<hole_close>> {};
struct text_scalar
    : pegtl::seq<pegtl::star<pegtl::sor<text_literal, empty_hole_mistake, hole, lone_brace_mistake>>, pegtl::eof> {};

}  // namespace stringline::grammar
