// The schemas made from keys.def; tests/schema/run holds examples against them.
#include "engine/paper/schema.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "engine/syntax/keys.h"

using namespace stringline;

TEST_CASE("every map that a file may hold is reached from a schema, with all its keys and their help") {
  std::set<std::string> found;  // "key: help" of every property of every definition
  for (const std::string& kind : schema_kinds()) {
    const auto schema = schema_of(kind);
    for (const auto& [name, definition] : schema["$defs"].items()) {
      if (!definition.contains("properties")) continue;
      for (const auto& [key, value] : definition["properties"].items())
        found.insert(key + ": " + value["description"].get<std::string>());
    }
  }
  for (const KeyInfo& key : all_keys()) {
    if (key.context == KeyContext::taken)
      continue;  // stands among readings, at any depth: no schema tells it from a member
    CAPTURE(key.key, describe(key.context));
    CHECK(found.count(std::string(key.key) + ": " + std::string(key.help)) == 1);
  }
}

TEST_CASE("what must be there is required, and fixed words are listed") {
  const auto profile = schema_of("profile");
  CHECK(profile["$defs"]["profile"]["required"] == nlohmann::ordered_json{"profile"});
  CHECK(profile["$defs"]["job"]["properties"]["moves"]["enum"].size() == words_of(WordSet::control).size());
  CHECK(profile["$defs"]["job"]["additionalProperties"] == false);
}
