// What is left of an unknown truth: atoms joined by and, or, not. See evaluate.h.
//
// Two atoms are one when they say the same, or the opposite, in the same words: `relief over 9 thou` and `relief at most 9 thou`.
// Left out on purpose: that `relief over 12 thou` also says something of `relief over 9 thou`; such a pair may ask for a reading
// that can not matter, never the reverse.
// Tested by tests/property/evaluate_test.cc.
#pragma once

#include <memory>
#include <vector>

#include "engine/check/evaluate.h"

namespace stringline {

struct Residual {
  enum class Op : std::uint8_t { atom, conjunction, disjunction, negation };
  Op op = Op::atom;
  const Typed* atom = nullptr;  // the expression it stands for
  Hand hand = empty_hand;       // at these members
  std::vector<Need> needs;      // of an atom
  ResidualPtr left;
  ResidualPtr right;
};

// Of an expression that says the opposite of another (`is not`, `at most`, `at least`, a negated verdict) the negated atom.
[[nodiscard]] ResidualPtr atom(const Typed* expression, const Hand& hand, std::vector<Need> needs);
[[nodiscard]] ResidualPtr negation(ResidualPtr operand);
[[nodiscard]] ResidualPtr joined(Residual::Op op, ResidualPtr left, ResidualPtr right);

struct Support {
  Truth truth = Truth::unknown;  // decided when every combination of atoms agrees
  std::vector<Need> needs;       // of the atoms that are not idle
};
[[nodiscard]] Support support(const ResidualPtr& residual);

}  // namespace stringline
