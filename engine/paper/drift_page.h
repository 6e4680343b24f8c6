// The papers of `drift` as pages: the same words as drift.h, with the strings drawn then and now, or a small chart of each
// reading over time. Tested by tests/golden/html and tests/pages.
#pragma once

#include <string>

#include "engine/paper/drift.h"

namespace stringline {

[[nodiscard]] std::string drift_page(const DriftHead& head, const Drift& drift, const SeenVisit& then,
                                     const SeenVisit& now);
[[nodiscard]] std::string history_page(const DriftHead& head, const History& history);

}  // namespace stringline
