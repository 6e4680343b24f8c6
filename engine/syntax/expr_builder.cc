#include "engine/syntax/expr_builder.h"

#include <algorithm>
#include <cassert>
#include <iterator>
#include <optional>

#include <fmt/format.h>

#include "engine/text/limits.h"

namespace stringline {
namespace {

std::string replace_all(std::string text, std::string_view what, std::string_view with) {
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size())) {
    text.replace(at, what.size(), with);
  }
  return text;
}

const Number* as_number(const std::shared_ptr<Expr>& expr) { return std::get_if<Number>(&expr->node); }

// "3.5/64", "25 1/2", "0.25" as a fraction; nothing when it does not fit or divides by zero.
std::optional<Ratio> read_magnitude(std::string_view text) {
  const std::size_t space = text.find(' ');
  const std::string_view tail = space == std::string_view::npos ? text : text.substr(space + 1);
  const std::size_t slash = tail.find('/');
  if (slash == std::string_view::npos) return Ratio::parse(tail);
  const auto above = Ratio::parse(tail.substr(0, slash));
  const auto below = Ratio::parse(tail.substr(slash + 1));
  if (!above || !below) return std::nullopt;
  const auto part = divide(*above, *below);
  if (!part || space == std::string_view::npos) return part;
  const auto whole = Ratio::parse(text.substr(0, space));
  return whole ? add(*whole, *part) : std::nullopt;
}

bool divides_by_zero(std::string_view text) {
  const std::size_t slash = text.find('/');
  return slash != std::string_view::npos && text.find_first_not_of('0', slash + 1) == std::string_view::npos;
}

// `value` plus (or minus) `step`, both in base units; a step in degrees is a difference, so its offset is taken off first.
std::optional<Quantity> moved(const Quantity& value, const Quantity& step, bool up) {
  const auto difference = subtract(step.value, info(step.unit).offset);
  if (!difference) return std::nullopt;
  const auto result = up ? add(value.value, *difference) : subtract(value.value, *difference);
  if (!result) return std::nullopt;
  return Quantity{*result, value.unit};
}

ExprPtr make_number(Quantity quantity, Span span) {
  Expr expr{span, Number{quantity, {}}};
  std::get<Number>(expr.node).written = to_text(expr);
  return std::make_shared<const Expr>(std::move(expr));
}

}  // namespace

// ---- the stack

void ExprBuilder::push(decltype(Expr::node) node, Slice at, std::size_t depth) {
  if (depth > limits::now().expression_depth) {
    refuse({Code::expression_too_deep, at.begin, at.end,
            fmt::format("operations stand more than {} deep in each other", limits::now().expression_depth),
            "give a part of it a name of its own, with 'is:' under readings or facts" +
                limits::or_allow_more("expression_depth")});
  }
  stack_.push_back({std::make_shared<Expr>(Expr{span(at), std::move(node)}), at, depth});
}

ExprBuilder::Item ExprBuilder::pop() {
  assert(!stack_.empty() && "the grammar reads an operand before its operator is built");
  Item item = std::move(stack_.back());
  stack_.pop_back();
  return item;
}

void ExprBuilder::open(Slice at) {
  if (marks_.size() >= limits::now().expression_depth) {
    refuse({Code::expression_too_deep, at.begin, at.end,
            fmt::format("the expression is nested more than {} deep", limits::now().expression_depth),
            "take out parentheses that change nothing, or give a part of it a name of its own" +
                limits::or_allow_more("expression_depth")});
  }
  marks_.push_back({at, stack_.size()});
}

ExprBuilder::Mark ExprBuilder::close() {
  assert(!marks_.empty() && "what closes was opened");
  const Mark mark = marks_.back();
  marks_.pop_back();
  return mark;
}

std::vector<ExprPtr> ExprBuilder::pop_list(std::size_t first, std::size_t& depth) {
  std::vector<ExprPtr> list;
  for (std::size_t i = first; i < stack_.size(); ++i) {
    depth = std::max(depth, stack_[i].depth + 1);
    list.push_back(std::move(stack_[i].expr));
  }
  stack_.resize(first);
  return list;
}

