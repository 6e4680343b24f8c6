// What is left of an unknown truth: atoms joined by and, or, not. See evaluate.h.
#pragma once

#include <memory>
#include <vector>

#include "engine/check/evaluate.h"

namespace stringline {

struct Residual {
  enum class Op : std::uint8_t { atom, conjunction, disjunction, negation };
  Op op = Op::atom;
  const void* atom = nullptr;  // the expression it stands for
  Hand hand = empty_hand;      // at these members
  std::vector<Need> needs;     // of an atom
  ResidualPtr left;
  ResidualPtr right;
};

[[nodiscard]] ResidualPtr atom(const void* expression, const Hand& hand, std::vector<Need> needs);
[[nodiscard]] ResidualPtr negation(ResidualPtr operand);
[[nodiscard]] ResidualPtr joined(Residual::Op op, ResidualPtr left, ResidualPtr right);

struct Support {
  Truth truth = Truth::unknown;  // decided when every combination of atoms agrees
  std::vector<Need> needs;       // of the atoms that are not idle
};
[[nodiscard]] Support support(const ResidualPtr& residual);

}  // namespace stringline
