// Ties the grammar to the builder: for each rule that matters one action, for each rule that is needed what was wanted.
// The one file that compiles PEGTL. Tested by tests/unit/parse_{expr,range,text}_test.cc, row_key_test.cc and
// tests/property/expression_test.cc.
#include "engine/syntax/parse_expr.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <type_traits>

#include "engine/syntax/expr_builder.h"
#include "grammar/messages.h"

namespace stringline {
namespace {

namespace pegtl = tao::pegtl;

template <typename Input>
Slice slice(const Input& in, const ExprBuilder& builder) {
  const char* const text = builder.text().data();
  return {static_cast<std::size_t>(in.begin() - text), static_cast<std::size_t>(in.end() - text)};
}

// ---- Actions. `at<F>` passes what a rule matched, `after<F>` only tells that it did.

template <auto Function>
struct at {
  template <typename Input>
  static void apply(const Input& in, ExprBuilder& builder) {
    (builder.*Function)(slice(in, builder));
  }
};

template <auto Function>
struct after {
  static void apply0(ExprBuilder& builder) { (builder.*Function)(); }
};

template <BinaryOp Op>
struct binary {
  static void apply0(ExprBuilder& builder) { builder.binary(Op); }
};

template <UnaryOp Op>
struct unary {
  static void apply0(ExprBuilder& builder) { builder.unary(Op); }
};

template <ExprBuilder::RangeShape Shape>
struct range {
  static void apply0(ExprBuilder& builder) { builder.range(Shape); }
};

template <RowKey::Kind Kind>
struct row {
  static void apply0(ExprBuilder& builder) { builder.row(Kind); }
};

// A habit that the grammar recognised: its refusal is in grammar/messages.h.
template <typename Rule>
struct refuse {
  template <typename Input>
  static void apply(const Input& in, ExprBuilder& builder) {
    constexpr grammar::Said said = grammar::refusal<Rule>;
    const Slice matched = slice(in, builder);
    if constexpr (std::is_same_v<Rule, grammar::glued_unit_mistake>) {
      builder.refuse_glued_unit(said.message, said.hint, matched);
    } else {
      builder.refuse(said.code, said.message, said.hint, matched, said.from_number);
    }
  }
};

template <typename Rule>
struct action : std::conditional_t<grammar::is_mistake<Rule>, refuse<Rule>, pegtl::nothing<Rule>> {};

template <>
struct action<grammar::number_start> : at<&ExprBuilder::number_start> {};
template <>
struct action<grammar::magnitude> : at<&ExprBuilder::magnitude> {};
template <>
struct action<grammar::unit> : at<&ExprBuilder::unit> {};
template <>
struct action<grammar::number> : after<&ExprBuilder::number> {};
template <>
struct action<grammar::pitch> : at<&ExprBuilder::pitch> {};
template <>
struct action<grammar::truth> : at<&ExprBuilder::truth> {};
template <>
struct action<grammar::name_head> : at<&ExprBuilder::name> {};
template <>
struct action<grammar::member> : at<&ExprBuilder::member> {};

template <>
struct action<grammar::parens_open> : at<&ExprBuilder::open> {};
template <>
struct action<grammar::parens_close> : at<&ExprBuilder::parens> {};
template <>
struct action<grammar::call_name> : at<&ExprBuilder::open> {};
template <>
struct action<grammar::call> : at<&ExprBuilder::call> {};
template <>
struct action<grammar::one_of_open> : at<&ExprBuilder::open> {};
template <>
struct action<grammar::one_of_tail> : at<&ExprBuilder::one_of> {};
template <>
struct action<grammar::if_word> : at<&ExprBuilder::open> {};
template <>
struct action<grammar::conditional> : after<&ExprBuilder::conditional> {};
template <>
struct action<grammar::not_word> : at<&ExprBuilder::open> {};
template <>
struct action<grammar::not_tail> : unary<UnaryOp::logical_not> {};
template <>
struct action<grammar::negation_sign> : at<&ExprBuilder::open> {};
template <>
struct action<grammar::negation> : unary<UnaryOp::negate> {};

template <>
struct action<grammar::or_tail> : binary<BinaryOp::logical_or> {};
template <>
struct action<grammar::and_tail> : binary<BinaryOp::logical_and> {};
template <>
struct action<grammar::over_tail> : binary<BinaryOp::over> {};
template <>
struct action<grammar::under_tail> : binary<BinaryOp::under> {};
template <>
struct action<grammar::at_least_tail> : binary<BinaryOp::at_least> {};
template <>
struct action<grammar::at_most_tail> : binary<BinaryOp::at_most> {};
template <>
struct action<grammar::is_tail> : binary<BinaryOp::is> {};
template <>
struct action<grammar::is_not_tail> : binary<BinaryOp::is_not> {};
template <>
struct action<grammar::add_tail> : binary<BinaryOp::add> {};
template <>
struct action<grammar::subtract_tail> : binary<BinaryOp::subtract> {};
template <>
struct action<grammar::multiply_tail> : binary<BinaryOp::multiply> {};
template <>
struct action<grammar::divide_tail> : binary<BinaryOp::divide> {};

template <>
struct action<grammar::range_between> : range<ExprBuilder::RangeShape::between> {};
template <>
struct action<grammar::range_around> : range<ExprBuilder::RangeShape::around> {};
template <>
struct action<grammar::range_floor> : range<ExprBuilder::RangeShape::floor> {};
template <>
struct action<grammar::range_ceiling> : range<ExprBuilder::RangeShape::ceiling> {};
template <>
struct action<grammar::range_aim> : after<&ExprBuilder::aim> {};

template <>
struct action<grammar::row_otherwise> : row<RowKey::Kind::otherwise> {};
template <>
struct action<grammar::row_from> : row<RowKey::Kind::from> {};
template <>
struct action<grammar::row_over> : after<&ExprBuilder::row_lo> {};
template <>
struct action<grammar::row_up_to> : after<&ExprBuilder::row_hi> {};
template <>
struct action<grammar::row_member> : at<&ExprBuilder::row_member> {};

template <>
struct action<grammar::text_literal> : at<&ExprBuilder::literal> {};
template <>
struct action<grammar::hole_open> : at<&ExprBuilder::open_hole> {};
template <>
struct action<grammar::hole_close> : after<&ExprBuilder::close_hole> {};

// A needed rule that did not match ends the reading with what was wanted there.
template <typename Rule>
struct control : pegtl::normal<Rule> {
  template <typename Input>
  [[noreturn]] static void raise(const Input& in, ExprBuilder& builder) {
    constexpr grammar::Wanted wanted = grammar::wanted<Rule>;
    static_assert(wanted.what != nullptr, "grammar/messages.h says what a needed rule wants");
    builder.unexpected(static_cast<std::size_t>(in.current() - builder.text().data()), wanted.what, wanted.place);
  }
};

// Reads the whole text by `Grammar`. False exactly when something was reported.
template <typename Grammar>
bool read(ExprBuilder& builder, bool limited = true) {
  if (builder.enough()) return false;
  const std::string_view text = builder.text();
  pegtl::memory_input<pegtl::tracking_mode::lazy> in(text.data(), text.data() + text.size(), "");
  try {
    if (limited) builder.limit_length({0, text.size()});
    [[maybe_unused]] const bool matched = pegtl::parse<Grammar, action, control>(in, builder);
    assert(matched && "an entry of the grammar matches or says what was wanted");
  } catch (const Mistake& mistake) {
    builder.report_end(mistake);
  }
  return !builder.failed();
}

}  // namespace

ExprPtr parse_expression(const Node& scalar, Diagnostics& out) {
  ExprBuilder builder(scalar, out);
  return read<grammar::expression_scalar>(builder) ? builder.take_expression() : nullptr;
}

std::optional<RangeExpr> parse_range(const Node& scalar, Diagnostics& out) {
  ExprBuilder builder(scalar, out);
  if (!read<grammar::range_scalar>(builder)) return std::nullopt;
  RangeExpr range = builder.take_range();
  return builder.failed() ? std::nullopt : std::optional(std::move(range));
}

std::optional<RowKey> parse_row_key(const Node& scalar, Diagnostics& out) {
  ExprBuilder builder(scalar, out);
  if (!read<grammar::row_key_scalar>(builder)) return std::nullopt;
  RowKey row = builder.take_row();
  return builder.failed() ? std::nullopt : std::optional(std::move(row));
}

bool is_table_key(const Node& key) {
  const std::string_view text = key.text;
  return text.substr(0, 2) == "by" && (text.size() == 2 || !is_word_char(text[2]));
}

ExprPtr parse_table_key(const Node& key, Diagnostics& out) {
  ExprBuilder builder(key, out);
  return read<grammar::table_key_scalar>(builder) ? builder.take_expression() : nullptr;
}

std::optional<TextExpr> parse_text(const Node& scalar, Diagnostics& out) {
  ExprBuilder builder(scalar, out);
  if (!read<grammar::text_scalar>(builder, false)) return std::nullopt;
  return builder.take_text();
}

std::optional<Number> parse_number(const Node& scalar, Diagnostics& out) {
  ExprBuilder builder(scalar, out);
  if (!read<grammar::number_scalar>(builder)) return std::nullopt;
  return std::get<Number>(builder.take_expression()->node);
}

bool is_identifier(std::string_view text) {
  return !text.empty() && text.front() >= 'a' && text.front() <= 'z' &&
         std::all_of(text.begin(), text.end(), is_word_char);
}

bool is_reserved_word(std::string_view text) {
  pegtl::memory_input<pegtl::tracking_mode::lazy> in(text.data(), text.data() + text.size(), "");
  return pegtl::parse<pegtl::seq<grammar::reserved, pegtl::eof>>(in);
}

}  // namespace stringline
