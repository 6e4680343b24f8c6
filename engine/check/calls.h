// Who calls a job. Read by the checks of jobs, order and house. Where a job stands in the house's order: mentions.h.
// Tested by tests/unit/order_test.cc and tests/golden/check/.
#pragma once

#include <memory>
#include <variant>
#include <vector>

#include "engine/check/program.h"

namespace stringline {

// Every leaf of a value or of its tables, however deep they nest, with its place: visit(leaf, span).
template <class Leaf, class Visit>
void for_each_leaf(const TypedChoice<Leaf>& choice, const Visit& visit) {
  if (const Leaf* leaf = std::get_if<Leaf>(&choice.node)) {
    visit(*leaf, choice.span);
    return;
  }
  for (const auto& row : std::get<std::shared_ptr<const TypedTable<Leaf>>>(choice.node)->rows) {
    for_each_leaf(row.second, visit);
  }
}

struct JobCalls {
  std::vector<PointId> targets;  // whose low: or high: may call it
  bool by_rule = false;          // do:
  bool by_offer = false;         // offer: of a rule
  bool by_gate = false;
  bool by_stop = false;  // do: or offer:

  [[nodiscard]] bool any() const { return !targets.empty() || by_rule || by_offer || by_gate || by_stop; }
};

// By job.
[[nodiscard]] std::vector<JobCalls> calls(const Program& program);

}  // namespace stringline
