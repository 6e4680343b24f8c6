// One JSON text -> the nodes that read_yaml makes, so that a visit may come as a line of JSON with the keys of its file.
// Numbers, true and false become texts as they are written: 0.250 stays "0.250". The key `visit` comes first, wherever it stands.
// simdjson lives here and in book/verdict_lines.cc.
// Tested by tests/unit/read_json_test.cc.
#pragma once

#include <optional>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/text/source.h"

namespace stringline {

// The document in `source`, an object. Nothing exactly when it reported at least one error: what is no JSON, a key that stands
// twice, null, a control character, or more than limits.h allows of a file.
[[nodiscard]] std::optional<Node> read_json(SourceId source, const Sources& sources, Diagnostics& out);

}  // namespace stringline
