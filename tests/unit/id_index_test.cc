// The index against the reader itself: whatever way an id is written, a file that the reader finds it in is never left out.
#include "engine/book/id_index.h"

#include <catch2/catch.hpp>

#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"

namespace stringline {
namespace {

using Files = std::vector<std::size_t>;

std::string visit(const std::string& instrument) {
  return "visit: v\nprofile: p\ninstrument: " + instrument + "\nlog:\n  - date: 2026-03-02\n";
}

// As the reader has it; empty where it refuses the file.
std::string id_read(const std::string& text) {
  Sources sources;
  Diagnostics out;
  const auto node = read_yaml(sources.add("v.yaml", text), sources, out);
  const auto tree = node ? read_visit(*node, out) : std::nullopt;
  return tree && tree->instrument.id ? tree->instrument.id->text : "";
}

TEST_CASE("only the files that may name an instrument are looked at") {
  IdIndex index;
  index.add(visit("{id: HL-1, label: x}"));
  index.add(visit("{id: HL-10}"));
  index.add(visit("{label: did it}") + "  - did: [file_slots]\n");
  index.add(visit("{id: HL-1}"));
  CHECK(index.may_name("HL-1") == Files{0, 3});
  CHECK(index.may_name("HL-10") == Files{1});
  CHECK(index.may_name("HL") == Files{});
}

TEST_CASE("a file is found however its id is written") {
  const std::vector<std::string> instruments{
      "{id: A-7}",
      "{id: A-7, label: x}",
      "{label: x, id: A-7}",
      "{id: 'A-7'}",
      "{id: \"A-7\", label: x}",
      "{\"id\": A-7}",
      "{'id': A-7}",
      "{id: \"A\\x2D7\"}",
      "{\"i\\x64\": A-7}",
      "{id: A-7 }  # a word",
      "\n  id: A-7",
      "\n  id: A-7  # a word",
      "\n  id:   A-7   ",
      "\n  label: x\n  id: A-7",
      "\n  id: A-7\n  label: x",
      "\n  id:\n    A-7",
      "\n  id: >-\n    A-7\n  label: x",
      "\n  id: |-\n    A-7\n  label: x",
      "{id: A-7\n  , label: x}",
      "{\n  id: A-7\n  }",
      "{id:\n    A-7}",
  };
  IdIndex index;
  Files named;
  for (const std::string& instrument : instruments) {
    INFO(instrument);
    const std::string text = visit(instrument);
    const std::size_t file = static_cast<std::size_t>(&instrument - instruments.data());
    index.add(text);
    if (id_read(text) == "A-7") named.push_back(file);
  }
  CHECK(named.size() > 12);
  const Files found = index.may_name("A-7");
  for (const std::size_t file : named) {
    INFO(instruments[file]);
    CHECK(std::count(found.begin(), found.end(), file) == 1);
  }
}

}  // namespace
}  // namespace stringline
