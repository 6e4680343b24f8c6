// How long an expression can take: one step a node, with the facts and computed readings it names worked out in their place,
// and the body of a loop once for each member. Facts can double each other, so this is looked at before anything is evaluated.
#pragma once

#include <cstdint>

#include "engine/check/typed.h"

namespace stringline {

// Of a node whose operands are there; `named` is what the fact or reading that it names takes.
[[nodiscard]] std::uint64_t steps_of(const decltype(Typed::node)& node, std::uint64_t named = 0);
// Of all selectors and rows of a choice.
[[nodiscard]] std::uint64_t steps_of(const TypedChoice<TypedPtr>& choice);

[[nodiscard]] TypedPtr make_typed(Span span, Type type, decltype(Typed::node) node, std::uint64_t named = 0);

}  // namespace stringline
