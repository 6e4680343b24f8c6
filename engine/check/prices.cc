// What the house asks, bound for the profile at hand. See passes.h and HousePrices.
//
// A table `by profile:` is settled here: the row of this profile, else `otherwise:`. Any other selector is bound like
// everywhere, so that a price may hang on a fact or on a reading; where it is a name that this profile does not have, the price
// is not for its instruments and stays out. house.cc looks at the tables for the house as a whole.
// Tested by tests/unit/price_test.cc.
#include <algorithm>
#include <set>
#include <string_view>

#include "engine/check/passes.h"

namespace stringline {
namespace {

const std::string* plain_selector(const TableOf<ExprPtr>& table) {
  const auto* name = std::get_if<Name>(&table.selector->node);
  return name != nullptr && name->members.empty() ? &name->name : nullptr;
}

class Pricing {
 public:
  Pricing(bool of_total, Binder& binder) : binder_(binder) {
    scope_.total = of_total;
    names_ = binder.known_names(scope_);
  }

  std::optional<TypedChoice<TypedPtr>> bind(const std::optional<ExprChoice>& written, Dimension dimension,
                                            const std::string& what) {
    const auto choice = written ? settled(*written) : std::nullopt;
    if (!choice) return std::nullopt;
    return binder_.bind_choice<ExprPtr, TypedPtr>(*choice, scope_, [&](const ExprPtr& leaf) -> std::optional<TypedPtr> {
      TypedPtr bound = binder_.bind_as(leaf, {Kind::number, dimension, false, 0}, scope_, what);
      return bound ? std::optional(bound) : std::nullopt;
    });
  }

 private:
  // Nothing where the house has no price for this profile.
  std::optional<ExprChoice> settled(const ExprChoice& choice) const {
    const auto* table = std::get_if<std::shared_ptr<const TableOf<ExprPtr>>>(&choice.node);
    if (table == nullptr) return choice;
    const std::string* name = plain_selector(**table);
    if (name != nullptr && *name == "profile") return row_of_profile(**table);
    if (name != nullptr && std::find(names_.begin(), names_.end(), *name) == names_.end()) return std::nullopt;
    auto rows = std::make_shared<TableOf<ExprPtr>>(**table);
    for (auto& row : rows->rows) {
      auto below = settled(row.value);
      if (!below) return std::nullopt;
      row.value = std::move(*below);
    }
    return ExprChoice{choice.span, std::shared_ptr<const TableOf<ExprPtr>>(std::move(rows))};
  }

  std::optional<ExprChoice> row_of_profile(const TableOf<ExprPtr>& table) const {
    const ExprChoice* rest = nullptr;
    for (const auto& row : table.rows) {
      if (row.key.kind == RowKey::Kind::member && row.key.member == binder_.program().profile)
        return settled(row.value);
      if (row.key.kind == RowKey::Kind::otherwise) rest = &row.value;
    }
    return rest != nullptr ? settled(*rest) : std::nullopt;
  }

  Binder& binder_;
  Scope scope_;
  std::vector<std::string> names_;
};

}  // namespace

// Of the prices those that this profile can ask: of its jobs, and of what its gates and stops charge.
void bind_prices(const HouseTree& house, Binder& binder) {
  const Program& program = binder.program();
  HousePrices& money = binder.program().money;
  std::set<std::string_view> asked;
  for (const JobInfo& job : program.jobs) asked.insert(job.name);
  for (const GateInfo& gate : program.gates) asked.insert(gate.charge);
  for (const StopInfo& stop : program.stops) asked.insert(stop.charge);
  Pricing amounts(false, binder);
  for (const PackageTree& package : house.packages) {
    auto price = amounts.bind(package.price, dimension::money, "the price of '" + package.name.text + "'");
    if (price) money.packages.emplace(package.name.text, std::move(*price));
  }
  for (const PriceTree& each : house.prices) {
    if (asked.count(each.name.text) == 0) continue;
    auto price = amounts.bind(each.amount, dimension::money, "the price of '" + each.name.text + "'");
    if (price) money.prices.emplace(each.name.text, std::move(*price));
    if (each.label) money.labels.emplace(each.name.text, each.label->text);
  }
  money.deposit = Pricing(true, binder).bind(house.deposit, dimension::number, "the deposit");
}

}  // namespace stringline
