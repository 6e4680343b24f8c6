// What our reader accepts, another YAML reader accepts too, with the same data; and no damage to a document crashes it or
// leaves it without an error inside the file.
#include <yaml.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "engine/diag/render.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/random_yaml.h"
#include "tests/support/run_program.h"

namespace stringline {
namespace {

using testing::Dice;
using testing::RandomYaml;

// Both readings are written in one form, lengths first, so that no text can be taken for structure.
std::string written(const std::string& text) { return "=" + std::to_string(text.size()) + ":" + text + "\n"; }

std::string written(const Node& node) {
  std::string result;
  if (node.is_scalar()) return written(node.text);
  result += node.is_map() ? "{\n" : "[\n";
  for (const Node& item : node.items) result += written(item);
  for (const MapEntry& entry : node.entries) result += written(entry.key) + written(entry.value);
  return result + (node.is_map() ? "}\n" : "]\n");
}

// Nothing when libyaml refuses the text, or sees a tag, an anchor, an alias or a second document in it.
std::optional<std::string> second_opinion(const std::string& text) {
  yaml_parser_t parser;
  if (yaml_parser_initialize(&parser) == 0) return std::nullopt;
  yaml_parser_set_input_string(&parser, reinterpret_cast<const unsigned char*>(text.data()), text.size());
  std::string result;
  bool accepted = true;
  int documents = 0;
  for (bool more = true; more && accepted;) {
    yaml_event_t event;
    if (yaml_parser_parse(&parser, &event) == 0) {
      accepted = false;
      break;
    }
    switch (event.type) {
      case YAML_SCALAR_EVENT: {
        const auto& scalar = event.data.scalar;
        accepted = scalar.anchor == nullptr && scalar.tag == nullptr;
        result += written(std::string(reinterpret_cast<const char*>(scalar.value), scalar.length));
        break;
      }
      case YAML_SEQUENCE_START_EVENT:
        accepted = event.data.sequence_start.anchor == nullptr && event.data.sequence_start.tag == nullptr;
        result += "[\n";
        break;
      case YAML_MAPPING_START_EVENT:
        accepted = event.data.mapping_start.anchor == nullptr && event.data.mapping_start.tag == nullptr;
        result += "{\n";
        break;
      case YAML_SEQUENCE_END_EVENT: result += "]\n"; break;
      case YAML_MAPPING_END_EVENT: result += "}\n"; break;
      case YAML_ALIAS_EVENT: accepted = false; break;
      case YAML_DOCUMENT_START_EVENT: accepted = ++documents == 1; break;
      case YAML_STREAM_END_EVENT: more = false; break;
      default: break;
    }
    yaml_event_delete(&event);
  }
  yaml_parser_delete(&parser);
  return accepted ? std::optional(result) : std::nullopt;
}

struct Reading {
  std::optional<Node> node;
  Diagnostics diagnostics;
  std::string rendered;
};

Reading read(const std::string& text) {
  Sources sources;
  const SourceId source = sources.add("random.yaml", text);
  Reading result;
  result.node = read_yaml(source, sources, result.diagnostics);
  result.rendered = render(result.diagnostics, sources, false);
  return result;
}

bool has(const Diagnostics& diagnostics, Code code) {
  for (const Diagnostic& d : diagnostics.list()) {
    if (d.code == code) return true;
  }
  return false;
}

bool inside(const Node& node, std::size_t size) {
  if (node.span.begin > node.span.end || node.span.end > size) return false;
  for (const Node& item : node.items) {
    if (!inside(item, size) || item.span.begin < node.span.begin || item.span.end > node.span.end) return false;
  }
  for (const MapEntry& entry : node.entries) {
    if (!inside(entry.key, size) || !inside(entry.value, size)) return false;
    if (entry.key.span.begin < node.span.begin || entry.value.span.end > node.span.end) return false;
    if (entry.key.span.end > entry.value.span.begin) return false;
  }
  return true;
}

std::string visible(const std::string& text) {
  std::string result;
  for (const char c : text) result += c == '\r' ? "\\r" : c == '\t' ? "\\t" : std::string(1, c);
  return printable(result);
}

TEST_CASE("random documents are accepted, and libyaml reads the same data in them") {
  constexpr unsigned seed = 20'260'801;
  Dice dice(seed);
  for (int round = 0; round < 4'000; ++round) {
    const std::string text = RandomYaml(dice).document();
    INFO("seed " << seed << " round " << round << "\n" << visible(text));
    const Reading ours = read(text);
    INFO(ours.rendered);
    REQUIRE(ours.node);
    REQUIRE(!ours.diagnostics.has_errors());
    REQUIRE(inside(*ours.node, text.size()));
    const auto theirs = second_opinion(text);
    REQUIRE(theirs);
    REQUIRE(written(*ours.node) == *theirs);
  }
}

// Nothing when the text is refused properly, or read as libyaml reads it; else what is wrong.
std::string complaint(const std::string& text, bool& accepted) {
  const Reading ours = read(text);
  accepted = ours.node.has_value();
  if (accepted == ours.diagnostics.has_errors()) return "neither read nor refused, or both\n" + ours.rendered;
  for (const Diagnostic& d : ours.diagnostics.list()) {
    if (d.span.begin > d.span.end || d.span.end > text.size()) return "an error outside the file\n" + ours.rendered;
  }
  // Our own scan is meant to be the stricter one: what it lets pass, both libraries read alike.
  if (has(ours.diagnostics, Code::unreadable_yaml) || has(ours.diagnostics, Code::ambiguous_yaml)) {
    return "only yaml-cpp noticed\n" + ours.rendered;
  }
  if (!accepted) return {};
  if (!inside(*ours.node, text.size())) return "a node outside of what holds it";
  const auto theirs = second_opinion(text);
  if (theirs && written(*ours.node) == *theirs) return {};
  return "ours:\n" + written(*ours.node) + "\ntheirs:\n" + theirs.value_or("refused");
}

TEST_CASE("a damaged document is read as libyaml reads it, or refused with an error inside the file") {
  constexpr unsigned seed = 20'260'802;
  Dice dice(seed);
  int accepted_count = 0;
  for (int round = 0; round < 20'000; ++round) {
    const std::string text = testing::damaged(RandomYaml(dice).document(), dice);
    bool accepted = false;
    const std::string wrong = complaint(text, accepted);
    if (!wrong.empty()) FAIL("seed " << seed << " round " << round << "\n" << visible(text) << "\n" << wrong);
    if (accepted) ++accepted_count;
  }
  CHECK(accepted_count > 1'000);
}

// Nothing of it is read in another way elsewhere, and none of the refused gets past our own scan to a library.
TEST_CASE("what is accepted of the files written by hand is read as libyaml reads it") {
  for (const char* folder : {"tests/yaml/accepted", "tests/yaml/refused"}) {
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
      bool accepted = false;
      INFO(entry.path().string());
      CHECK(complaint(read_file(entry.path()), accepted).empty());
      if (std::string(folder) == "tests/yaml/accepted") CHECK(accepted);
    }
  }
}

TEST_CASE("a short text of YAML's signs is read as libyaml reads it, or refused with an error inside the file") {
  constexpr unsigned seed = 20'260'805;
  Dice dice(seed);
  int accepted_count = 0;
  for (int round = 0; round < 60'000; ++round) {
    const std::string text = testing::signs_and_words(dice);
    bool accepted = false;
    const std::string wrong = complaint(text, accepted);
    if (!wrong.empty()) FAIL("seed " << seed << " round " << round << "\n" << visible(text) << "\n" << wrong);
    if (accepted) ++accepted_count;
  }
  CHECK(accepted_count > 1'000);
}

}  // namespace
}  // namespace stringline
