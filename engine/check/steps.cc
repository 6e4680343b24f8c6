#include "engine/check/steps.h"

#include <utility>

namespace stringline {
namespace {

struct Steps {
  std::uint64_t named;

  static std::uint64_t of(const TypedPtr& operand) { return operand ? operand->steps : 0; }
  static std::uint64_t of(const std::vector<TypedPtr>& operands) {
    std::uint64_t all = 0;
    for (const TypedPtr& each : operands) all += of(each);
    return all;
  }

  std::uint64_t operator()(const typed::Constant&) const { return 1; }
  std::uint64_t operator()(const typed::Reading&) const { return 1 + named; }
  std::uint64_t operator()(const typed::VerdictIs&) const { return 1; }
  std::uint64_t operator()(const typed::Fact&) const { return 1 + named; }
  std::uint64_t operator()(const typed::AtHand&) const { return 1; }
  std::uint64_t operator()(const typed::StringSize&) const { return 1; }
  std::uint64_t operator()(const typed::Travel&) const { return 1; }
  std::uint64_t operator()(const typed::Total&) const { return 1; }
  std::uint64_t operator()(const typed::Unary& node) const { return 1 + of(node.operand); }
  std::uint64_t operator()(const typed::Binary& node) const { return 1 + of(node.left) + of(node.right); }
  std::uint64_t operator()(const typed::OneOf& node) const { return 1 + of(node.value) + of(node.items); }
  std::uint64_t operator()(const typed::Conditional& node) const {
    return 1 + of(node.condition) + of(node.then_value) + of(node.else_value);
  }
  std::uint64_t operator()(const typed::Aggregate& node) const {
    std::uint64_t members = 1;
    for (const typed::Loop& loop : node.loops) members *= loop.members.size();
    return 1 + members * of(node.body);
  }
  std::uint64_t operator()(const typed::Extreme& node) const { return 1 + of(node.arguments); }
  std::uint64_t operator()(const typed::Absolute& node) const { return 1 + of(node.operand); }
  std::uint64_t operator()(const typed::Aim&) const { return 1; }
  std::uint64_t operator()(const typed::Target&) const { return 1; }
  std::uint64_t operator()(const typed::Change&) const { return 1 + named; }
};

}  // namespace

std::uint64_t steps_of(const decltype(Typed::node)& node, std::uint64_t named) {
  return std::visit(Steps{named}, node);
}

std::uint64_t steps_of(const TypedChoice<TypedPtr>& choice) {
  if (const auto* leaf = std::get_if<TypedPtr>(&choice.node)) return Steps::of(*leaf);
  const auto& table = *std::get<std::shared_ptr<const TypedTable<TypedPtr>>>(choice.node);
  std::uint64_t all = Steps::of(table.selector);
  for (const auto& row : table.rows) all += 1 + steps_of(row.second);
  return all;
}

TypedPtr make_typed(Span span, Type type, decltype(Typed::node) node, std::uint64_t named) {
  const std::uint64_t steps = steps_of(node, named);
  return std::make_shared<const Typed>(Typed{span, type, std::move(node), steps});
}

}  // namespace stringline
