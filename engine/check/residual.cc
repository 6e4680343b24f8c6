#include "engine/check/residual.h"

#include <algorithm>
#include <utility>

#include "engine/text/limits.h"

namespace stringline {
namespace {

using Atoms = std::vector<const Residual*>;

bool same_atom(const Residual& a, const Residual& b) { return a.atom == b.atom && a.hand == b.hand; }

std::size_t index_of(const Residual& node, const Atoms& atoms) {
  const auto found = std::find_if(atoms.begin(), atoms.end(), [&](const Residual* a) { return same_atom(*a, node); });
  return static_cast<std::size_t>(found - atoms.begin());
}

void collect(const Residual& node, Atoms& atoms) {
  if (node.op == Residual::Op::atom) {
    if (index_of(node, atoms) == atoms.size()) atoms.push_back(&node);
    return;
  }
  collect(*node.left, atoms);
  if (node.right) collect(*node.right, atoms);
}

// The truth of the residual when bit i of `chosen` is the truth of atom i.
bool value_at(const Residual& node, const Atoms& atoms, std::uint32_t chosen) {
  switch (node.op) {
    case Residual::Op::atom: return ((chosen >> index_of(node, atoms)) & 1U) != 0;
    case Residual::Op::negation: return !value_at(*node.left, atoms, chosen);
    case Residual::Op::conjunction: return value_at(*node.left, atoms, chosen) && value_at(*node.right, atoms, chosen);
    case Residual::Op::disjunction: return value_at(*node.left, atoms, chosen) || value_at(*node.right, atoms, chosen);
  }
  return false;
}

}  // namespace

ResidualPtr atom(const void* expression, const Hand& hand, std::vector<Need> needs) {
  auto node = std::make_shared<Residual>();
  node->atom = expression;
  node->hand = hand;
  node->needs = std::move(needs);
  return node;
}

ResidualPtr negation(ResidualPtr operand) {
  auto node = std::make_shared<Residual>();
  node->op = Residual::Op::negation;
  node->left = std::move(operand);
  return node;
}

ResidualPtr joined(Residual::Op op, ResidualPtr left, ResidualPtr right) {
  auto node = std::make_shared<Residual>();
  node->op = op;
  node->left = std::move(left);
  node->right = std::move(right);
  return node;
}

Support support(const ResidualPtr& residual) {
  Atoms atoms;
  collect(*residual, atoms);
  Support result;
  if (atoms.size() > limits::max_proven_unknowns) {
    for (const Residual* each : atoms) result.needs = merged(std::move(result.needs), each->needs);
    return result;
  }
  const std::uint32_t combinations = 1U << atoms.size();
  std::vector<bool> table(combinations);
  for (std::uint32_t chosen = 0; chosen < combinations; ++chosen) table[chosen] = value_at(*residual, atoms, chosen);
  for (std::size_t i = 0; i < atoms.size(); ++i) {
    bool idle = true;
    for (std::uint32_t chosen = 0; idle && chosen < combinations; ++chosen) {
      idle = table[chosen] == table[chosen ^ (1U << i)];
    }
    if (!idle) result.needs = merged(std::move(result.needs), atoms[i]->needs);
  }
  const auto differs = [&](bool value) { return value != table.front(); };
  if (std::none_of(table.begin(), table.end(), differs)) result.truth = table.front() ? Truth::yes : Truth::no;
  return result;
}

}  // namespace stringline
