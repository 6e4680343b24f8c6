// Readings and their members, dotted or nested: `action.bass`, `nut_gap.1..4`, `pickup_gap: {neck: {bass: 2 mm}}`.
// Tested by tests/unit/read_visit_test.cc.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// A name and its members, as one scalar writes them. Nothing when reported.
[[nodiscard]] std::optional<KeyPath> read_path(const Node& scalar, Diagnostics& out);
// One or a list of them, none twice.
[[nodiscard]] std::vector<KeyPath> read_paths(const Node& node, Diagnostics& out);
// `path` with the members that `key` adds: `bass`, `neck.bass`, `1..4`.
[[nodiscard]] std::optional<KeyPath> extend(KeyPath path, const Node& key, Diagnostics& out);

// "action.bass"
[[nodiscard]] std::string to_text(const KeyPath& path);

// Calls `leaf` for each value in `map`, whatever the mixture of dotted keys and nested maps, in the order of the file.
// A map for which `is_leaf` is true is a value; any other adds members. The same path twice is reported, with both
// places.
using PathLeaf = std::function<void(const KeyPath& path, const Node& value)>;
void for_each_path(const Node& map, bool (*is_leaf)(const Node& map), const PathLeaf& leaf, Diagnostics& out);

}  // namespace stringline
