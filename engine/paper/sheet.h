// A fill-in visit for a profile: what to measure, with what, how, to what step, in which order; itself a visit that checks.
//
// First what gates and stops hang on, then by the phase of each reading's target, then what is only reported. What nobody read
// stands as `unknown`. Tested by the golden cases of `sheet` and by tests/product.
#pragma once

#include <string>

#include "engine/check/program.h"
#include "engine/value/date.h"

namespace stringline {

// `program` of a profile without a visit.
[[nodiscard]] std::string sheet_text(const Program& program, Date today);
// A visit to begin with: who, what, how it is played, and an empty first entry.
[[nodiscard]] std::string new_visit_text(const Program& program, const std::string& id, Date today);

}  // namespace stringline
