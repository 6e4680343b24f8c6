// Puts the layers of a profile on top of each other: the `based_on` chain from its root, a house profile over each.
//
// Later wins, leaf by leaf; `none` takes away. Tables by the same selector whose rows are members merge row by row, any other
// table is replaced whole. Targets stay apart by layer: which key wins is decided a point at a time, once the axes are known.
// Tested by tests/unit/layer_test.cc.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/check/program.h"
#include "engine/syntax/tree.h"

namespace stringline {

template <class Tree>
struct Layered {
  Tree tree;
  Origin origin;  // of the last layer that spoke of it
};

struct LayeredProfile {
  std::string name;
  std::string label;
  std::map<std::string, Layered<FactTree>> facts;
  std::map<std::string, std::vector<FactTree>> said;  // of each fact, by every layer that speaks of it, the root first
  std::map<std::string, Layered<ChoiceTree>> choices;
  std::map<std::string, Layered<ReadingTree>> readings;
  std::map<std::string, Layered<GateTree>> gates;
  std::map<std::string, Layered<StopTree>> stops;
  std::map<std::string, Layered<RuleTree>> rules;
  std::map<std::string, Layered<JobTree>> jobs;
  std::vector<std::vector<const TargetTree*>> targets;  // by layer, the root first
};

// `layers` from the root to the top. The trees must outlive the result.
[[nodiscard]] LayeredProfile layer(const std::vector<const ProfileTree*>& layers);

// Two tables, and the later one replaces the earlier whole: they ask different things, or their rows are bands.
template <class Leaf>
[[nodiscard]] bool replaces_table(const Choice<Leaf>& base, const Choice<Leaf>& over) {
  const auto* below = std::get_if<std::shared_ptr<const TableOf<Leaf>>>(&base.node);
  const auto* above = std::get_if<std::shared_ptr<const TableOf<Leaf>>>(&over.node);
  if (below == nullptr || above == nullptr) return false;
  const auto by_member = [](const TableOf<Leaf>& table) {
    for (const auto& row : table.rows) {
      if (row.key.kind != RowKey::Kind::member && row.key.kind != RowKey::Kind::otherwise) return false;
    }
    return true;
  };
  return !same(*(*below)->selector, *(*above)->selector) || !by_member(**below) || !by_member(**above);
}

// `over` on `base`, table rows merged as described above.
template <class Leaf>
[[nodiscard]] Choice<Leaf> overlaid(const Choice<Leaf>& base, const Choice<Leaf>& over) {
  const auto* below = std::get_if<std::shared_ptr<const TableOf<Leaf>>>(&base.node);
  const auto* above = std::get_if<std::shared_ptr<const TableOf<Leaf>>>(&over.node);
  if (below == nullptr || above == nullptr || replaces_table(base, over)) return over;
  auto merged = std::make_shared<TableOf<Leaf>>(**below);
  for (const auto& row : (*above)->rows) {
    bool placed = false;
    for (auto& old : merged->rows) {
      if (old.key.kind == row.key.kind && old.key.member == row.key.member) {
        old = {row.key, overlaid(old.value, row.value)};
        placed = true;
      }
    }
    if (!placed) merged->rows.push_back(row);
  }
  return Choice<Leaf>{over.span, std::shared_ptr<const TableOf<Leaf>>(std::move(merged))};
}

// An expression that a later layer says again replaces the one below.
inline void take(ExprPtr& base, const ExprPtr& over) {
  if (over) base = over;
}

// A leaf that a later layer says again replaces the one below; tables merge as described above.
template <class Leaf>
void take(std::optional<Leaf>& base, const std::optional<Leaf>& over) {
  if (over) base = over;
}
template <class Leaf>
void take(std::optional<Choice<Leaf>>& base, const std::optional<Choice<Leaf>>& over) {
  if (over) base = base ? overlaid(*base, *over) : *over;
}

}  // namespace stringline