// ---- leaves

void ExprBuilder::magnitude(Slice at) {
  magnitude_ = at;
  unit_ = {at.end, at.end};
}

void ExprBuilder::number() {
  const Slice whole{number_, unit_.end};
  push(Number{read_quantity(whole), std::string(part(whole))}, whole, 1);
}

Quantity ExprBuilder::read_quantity(Slice whole) {
  const auto unit = find_unit(part(unit_));
  if (!unit) {
    report(explain_unit(text(), number_, unit_.begin, unit_.end));
    return {};
  }
  auto value = read_magnitude(part(magnitude_));
  if (value && number_ != magnitude_.begin) value = negate(*value);
  if (value) return convert(*value, *unit, whole);
  if (divides_by_zero(part(magnitude_))) {
    report({Code::zero_denominator, magnitude_.begin, magnitude_.end,
            fmt::format("'{}' divides by zero", part(magnitude_)), "a fraction has a number above zero under its '/'"});
  } else {
    report({Code::number_too_large, magnitude_.begin, magnitude_.end,
            fmt::format("'{}' has more digits than can be held exactly", part(magnitude_)),
            "numbers have up to 18 digits"});
  }
  return {};
}

Quantity ExprBuilder::convert(Ratio value, Unit unit, Slice whole) {
  if (const auto quantity = make_quantity(value, unit)) return *quantity;
  const auto in_base = multiply(value, info(unit).factor);
  if (in_base && info(unit).dimension == dimension::length && !is_whole_tick(*in_base)) {
    report({Code::length_too_fine, whole.begin, whole.end,
            fmt::format("'{}' is no whole count of the finest step, 1/16000 nm", part(whole)),
            "lengths go down to 1/8192 in, 0.00001 thou and 0.000000001 mm; write one that is a whole count of these"});
  } else {
    report({Code::number_too_large, whole.begin, whole.end, fmt::format("'{}' is too large", part(whole)),
            "write it in a larger unit, or with fewer digits"});
  }
  return {};
}

void ExprBuilder::pitch(Slice at) {
  const auto read = parse_pitch(part(at));
  assert(read && "the grammar's pitches are all pitches");
  push(PitchLiteral{read.value_or(Pitch{})}, at, 1);
}

void ExprBuilder::truth(Slice at) { push(TruthLiteral{part(at) == "true"}, at, 1); }

void ExprBuilder::name(Slice at) { push(Name{std::string(part(at)), {}, {}}, at, 1); }

void ExprBuilder::member(Slice at) {
  const Item item = pop();
  Name name = std::get<Name>(item.expr->node);
  name.members.emplace_back(part(at));
  name.member_spans.push_back(span(at));
  push(std::move(name), {item.at.begin, at.end}, 1);
}

// ---- operators

void ExprBuilder::binary(BinaryOp op) {
  Item right = pop();
  Item left = pop();
  const std::size_t depth = std::max(left.depth, right.depth) + 1;
  push(Binary{op, std::move(left.expr), std::move(right.expr)}, {left.at.begin, right.at.end}, depth);
}

void ExprBuilder::unary(UnaryOp op) {
  const Mark mark = close();
  Item operand = pop();
  push(Unary{op, std::move(operand.expr)}, {mark.at.begin, operand.at.end}, operand.depth + 1);
}

// The parentheses belong to what stands in them, so that a caret under it never shows half of a pair.
void ExprBuilder::parens(Slice at) {
  Item& inner = stack_.back();
  inner.at = {close().at.begin, at.end};
  inner.expr->span = span(inner.at);
}

void ExprBuilder::conditional() {
  const Mark mark = close();
  Item otherwise = pop();
  Item then = pop();
  Item condition = pop();
  const std::size_t depth = std::max({otherwise.depth, then.depth, condition.depth}) + 1;
  push(Conditional{std::move(condition.expr), std::move(then.expr), std::move(otherwise.expr)},
       {mark.at.begin, otherwise.at.end}, depth);
}

