// Text -> nodes. yaml-cpp is used here alone, behind the gate of yaml_gate.h.
#pragma once

#include <optional>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/text/source.h"

namespace stringline {

// The document in `source`. Nothing exactly when it reported at least one error. Reports everything the gate finds, every
// duplicate key with both places, empty values, and nodes past the limits; then nothing of what follows from those.
[[nodiscard]] std::optional<Node> read_yaml(SourceId source, const Sources& sources, Diagnostics& out);

}  // namespace stringline
