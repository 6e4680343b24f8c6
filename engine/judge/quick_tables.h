// Numbers and propositions -> the rows of a plan. Knows of each column how large it may get, how fine it is and what it hangs on, and
// refuses what would not be exact. For make_quick_plan.cc alone.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "engine/judge/quick_number.h"
#include "engine/judge/quick_plan.h"
#include "engine/judge/quick_proposition.h"
#include "engine/syntax/expr.h"

namespace stringline::quick {

// A range with the square of what the tool's doubt expands it by; no ends: nobody can say what the range is.
struct Limits {
  std::optional<Ratio> lo;
  std::optional<Ratio> hi;
  Ratio square;
};

class Tables {
 public:
  explicit Tables(std::size_t points);

  // The first reason counts; after it nothing that is returned means anything.
  void refuse(const std::string& why);
  [[nodiscard]] const std::string& refused() const { return refused_; }

  [[nodiscard]] Column never_read() const { return static_cast<Column>(plan_.columns - 1); }
  [[nodiscard]] Number add(const Number& a, const Number& b);
  [[nodiscard]] Number subtract(const Number& a, const Number& b);
  [[nodiscard]] Number multiply(const Number& a, const Number& b);
  [[nodiscard]] Number divide(const Number& a, const Number& b);
  [[nodiscard]] Number negate(const Number& a);
  [[nodiscard]] Number derive(Derived::Form form, const std::vector<Number>& from);
  [[nodiscard]] Number choose(const Proposition& condition, const Number& yes, const Number& no);
  [[nodiscard]] Proposition compare(BinaryOp op, const Number& left, const Number& right);

  [[nodiscard]] Slot truth(const Proposition& what);
  [[nodiscard]] Slot verdict(const Number& value, const Limits& limits, const std::optional<Proposition>& when);
  // A record of which this is not known to be so is left to `judge()`.
  void leave_unless(Slot truth);

  // The plan without its answers' places.
  [[nodiscard]] Plan finish();

 private:
  struct About {
    std::uint16_t level = 0;
    double largest = 0;                // count
    std::int64_t parts = 1;            // of a base unit that one count is
    bool near = false;                 // in base units and not exact: a sum of products
    std::set<std::uint32_t> hangs_on;  // columns of the record
  };
  // A sum without products in whole counts: factor x count, and the constant.
  struct Counts {
    std::vector<Term> terms;
    double constant = 0;
    double largest = 0;
  };

  [[nodiscard]] bool ok() const { return refused_.empty(); }
  [[nodiscard]] bool is_plain(Column column) const { return plan_.plain[column] != 0; }
  [[nodiscard]] bool all_plain(const Number& number) const;
  [[nodiscard]] bool share_derived(const Number& a, const Number& b) const;
  [[nodiscard]] Number or_refuse(std::optional<Number> number);
  [[nodiscard]] bool always_fits(const Number& number) const;
  [[nodiscard]] std::int64_t whole_parts(const Number& number) const;
  [[nodiscard]] std::optional<Counts> counts_of(const Number& number, std::int64_t parts) const;
  [[nodiscard]] Column column_of(const Number& number, std::int64_t parts);
  [[nodiscard]] Column product_column(const Number& number);
  [[nodiscard]] Column new_column(About about, bool plain);
  void learn(About& about, Column from) const;
  [[nodiscard]] Number derive(Derived derived, const std::vector<Number>& from, About about);

  [[nodiscard]] std::optional<Proposition> window_of(BinaryOp op, const Number& difference);
  [[nodiscard]] Slot new_truth(std::size_t level);
  [[nodiscard]] Slot new_verdict(std::size_t level);
  [[nodiscard]] Slot derived_test(const Proposition& what);
  [[nodiscard]] Slot fold(const Proposition& what);
  void thresholds(Judged& judged, const Limits& limits, std::int64_t parts);

  Plan plan_;
  std::string refused_;
  std::vector<About> about_;                                                          // by column
  std::map<std::pair<std::vector<std::pair<Column, double>>, double>, Column> made_;  // sums
  std::vector<std::uint16_t> level_of_truth_;
  std::vector<std::uint16_t> level_of_verdict_;
};

}  // namespace stringline::quick
