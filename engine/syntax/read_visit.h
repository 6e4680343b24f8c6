// Nodes -> VisitTree, and the parts of a visit that a trial is written with too.
#pragma once

#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/key_reader.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"

namespace stringline {

// Reports every mistake. Parts with a mistake are left out and named in `spoiled`; nothing when not even the name was read.
[[nodiscard]] std::optional<VisitTree> read_visit(const Node& document, Diagnostics& out);

// Each takes the value of the key that its name says, and leaves out what it reported.
[[nodiscard]] std::vector<ReadTree> read_readings(const Node& map, Diagnostics& out);
[[nodiscard]] std::vector<MethodTree> read_methods(const Node& map, Diagnostics& out);
[[nodiscard]] std::vector<WantTree> read_wants(const Node& map, Diagnostics& out);
void read_instrument(const Node& map, InstrumentTree& instrument, ReadContext& in);
void read_player(const Node& map, PlayerTree& player, ReadContext& in);
[[nodiscard]] std::vector<LogEntry> read_entries(const Node& list, Diagnostics& out);

}  // namespace stringline
