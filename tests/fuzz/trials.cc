// Any bytes as a file of trials.
#include "engine/syntax/read_trials.h"
#include "engine/syntax/read_yaml.h"
#include "engine/syntax/tree.h"
#include "tests/fuzz/fuzz.h"

using namespace stringline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Sources sources;
  Diagnostics diagnostics;
  const auto node = read_yaml(sources.add("a.trials.yaml", fuzz::text_of(data, size)), sources, diagnostics);
  const auto tree = node ? read_trials(*node, diagnostics) : std::nullopt;
  fuzz::promise(tree || diagnostics.has_errors(), "trials are read, or an error says why not");
  fuzz::render_all(diagnostics, sources);
  return 0;
}
