// JSON Schemas (2020-12) of our kinds of file, for editors that complete and check YAML as one types; and of what --json prints
// (output_schema.h).
//
// Made from keys.def, the table the readers use: each key with its help, each fixed set of words, which maps are closed. What a
// text may say inside (numbers, expressions, names of readings) is for `check` to find; a schema lets any scalar stand there.
// Kept as grammar/KIND.schema.json; a test compares them, and holds every example against them.
// Tested by tests/unit/schema_test.cc and tests/schema/run.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace stringline {

// "house", "profile", "trials", "visit", "output".
[[nodiscard]] const std::vector<std::string>& schema_kinds();
// `kind` is one of them.
[[nodiscard]] nlohmann::ordered_json schema_of(const std::string& kind);

}  // namespace stringline
