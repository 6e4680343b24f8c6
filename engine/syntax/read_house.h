// Nodes -> HouseTree.
#pragma once

#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// Reads what it can and reports every mistake; nothing exactly when it reported at least one error.
[[nodiscard]] std::optional<HouseTree> read_house(const Node& document, Diagnostics& out);

// The value of `order:`, in a house or a trials file.
[[nodiscard]] std::vector<PhaseTree> read_order(const Node& list, Diagnostics& out);

}  // namespace stringline