void ExprBuilder::call(Slice at) {
  const Mark mark = close();
  std::size_t depth = 1;
  auto arguments = pop_list(mark.items, depth);
  push(Call{std::string(part(mark.at)), span(mark.at), std::move(arguments)}, {mark.at.begin, at.end}, depth);
}

void ExprBuilder::one_of(Slice at) {
  const Mark mark = close();
  std::size_t depth = 1;
  auto items = pop_list(mark.items, depth);
  Item value = pop();
  push(OneOf{std::move(value.expr), std::move(items)}, {value.at.begin, at.end}, std::max(depth, value.depth + 1));
}

// ---- ranges

// A bare number among the limits takes the unit that another one carries.
void ExprBuilder::share_unit(std::vector<Item>& limits) {
  std::optional<Unit> unit;
  bool differ = false;
  for (const Item& limit : limits) {
    const Number* const number = as_number(limit.expr);
    if (number == nullptr || number->quantity.unit == Unit::none) continue;
    differ = differ || (unit && *unit != number->quantity.unit);
    unit = number->quantity.unit;
  }
  if (!unit) return;
  for (Item& limit : limits) {
    const Number* const number = as_number(limit.expr);
    if (number == nullptr || number->quantity.unit != Unit::none) continue;
    if (differ) {
      report({Code::unclear_unit, limit.at.begin, limit.at.end,
              fmt::format("'{}' has no unit, and the limits have two different ones", part(limit.at)),
              "write its unit"});
    } else {
      limit.expr = adopt(limit, *unit);
    }
  }
}

std::shared_ptr<Expr> ExprBuilder::adopt(const Item& item, Unit unit) {
  const Number& bare = std::get<Number>(item.expr->node);
  const Quantity quantity = convert(bare.quantity.value, unit, item.at);
  return std::make_shared<Expr>(
      Expr{item.expr->span, Number{quantity, fmt::format("{} {}", bare.written, info(unit).written)}});
}

// centre - half and centre + half: numbers where both are, else sums that check looks into.
std::pair<ExprPtr, ExprPtr> ExprBuilder::around(const Item& centre, const Item& half) {
  const Span whole = span({centre.at.begin, half.at.end});
  const Number* const middle = as_number(centre.expr);
  const Number* const step = as_number(half.expr);
  if (middle != nullptr && step != nullptr &&
      info(middle->quantity.unit).dimension == info(step->quantity.unit).dimension) {
    const auto lo = moved(middle->quantity, step->quantity, false);
    const auto hi = moved(middle->quantity, step->quantity, true);
    if (lo && hi) return {make_number(*lo, whole), make_number(*hi, whole)};
  }
  return {std::make_shared<const Expr>(Expr{whole, Binary{BinaryOp::subtract, centre.expr, half.expr}}),
          std::make_shared<const Expr>(Expr{whole, Binary{BinaryOp::add, centre.expr, half.expr}})};
}

RangeExpr ExprBuilder::take_range() {
  std::vector<Item> limits = std::move(stack_);
  share_unit(limits);
  const std::size_t begin = std::min(text().find_first_not_of(" \n"), text().size());
  RangeExpr range{span({begin, end_of_previous(text(), text().size())}), nullptr, nullptr, nullptr};
  if (has_aim_) range.aim = limits.back().expr;
  switch (shape_) {
    case RangeShape::between:
      range.lo = limits[0].expr;
      range.hi = limits[1].expr;
      break;
    case RangeShape::around:
      std::tie(range.lo, range.hi) = around(limits[0], limits[1]);
      if (!has_aim_) range.aim = limits[0].expr;
      break;
    case RangeShape::floor: range.lo = limits[0].expr; break;
    case RangeShape::ceiling: range.hi = limits[0].expr; break;
  }
  return range;
}

