// The rows of a table against its selector: every row is for something, nothing is left without a row, and no two rows claim
// the same value. Found before anything runs, by states and by number bands alike.
// Tested by tests/property/table_test.cc, against sampled values, and tests/golden/check/table_hole.case.
#pragma once

#include <optional>
#include <vector>

#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"

namespace stringline {

class Binder;

// The keys of the rows in the type of the selector; nothing exactly when a mistake was reported: a key that is no value of the
// selector, two kinds of keys, a hole, an overlap, a row that is never reached.
[[nodiscard]] std::optional<std::vector<TypedRowKey>> bind_rows(Binder& binder, const Typed& selector,
                                                                const std::vector<RowKey>& keys, Span table);

}  // namespace stringline
