// Prints a tree with as few parentheses as its precedence allows, and compares trees.
// Tested by tests/property/expression_test.cc: what is printed parses to the same tree.
#include "engine/syntax/expr.h"

#include <algorithm>

namespace stringline {
namespace {

// How tightly an expression holds together, loosest first: the levels of grammar/expression.h.
enum class Level : std::uint8_t {
  conditional,
  disjunction,
  conjunction,
  inversion,
  comparison,
  sum,
  term,
  unary,
  primary
};

Level next(Level level) { return static_cast<Level>(static_cast<std::uint8_t>(level) + 1); }

Level level_of(BinaryOp op) {
  switch (op) {
    case BinaryOp::logical_or: return Level::disjunction;
    case BinaryOp::logical_and: return Level::conjunction;
    case BinaryOp::over:
    case BinaryOp::under:
    case BinaryOp::at_least:
    case BinaryOp::at_most:
    case BinaryOp::is:
    case BinaryOp::is_not: return Level::comparison;
    case BinaryOp::add:
    case BinaryOp::subtract: return Level::sum;
    case BinaryOp::multiply:
    case BinaryOp::divide: return Level::term;
  }
  return Level::primary;
}

std::string print(const Expr& expr, Level outside);

std::string join(const std::vector<ExprPtr>& list) {
  std::string text;
  for (const ExprPtr& item : list) text.append(text.empty() ? "" : ", ").append(print(*item, Level::conditional));
  return text;
}

struct Printed {
  std::string text;
  Level level;
};

Printed print_node(const Number& number) {
  if (!number.written.empty()) return {number.written, Level::primary};
  const auto value = in_unit(number.quantity.value, number.quantity.unit);
  std::string text = to_decimal(value.value_or(number.quantity.value));
  const std::string_view unit = info(number.quantity.unit).written;
  if (!unit.empty()) text.append(" ").append(unit);
  return {std::move(text), Level::primary};
}

Printed print_node(const PitchLiteral& pitch) { return {pitch.pitch.written, Level::primary}; }
Printed print_node(const TruthLiteral& truth) { return {truth.value ? "true" : "false", Level::primary}; }

Printed print_node(const Name& name) {
  std::string text = name.name;
  for (const std::string& member : name.members) text.append(".").append(member);
  return {std::move(text), Level::primary};
}

// -(3 mm) keeps its parentheses: -3 mm is a number, not an operation.
Printed print_node(const Unary& unary) {
  if (unary.op == UnaryOp::logical_not) return {"not " + print(*unary.operand, Level::inversion), Level::inversion};
  const bool number = std::holds_alternative<Number>(unary.operand->node);
  const std::string operand = print(*unary.operand, number ? Level::conditional : Level::primary);
  return {number ? "-(" + operand + ")" : "-" + operand, Level::unary};
}

// Sums and products lean left; comparisons have no chain, so both sides are sums.
Printed print_node(const Binary& binary) {
  const Level level = level_of(binary.op);
  const Level left = level == Level::comparison ? next(level) : level;
  return {print(*binary.left, left) + " " + std::string(word(binary.op)) + " " + print(*binary.right, next(level)),
          level};
}

Printed print_node(const OneOf& one_of) {
  return {print(*one_of.value, Level::sum) + " one of (" + join(one_of.items) + ")", Level::comparison};
}

Printed print_node(const Conditional& conditional) {
  return {"if " + print(*conditional.condition, Level::disjunction) + " then " +
              print(*conditional.then_value, Level::disjunction) + " else " +
              print(*conditional.else_value, Level::conditional),
          Level::conditional};
}

Printed print_node(const Call& call) { return {call.name + "(" + join(call.arguments) + ")", Level::primary}; }

std::string print(const Expr& expr, Level outside) {
  Printed printed = std::visit([](const auto& node) { return print_node(node); }, expr.node);
  return printed.level < outside ? "(" + std::move(printed.text) + ")" : std::move(printed.text);
}

bool same_list(const std::vector<ExprPtr>& a, const std::vector<ExprPtr>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const ExprPtr& left, const ExprPtr& right) { return same(*left, *right); });
}

bool same_node(const Number& a, const Number& b) { return a.quantity == b.quantity; }
bool same_node(const PitchLiteral& a, const PitchLiteral& b) { return a.pitch == b.pitch; }
bool same_node(const TruthLiteral& a, const TruthLiteral& b) { return a.value == b.value; }
bool same_node(const Name& a, const Name& b) { return a.name == b.name && a.members == b.members; }
bool same_node(const Unary& a, const Unary& b) { return a.op == b.op && same(*a.operand, *b.operand); }
bool same_node(const Binary& a, const Binary& b) {
  return a.op == b.op && same(*a.left, *b.left) && same(*a.right, *b.right);
}
bool same_node(const OneOf& a, const OneOf& b) { return same(*a.value, *b.value) && same_list(a.items, b.items); }
bool same_node(const Conditional& a, const Conditional& b) {
  return same(*a.condition, *b.condition) && same(*a.then_value, *b.then_value) && same(*a.else_value, *b.else_value);
}
bool same_node(const Call& a, const Call& b) { return a.name == b.name && same_list(a.arguments, b.arguments); }

}  // namespace

std::string_view word(BinaryOp op) {
  switch (op) {
    case BinaryOp::logical_or: return "or";
    case BinaryOp::logical_and: return "and";
    case BinaryOp::over: return "over";
    case BinaryOp::under: return "under";
    case BinaryOp::at_least: return "at least";
    case BinaryOp::at_most: return "at most";
    case BinaryOp::is: return "is";
    case BinaryOp::is_not: return "is not";
    case BinaryOp::add: return "+";
    case BinaryOp::subtract: return "-";
    case BinaryOp::multiply: return "*";
    case BinaryOp::divide: return "/";
  }
  return "";
}

std::string to_text(const Expr& expr) { return print(expr, Level::conditional); }

std::string to_text(const RangeExpr& range) {
  std::string text;
  if (range.lo && range.hi) {
    text = print(*range.lo, Level::sum) + " .. " + print(*range.hi, Level::sum);
  } else if (range.lo || range.hi) {
    text = range.lo ? "at least " + print(*range.lo, Level::sum) : "at most " + print(*range.hi, Level::sum);
  }
  return range.aim ? text + " aim " + print(*range.aim, Level::sum) : text;
}

bool same(const Expr& a, const Expr& b) {
  if (a.node.index() != b.node.index()) return false;
  return std::visit([&b](const auto& left) { return same_node(left, std::get<std::decay_t<decltype(left)>>(b.node)); },
                    a.node);
}

}  // namespace stringline
