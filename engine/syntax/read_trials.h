// Nodes -> TrialsTree.
#pragma once

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// Reports every mistake. A trial with a mistake is left out and named in `spoiled`; nothing when not even the profile's name
// was read.
[[nodiscard]] std::optional<TrialsTree> read_trials(const Node& document, Diagnostics& out);

}  // namespace stringline
