// The JSON Schema (2020-12) of what `--json` writes, made from output.def.
//
// Every map is closed: a key that output.def does not name is refused. Absent keys are those that say `maybe` there.
// Tested by tests/unit/output_schema_test.cc and tests/schema/output, which holds every document against it.
#pragma once

#include <nlohmann/json_fwd.hpp>

namespace stringline {

[[nodiscard]] nlohmann::ordered_json output_schema();

}  // namespace stringline
