// Nodes -> VisitTree.
#pragma once

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// Reads what it can and reports every mistake; nothing exactly when it reported at least one error.
[[nodiscard]] std::optional<VisitTree> read_visit(const Node& document, Diagnostics& out);

}  // namespace stringline
