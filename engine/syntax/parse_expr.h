// The small language inside YAML scalars. PEGTL's actions live in parse_expr.cc alone; the grammar is in grammar/.
//
// Every function takes a scalar node, reports mistakes at their exact places in the file, and returns nothing exactly when
// it reported at least one error. Every value that has a shape but no meaning is reported ("9 mils over 3 inches": both);
// of what does not follow the grammar the first, since the rest would be guesses.
#pragma once

#include <optional>
#include <string_view>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/expr.h"
#include "engine/syntax/node.h"

namespace stringline {

[[nodiscard]] ExprPtr parse_expression(const Node& scalar, Diagnostics& out);  // null instead of nothing
[[nodiscard]] std::optional<RangeExpr> parse_range(const Node& scalar, Diagnostics& out);
[[nodiscard]] std::optional<RowKey> parse_row_key(const Node& scalar, Diagnostics& out);
// A key `by E`: the expression after `by`; a key without that word is a mistake, so ask is_table_key first.
[[nodiscard]] bool is_table_key(const Node& key);
[[nodiscard]] ExprPtr parse_table_key(const Node& key, Diagnostics& out);
[[nodiscard]] std::optional<TextExpr> parse_text(const Node& scalar, Diagnostics& out);

// A single value without operators: "14 thou", "-3 cents", "25 1/2 in", "7", "1/8 turns".
[[nodiscard]] std::optional<Number> parse_number(const Node& scalar, Diagnostics& out);

// "at_pitch", "fret_left": letters, digits and _, beginning with a lower-case letter.
[[nodiscard]] bool is_identifier(std::string_view text);
// "over", "if", "aim", "true": words that mean something in an expression, so nothing can be named by them.
[[nodiscard]] bool is_reserved_word(std::string_view text);

}  // namespace stringline
