// Tables `by E:` while they are bound: the selector, the keys of the rows, and what tables.h finds wrong with them.
// Included by bind.h alone.
#pragma once

#include <memory>
#include <utility>

#include "engine/check/bind.h"
#include "engine/check/tables.h"

namespace stringline {

template <class In, class Out>
std::optional<TypedChoice<Out>> Binder::bind_choice(const Choice<In>& choice, const Scope& scope,
                                                    const std::function<std::optional<Out>(const In&)>& leaf) {
  if (const In* single = std::get_if<In>(&choice.node)) {
    std::optional<Out> bound = leaf(*single);
    if (!bound) return std::nullopt;
    return TypedChoice<Out>{choice.span, std::move(*bound)};
  }
  const auto& table = *std::get<std::shared_ptr<const TableOf<In>>>(choice.node);
  auto typed = std::make_shared<TypedTable<Out>>();
  typed->span = table.span;
  typed->selector = bind(table.selector, scope);
  bool good = typed->selector != nullptr;
  std::vector<RowKey> keys;
  for (const auto& row : table.rows) keys.push_back(row.key);
  std::optional<std::vector<TypedRowKey>> row_keys;
  if (good) row_keys = bind_rows(*this, *typed->selector, keys, table.span);
  good = good && row_keys.has_value();
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    std::optional<TypedChoice<Out>> value = bind_choice<In, Out>(table.rows[i].value, scope, leaf);
    good = good && value.has_value();
    if (good) typed->rows.emplace_back((*row_keys)[i], std::move(*value));
  }
  if (!good) return std::nullopt;
  return TypedChoice<Out>{choice.span, std::shared_ptr<const TypedTable<Out>>(std::move(typed))};
}

}  // namespace stringline
