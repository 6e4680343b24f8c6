// Which of an instrument's visits came before another: those with an id of their own that began on an earlier day. The last of them
// tells what was known when the instrument left the bench. Tested by the golden cases of `work` and `board`.
#pragma once

#include <optional>

#include "engine/syntax/tree.h"
#include "engine/value/date.h"

namespace stringline {

// The day a visit began; nothing where its log is empty or the first entry has no date.
[[nodiscard]] std::optional<Date> first_date(const VisitTree& visit);

// `other` is of the same instrument. A visit that has no date yet comes after all.
[[nodiscard]] bool came_before(const VisitTree& other, const VisitTree& visit);

}  // namespace stringline
