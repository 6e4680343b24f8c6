// Any bytes as a profile file.
#include "engine/check/check.h"
#include "engine/syntax/read_profile.h"
#include "engine/syntax/read_yaml.h"
#include "engine/syntax/tree.h"
#include "tests/fuzz/fuzz.h"

using namespace stringline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Sources sources;
  Diagnostics diagnostics;
  const auto node = read_yaml(sources.add("profile.yaml", fuzz::text_of(data, size)), sources, diagnostics);
  const auto tree = node ? read_profile(*node, diagnostics) : std::nullopt;
  fuzz::promise(tree || diagnostics.has_errors(), "a profile is read, or an error says why not");
  if (tree) {
    const auto program = check({nullptr, {&*tree}, nullptr}, diagnostics);
    fuzz::promise(program || diagnostics.has_errors(), "a profile is checked, or an error says why not");
  }
  fuzz::render_all(diagnostics, sources);
  return 0;
}