// ---- keys of rows

void ExprBuilder::row_hi() { row_.kind = RowKey::Kind::band; }

void ExprBuilder::row_lo() {
  row_.kind = RowKey::Kind::band;
  row_.lo = stack_.back().expr;  // stays on the stack, so that it shares the unit of the upper end
}

void ExprBuilder::row_member(Slice at) {
  row_.kind = RowKey::Kind::member;
  row_.member = std::string(part(at));
  stack_.clear();
}

RowKey ExprBuilder::take_row() {
  share_unit(stack_);
  const bool has_lo = row_.lo != nullptr || row_.kind == RowKey::Kind::from;
  const bool has_hi = stack_.size() > (has_lo ? 1U : 0U);
  if (has_lo) row_.lo = stack_.front().expr;
  if (has_hi) row_.hi = stack_.back().expr;
  const std::size_t begin = std::min(text().find_first_not_of(" \n"), text().size());
  row_.span = span({begin, end_of_previous(text(), text().size())});
  return std::move(row_);
}

// ---- texts

void ExprBuilder::literal(Slice at) {
  pieces_.push_back({replace_all(replace_all(std::string(part(at)), "{{", "{"), "}}", "}"), nullptr});
}

void ExprBuilder::open_hole(Slice at) {
  const std::size_t brace = text().find_first_of("{}", at.end);
  if (brace == std::string_view::npos || text()[brace] == '{') {
    refuse({Code::unclosed_hole, at.begin, at.end, "this '{' opens a hole that no '}' closes",
            "write '{expression}', or '{{' for a brace"});
  }
  limit_length({at.end, brace});
}

void ExprBuilder::close_hole() { pieces_.push_back({{}, pop().expr}); }

// ---- mistakes

void ExprBuilder::limit_length(Slice at) const {
  if (at.end - at.begin <= limits::now().expression_bytes) return;
  refuse({Code::expression_too_long, at.begin, at.end,
          fmt::format("the expression has {} bytes; the language allows {}", at.end - at.begin,
                      limits::now().expression_bytes),
          "give parts of it names of their own, with 'is:' under readings or facts" +
              limits::or_allow_more("expression_bytes")});
}

void ExprBuilder::unexpected(std::size_t at, std::string_view wanted, Place place) const {
  refuse(explain_unexpected(text(), at, wanted, place));
}

void ExprBuilder::refuse(Code code, std::string_view message, std::string_view hint, Slice at, bool from_number) const {
  const Slice whole{from_number ? number_ : at.begin, at.end};
  std::string rewritten = from_number || code == Code::bad_number ? rewrite_number(part(whole)) : "";
  const bool mixed = rewritten.find('/') != std::string::npos && rewritten.find('.') > rewritten.find(' ');
  if (code == Code::bad_mixed_number && !mixed) rewritten = "25 1/2 in";  // 3 4, 1.5 1/2: nobody knows what was meant
  const auto fill = [&](std::string_view text) {
    return replace_all(replace_all(std::string(text), "{0}", part(whole)), "{1}", rewritten);
  };
  refuse({code, whole.begin, whole.end, fill(message), fill(hint)});
}

// 9thou has its unit, only too near; 9zork has none.
void ExprBuilder::refuse_glued_unit(std::string_view message, std::string_view hint, Slice word) const {
  if (unit_meant(part(word)).empty()) refuse(explain_unit(text(), number_, word.begin, word.end));
  refuse(Code::unit_spacing, message, hint, word, true);
}

void ExprBuilder::report(const Mistake& mistake) {
  out_.report(mistake.code, span({mistake.begin, mistake.end}), mistake.message, mistake.hint);
  failed_ = true;
  reported_to_ = mistake.end;
}

void ExprBuilder::report_end(const Mistake& mistake) {
  if (failed_ && end_of_previous(text(), mistake.begin) <= reported_to_) return;
  report(mistake);
}

}  // namespace stringline
