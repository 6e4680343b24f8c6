// Nodes -> VisitTree.
#pragma once

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// Reports every mistake. Parts with a mistake are left out and named in `spoiled`; nothing when not even the name was read.
[[nodiscard]] std::optional<VisitTree> read_visit(const Node& document, Diagnostics& out);

}  // namespace stringline
