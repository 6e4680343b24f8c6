// Any bytes as an expression, a range, the key of a row and the key of a table.
#include "engine/syntax/parse_expr.h"
#include "tests/fuzz/fuzz.h"
#include "tests/support/scalar.h"

using namespace stringline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Node node = test::scalar(fuzz::text_of(data, size));
  Sources sources;
  (void)sources.add("any", node.text);
  Diagnostics expression, range, row, table;
  fuzz::promise((parse_expression(node, expression) != nullptr) != expression.has_errors(),
                "an expression or an error");
  fuzz::promise(parse_range(node, range).has_value() != range.has_errors(), "a range or an error");
  fuzz::promise(parse_row_key(node, row).has_value() != row.has_errors(), "a row's key or an error");
  if (is_table_key(node))
    fuzz::promise((parse_table_key(node, table) != nullptr) != table.has_errors(), "a table's key or an error");
  for (const Diagnostics* each : {&expression, &range, &row, &table}) fuzz::render_all(*each, sources);
  return 0;
}
