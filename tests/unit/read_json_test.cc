// Lines of JSON as nodes: the same tree that the same text makes as YAML, places in the line, and what is refused.
#include "engine/syntax/read_json.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/diag/render.h"
#include "engine/syntax/read_yaml.h"

using namespace stringline;

namespace {

struct Read {
  Sources sources;
  Diagnostics diagnostics;
  std::optional<Node> node;

  explicit Read(const std::string& text, bool json = true) {
    const SourceId source = sources.add("line", text);
    node = json ? read_json(source, sources, diagnostics) : read_yaml(source, sources, diagnostics);
  }
  [[nodiscard]] std::string told() const { return render(diagnostics, sources, false); }
};

// The tree with the place of everything in it.
std::string shown(const Node& node) {
  std::string out = std::to_string(node.span.begin) + "-" + std::to_string(node.span.end);
  if (node.is_scalar()) return out + "'" + node.text + "'";
  out += node.is_map() ? "{" : "[";
  for (const Node& item : node.items) out += shown(item) + ",";
  for (const MapEntry& entry : node.entries) out += shown(entry.key) + ":" + shown(entry.value) + ",";
  return out + (node.is_map() ? "}" : "]");
}

}  // namespace

TEST_CASE("a line of JSON makes the tree that the YAML reader makes of it") {
  const std::string text = GENERATE(
      std::string(
          R"({"visit": "a1", "log": [{"date": "2026-03-02", "read": {"relief": 0.250, "gap": {"1": -3, "2": true}}}]})"),
      std::string(R"({"visit": "tab\tand \"quotes\" \\ \u00e9 \u20ac", "list": ["x", ["y", []], {}]})"),
      std::string("{\"visit\":\"\xc3\xa9\", \"empty\": \"\"}"));
  CAPTURE(text);
  const Read json(text);
  const Read yaml(text, false);
  INFO(json.told() << yaml.told());
  REQUIRE(json.node);
  REQUIRE(yaml.node);
  CHECK(shown(*json.node) == shown(*yaml.node));
}

TEST_CASE("an object has no order: the key that says what it is may stand anywhere") {
  const Read read(R"({"log": [], "profile": "p", "visit": "v"})");
  REQUIRE(read.node);
  CHECK(read.node->entries[0].key.text == "visit");
  CHECK(read.node->entries[1].key.text == "log");
  CHECK(read.node->entries[2].key.text == "profile");
  CHECK(read.node->entries[0].key.span.begin == 28);  // its place is where it was written
}

TEST_CASE("an offset inside a text with escapes leads back to its place in the line") {
  const std::string text = R"({"visit": "a\n\u00e9 b"})";
  const Read json(text);
  REQUIRE(json.node);
  const Node& value = json.node->entries.front().value;
  CHECK(value.text == "a\n\xc3\xa9 b");
  const auto at = [&](std::size_t decoded) { return value.embedded.span(decoded, decoded + 1).begin; };
  CHECK(text.substr(at(0), 1) == "a");
  CHECK(text.substr(at(1), 2) == "\\n");
  CHECK(text.substr(at(2), 6) == "\\u00e9");
  CHECK(text.substr(at(5), 1) == "b");
}

TEST_CASE("a number is kept as it is written, however large") {
  const Read read(R"({"visit": "a", "x": [1e400, -0.250e-7, 123456789012345678901234567890, 0, -0.5], "y": 1E+9})");
  INFO(read.told());
  REQUIRE(read.node);
  const Node& list = read.node->entries[1].value;
  REQUIRE(list.items.size() == 5);
  CHECK(list.items[0].text == "1e400");
  CHECK(list.items[1].text == "-0.250e-7");
  CHECK(list.items[2].text == "123456789012345678901234567890");
  CHECK(read.node->entries[2].value.text == "1E+9");
}

TEST_CASE("what is no JSON, or more than a visit may say, is refused with its place") {
  struct Row {
    std::string text;
    std::string told;
  };
  const auto [text, told] = GENERATE(values<Row>({
      {R"({"visit": "a", "visit": "b"})", "line:1:16: error: the key 'visit' stands twice in this object [E127]"},
      {R"({"visit": null})", "line:1:11: error: 'null' is no value here [E129]"},
      {R"({"visit": "a"} x)", "[E163]"},
      {R"({"visit": "a",})", "[E163]"},
      {R"({"visit": 01})", "[E163]"},
      {R"({"visit": "a)", "[E163]"},
      {R"({'visit': 1})", "[E163]"},
      {R"(["visit"])", "line:1:1: error: the text can not be read as JSON from here on [E163]"},
      {R"({"visit": "a\u0007"})", "line:1:11: error: this text holds a control character [E152]"},
      {"{\"visit\": " + std::string(40, '[') + std::string(40, ']') + "}", "[E124]"},
      {"{\"visit\": \"" + std::string(1U << 20U, 'a') + "\"}", "[E101]"},
      {"{\"visit\": \"\xff\"}", "line:1:12: error: the byte \\xFF is no UTF-8 here [E105]"},
      {"{\"visit\": \"\xc3\xa9\\\xff\"}", "line:1:14: error: the byte \\xFF is no UTF-8 here [E105]"},
      {"{\"visit\": \"a\tb\"}", "line:1:13: error: the character U+0009 can not stand here as it is [E106]"},
      {std::string("{\"visit\": \"a\0\"}", 15),
       "line:1:13: error: the character U+0000 can not stand here as it is [E106]"},
      {std::string("{\"visit\": \0\"a\"}", 16),
       "line:1:11: error: the character U+0000 can not stand here as it is [E106]"},
      {R"({"visit": "a", "owner": "b)", "line:1:25: error: the text can not be read as JSON from here on [E163]"},
      {R"({"visit": "\\", "owner": "b})", "line:1:26: error: the text can not be read as JSON from here on [E163]"},
      {R"({"visit": "a", "owner": "\q"})", "[E151]"},
      {R"({"visit": "a", "ow\q": "b"})", "[E151]"},
      {R"({"visit": "a", "owner": "\ud800"})",
       "line:1:25: error: a backslash in this text begins nothing that JSON knows [E151]"},
      {R"({"visit": "a", "x": -})", "line:1:21: error: the text can not be read as JSON from here on [E163]"},
      {R"({"visit": "a", "x": 1.})", "a number is written as 12, 0.25 or -3"},
      {R"({"visit": "a", "x": 1e})", "[E163]"},
      {R"({"visit": "a", "x": 1 2})", "[E163]"},
      {R"({"visit": "a", "x": [1 2]})", "[E163]"},
      {R"({"visit": "a", "x": 1)", "[E163]"},
      {"{}", "line:1:1: error: the object is empty [E316]"},
  }));
  CAPTURE(text.substr(0, 60));
  const Read json(text);
  CHECK_FALSE(json.node);
  CHECK_THAT(json.told(), Catch::Contains(told));
}
