// A scalar node from a text, and readable dumps of what is parsed from it: for the tests of the expression language.
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/expr.h"
#include "engine/syntax/node.h"

namespace stringline::test {

// A plain scalar that stands alone in its file, so that spans are offsets into `text`.
inline Node scalar(std::string_view text) {
  Node node;
  node.text = std::string(text);
  node.span = {0, 0, static_cast<std::uint32_t>(text.size())};
  node.embedded = Embedded(node.span);
  return node;
}

inline std::string slice(std::string_view text, Span span) {
  return std::string(text.substr(span.begin, span.end - span.begin));
}

// The parts of an expression, in the order in which they are written.
inline std::vector<ExprPtr> parts(const Expr& expr) {
  struct Visitor {
    std::vector<ExprPtr> operator()(const Number&) const { return {}; }
    std::vector<ExprPtr> operator()(const PitchLiteral&) const { return {}; }
    std::vector<ExprPtr> operator()(const TruthLiteral&) const { return {}; }
    std::vector<ExprPtr> operator()(const Name&) const { return {}; }
    std::vector<ExprPtr> operator()(const Unary& unary) const { return {unary.operand}; }
    std::vector<ExprPtr> operator()(const Binary& binary) const { return {binary.left, binary.right}; }
    std::vector<ExprPtr> operator()(const OneOf& one_of) const {
      std::vector<ExprPtr> list{one_of.value};
      list.insert(list.end(), one_of.items.begin(), one_of.items.end());
      return list;
    }
    std::vector<ExprPtr> operator()(const Conditional& c) const { return {c.condition, c.then_value, c.else_value}; }
    std::vector<ExprPtr> operator()(const Call& call) const { return call.arguments; }
  };
  return std::visit(Visitor{}, expr.node);
}

// What stands before the parts: "and", "not", "f", "9 thou".
inline std::string head(const Expr& expr) {
  struct Visitor {
    std::string operator()(const Number& number) const { return number.written; }
    std::string operator()(const PitchLiteral& pitch) const { return "pitch:" + pitch.pitch.written; }
    std::string operator()(const TruthLiteral& truth) const { return truth.value ? "true" : "false"; }
    std::string operator()(const Name& name) const {
      std::string text = name.name;
      for (const std::string& member : name.members) text.append(".").append(member);
      return text;
    }
    std::string operator()(const Unary& unary) const { return unary.op == UnaryOp::negate ? "neg" : "not"; }
    std::string operator()(const Binary& binary) const { return std::string(word(binary.op)); }
    std::string operator()(const OneOf&) const { return "one of"; }
    std::string operator()(const Conditional&) const { return "if"; }
    std::string operator()(const Call& call) const { return call.name + "()"; }
  };
  return std::visit(Visitor{}, expr.node);
}

// [over a [* b 9 thou]]
inline std::string dump(const Expr& expr) {
  std::string text = head(expr);
  const std::vector<ExprPtr> inner = parts(expr);
  if (inner.empty()) return text;
  for (const ExprPtr& part : inner) text.append(" ").append(dump(*part));
  return "[" + text + "]";
}

// One report as "E203 @7 'over' hint"; several are joined by a line end.
inline std::string dump(const Diagnostics& diagnostics, std::string_view text) {
  std::string result;
  for (const Diagnostic& diagnostic : diagnostics.list()) {
    if (!result.empty()) result += "\n";
    result.append(info(diagnostic.code).id).append(" @").append(std::to_string(diagnostic.span.begin));
    result.append(" [").append(slice(text, diagnostic.span)).append("] ").append(diagnostic.hint);
  }
  return result;
}

// `expected` may end in "..." where a list follows that other files decide, such as that of all units.
inline bool fits(std::string_view actual, std::string_view expected) {
  constexpr std::string_view more = "...";
  if (expected.size() < more.size() || expected.substr(expected.size() - more.size()) != more)
    return actual == expected;
  const std::string_view start = expected.substr(0, expected.size() - more.size());
  return actual.substr(0, start.size()) == start;
}

}  // namespace stringline::test
