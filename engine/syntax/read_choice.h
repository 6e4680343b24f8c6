// Values that may be tables `by E:`, and the small maps several kinds of file share: gaps and facts.
// Tested by tests/unit/read_profile_test.cc.
#pragma once

#include <memory>
#include <optional>
#include <type_traits>
#include <utility>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/parse_expr.h"
#include "engine/syntax/read_word.h"
#include "engine/syntax/tree.h"

namespace stringline {

// True for a map that is a table `by E` or was meant as one: one of its keys begins with `by`.
[[nodiscard]] bool is_table(const Node& node);
// The only entry of a table; null when there are others beside it, or it holds no rows (reported).
[[nodiscard]] const MapEntry* table_entry(const Node& node, Diagnostics& out);
// Reports a map or list that stands where a value or a table is wanted.
void report_no_table(const Node& node, Diagnostics& out);

// A leaf read by `read_leaf(node, out)`, which gives an optional or a pointer, or a table of such leaves.
template <class Leaf, class ReadLeaf>
std::optional<Choice<Leaf>> read_choice(const Node& node, const ReadLeaf& read_leaf, Diagnostics& out) {
  if (node.is_scalar()) {
    auto leaf = read_leaf(node, out);
    if (!leaf) return std::nullopt;
    if constexpr (std::is_same_v<decltype(leaf), Leaf>) {
      return Choice<Leaf>{node.span, std::move(leaf)};
    } else {
      return Choice<Leaf>{node.span, std::move(*leaf)};
    }
  }
  if (!is_table(node)) {
    report_no_table(node, out);
    return std::nullopt;
  }
  const MapEntry* entry = table_entry(node, out);
  if (entry == nullptr) return std::nullopt;
  TableOf<Leaf> table{entry->key.span, parse_table_key(entry->key, out), {}};
  bool good = table.selector != nullptr;
  for (const MapEntry& row : entry->value.entries) {
    auto key = parse_row_key(row.key, out);
    auto value = read_choice<Leaf>(row.value, read_leaf, out);
    good = good && key && value;
    if (good) table.rows.push_back(TableRow<Leaf>{std::move(*key), std::move(*value)});
  }
  if (!good) return std::nullopt;
  return Choice<Leaf>{node.span, std::make_shared<const TableOf<Leaf>>(std::move(table))};
}

[[nodiscard]] ExprPtr read_expression(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<RangeExpr> read_range(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<TextExpr> read_said(const Node& node, Diagnostics& out);  // text with {holes}
[[nodiscard]] std::vector<TextExpr> read_said_list(const Node& node, Diagnostics& out);

[[nodiscard]] std::optional<ExprChoice> read_expression_choice(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<RangeChoice> read_range_choice(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<NameChoice> read_job(const Node& node, Diagnostics& out);
[[nodiscard]] std::vector<NameChoice> read_jobs(const Node& node, Diagnostics& out);

// {at: 12, held: [1, last]}
[[nodiscard]] std::optional<GapTree> read_gap(const Node& node, Diagnostics& out);
// NAME: an expression, a table, a list or a map of them.
[[nodiscard]] std::optional<FactTree> read_fact(const MapEntry& entry, Diagnostics& out);

}  // namespace stringline
