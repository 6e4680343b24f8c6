// The house's price list, asked about one visit: what a job, a fee, a part or a package costs.
//
// A price of its own comes first: flat, between two amounts, `each` member worked on (`at_most` caps the sum), or `by quote`.
// Without one a job costs its minutes at the bench rate; whole steps are charged on the sum of a bill (settle.h), so that three
// jobs of five minutes never cost three steps. What the list can not answer has no amount and says why.
// A part costs its price, or what it cost the shop with the house's markup. Tested by tests/unit/price_test.cc.
#pragma once

#include <optional>
#include <string>

#include "engine/check/evaluate.h"
#include "engine/estimate/cost.h"
#include "engine/judge/judge.h"
#include "engine/syntax/tree.h"

namespace stringline {

struct Minutes {
  Ratio low;
  Ratio typical;
  Ratio high;
};

struct Price {
  enum class How : std::uint8_t { flat, each, time, by_quote, none };
  How how = How::none;
  Cost cost;             // of all members; of time: the minutes alone, no steps
  int count = 1;         // members that `each` counted
  Minutes minutes;       // How::time
  std::string includes;  // a package that is then not charged

  [[nodiscard]] bool has_amount() const { return how != How::by_quote && how != How::none; }
};

class PriceBook {
 public:
  // The house, the program and the judgement must outlive it.
  PriceBook(const HouseTree& house, const Program& program, const Judgement& judgement);

  [[nodiscard]] const Currency& currency() const { return currency_; }
  [[nodiscard]] MoneyRounding rounding() const { return house_.rounding; }
  [[nodiscard]] const HouseTree& house() const { return house_; }

  [[nodiscard]] Price job(JobId job, int members) const;
  [[nodiscard]] Price named(const std::string& name) const;  // a fee
  [[nodiscard]] Price part(const std::string& name) const;
  [[nodiscard]] Price package(const std::string& name) const;

  // Whether the price of a job, or of a package, counts members or asks what is known of the instrument.
  [[nodiscard]] bool job_varies(JobId job) const;
  [[nodiscard]] bool package_varies(const std::string& name) const;

  // Minutes at the bench rate, as they are or in whole steps; nothing when the house has no rate.
  [[nodiscard]] std::optional<Cost> time(const Minutes& minutes, bool in_steps) const;
  // The share of the total that is asked before work begins; zero where the house asks none.
  [[nodiscard]] Ratio deposit_share(std::int64_t net) const;

  [[nodiscard]] const PriceTree* find_price(const std::string& name) const;
  [[nodiscard]] const PartTree* find_part(const std::string& name) const;
  [[nodiscard]] const PackageTree* find_package(const std::string& name) const;
  [[nodiscard]] std::optional<std::int64_t> minor(const std::optional<Number>& amount) const;

 private:
  [[nodiscard]] std::optional<Cost> whole_price(const PriceTree& price) const;
  [[nodiscard]] std::optional<Cost> worth(const TypedChoice<TypedPtr>& choice) const;
  [[nodiscard]] Price priced(const PriceTree& price, int members) const;

  const HouseTree& house_;
  const Program& program_;
  const Judgement& judgement_;
  Currency currency_;
};

}  // namespace stringline
