// Any bytes as YAML: our gate and reader.
#include "engine/syntax/node.h"
#include "engine/syntax/read_yaml.h"
#include "tests/fuzz/fuzz.h"

using namespace stringline;

namespace {

void look_inside(const Node& node, std::size_t size) {
  fuzz::promise(node.span.begin <= node.span.end && node.span.end <= size, "a node lies inside its text");
  for (const Node& item : node.items) look_inside(item, size);
  for (const MapEntry& entry : node.entries) {
    look_inside(entry.key, size);
    look_inside(entry.value, size);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Sources sources;
  Diagnostics diagnostics;
  const auto node = read_yaml(sources.add("any.yaml", fuzz::text_of(data, size)), sources, diagnostics);
  fuzz::promise(node || diagnostics.has_errors(), "a document is read, or an error says why not");
  if (node) look_inside(*node, size);
  fuzz::render_all(diagnostics, sources);
  return 0;
}
