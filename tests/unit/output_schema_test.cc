// The schema made from output.def; tests/schema/output holds what the program prints against it.
#include "engine/paper/output_schema.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "engine/check/typed.h"

using namespace stringline;
using Json = nlohmann::ordered_json;

namespace {

// Every name that `rule` refers to.
void gather(const Json& rule, std::set<std::string>& names) {
  if (rule.is_object() && rule.contains("$ref")) names.insert(rule["$ref"].get<std::string>().substr(8));  // #/$defs/
  if (!rule.is_structured()) return;
  for (const auto& each : rule) gather(each, names);
}

}  // namespace

TEST_CASE("every map of a document is closed, and every key of it is explained") {
  const Json schema = output_schema();
  std::size_t maps = 0;
  for (const auto& [name, rule] : schema["$defs"].items()) {
    if (!rule.contains("properties")) continue;
    ++maps;
    CAPTURE(name);
    CHECK(rule["additionalProperties"] == false);
    CHECK_FALSE(rule["description"].get<std::string>().empty());
    for (const auto& [key, value] : rule["properties"].items()) {
      CAPTURE(key);
      CHECK_FALSE(value["description"].get<std::string>().empty());
    }
  }
  CHECK(maps > 70);
}

TEST_CASE("what a schema of documents refers to is there, and nothing else") {
  const Json schema = output_schema();
  std::set<std::string> meant;
  gather(schema, meant);
  std::set<std::string> there;
  for (const auto& [name, rule] : schema["$defs"].items()) there.insert(name);
  CHECK(meant == there);
}

TEST_CASE("words of a document are those that the engine prints") {
  const Json schema = output_schema();
  const Json& verdicts = schema["$defs"]["verdict"]["enum"];
  CHECK(verdicts.size() == 9);
  CHECK(verdicts.back() == to_text(Verdict::not_applicable));
  CHECK(schema["$defs"]["moved"]["enum"] == Json{"no", "yes", "can not tell"});
}
