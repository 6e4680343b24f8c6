// What the owner was told before the work began: the estimate of the same visit with its log cut off at the first job done.
// Tested by the golden cases of `estimate`.
#pragma once

#include <optional>

#include "engine/book/open_visit.h"
#include "engine/estimate/estimate.h"

namespace stringline {

// Nothing while no job was done, or where the shorter log makes no estimate.
[[nodiscard]] std::optional<Estimate> told_before_work(HouseBook& book, const OpenVisit& visit, Date today);

}  // namespace stringline
