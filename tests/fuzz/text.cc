// Any bytes as a text with holes, as in say: and because:.
#include "engine/syntax/parse_expr.h"
#include "tests/fuzz/fuzz.h"
#include "tests/support/scalar.h"

using namespace stringline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Node node = test::scalar(fuzz::text_of(data, size));
  Sources sources;
  (void)sources.add("any", node.text);
  Diagnostics diagnostics;
  fuzz::promise(parse_text(node, diagnostics).has_value() != diagnostics.has_errors(), "a text or an error");
  fuzz::render_all(diagnostics, sources);
  return 0;
}
