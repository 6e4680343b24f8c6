// What a typed expression comes to, three-valued, with the reason when it comes to nothing definite.
//
// A reading nobody took is unknown, never zero. A number may be an interval; a comparison is decided only where the whole
// interval agrees. An unknown truth keeps its residual: what is left when every known part is replaced and every decided
// branch is cut. Its needs are the readings (and facts nobody stated) that can still change it: an atom whose truth makes no
// difference to the residual is idle and asks for nothing. Up to limits::max_proven_unknowns atoms that is proven by trying
// every combination; above it the union of all atoms is asked for. A residual that is true (or false) in every combination is
// decided. A failure (overflow, division by zero) is a value of its own and is never taken for false.
// Tested by tests/property/evaluate_test.cc, which compares truths and needs with every assignment of the readings.
#pragma once

#include <algorithm>
#include <memory>
#include <optional>
#include <string>
#include <type_traits>
#include <vector>

#include "engine/check/program.h"

namespace stringline {

struct Need {
  bool fact = false;     // a fact nobody stated, else a reading
  std::uint32_t id = 0;  // FactId or PointId

  friend bool operator==(const Need&, const Need&) = default;
  friend auto operator<=>(const Need&, const Need&) = default;
};

struct Failure {
  Span span;
  std::string message;
};

struct Residual;
using ResidualPtr = std::shared_ptr<const Residual>;

struct Result {
  Value value;
  std::vector<Need> needs;  // sorted, each once; empty when nothing more is to be learned
  ResidualPtr residual;     // of an unknown truth; evaluate() never leaves it out
  std::optional<Failure> failure;

  [[nodiscard]] Truth truth() const { return value.truth; }
};

// Which member a loop or a rule is at, per axis; -1: at none.
using Hand = std::array<int, axis_count>;
inline constexpr Hand empty_hand{-1, -1, -1, -1};
// Every hand that these loops, the outermost first, come to from this one.
[[nodiscard]] std::vector<Hand> hands_in(const std::vector<typed::Loop>& loops, const Hand& hand);

// What an expression looks at besides the program.
class Surroundings {
 public:
  virtual ~Surroundings() = default;
  [[nodiscard]] virtual Result reading(PointId point) const = 0;
  [[nodiscard]] virtual Result verdict_is(PointId point, Verdict verdict) const = 0;
  [[nodiscard]] virtual Result aim(PointId point) const = 0;
  [[nodiscard]] virtual std::string target_text(PointId point) const = 0;
  [[nodiscard]] virtual Result change(PointId point) const = 0;  // distance from the last visit
};

// Surroundings in which no reading was taken: for constants and for check.
class Nothing : public Surroundings {
 public:
  explicit Nothing(const Program& program) : program_(program) {}
  [[nodiscard]] Result reading(PointId point) const override;
  [[nodiscard]] Result verdict_is(PointId point, Verdict verdict) const override;
  [[nodiscard]] Result aim(PointId point) const override;
  [[nodiscard]] std::string target_text(PointId point) const override;
  [[nodiscard]] Result change(PointId point) const override;

 private:
  const Program& program_;
};

class Evaluator {
 public:
  Evaluator(const Program& program, const Surroundings& around) : program_(program), around_(around) {}

  [[nodiscard]] Result evaluate(const Typed& expr, const Hand& hand = empty_hand) const;
  // A text with its holes filled; an unknown hole reads "(not known)".
  [[nodiscard]] std::string text(const TypedText& text, const Hand& hand = empty_hand) const;
  // The rows of a table that the selector leaves possible (or the single leaf), and what would decide between them. Rows that
  // all call the same job are one.
  template <class Leaf>
  struct Possible {
    std::vector<const Leaf*> leaves;
    std::vector<Need> needs;
    std::optional<Failure> failure;
  };
  template <class Leaf>
  [[nodiscard]] Possible<Leaf> possible(const TypedChoice<Leaf>& choice, const Hand& hand = empty_hand) const;
  // The rows of one table that its selector leaves possible.
  template <class Leaf>
  [[nodiscard]] std::vector<const TypedChoice<Leaf>*> rows(const TypedTable<Leaf>& table, const Hand& hand) const;
  // A choice of expressions: its one value, or the hull of what is possible.
  [[nodiscard]] Result evaluate(const TypedChoice<TypedPtr>& choice, const Hand& hand = empty_hand) const;

  void set_travel(std::optional<Value> travel) { travel_ = std::move(travel); }
  void set_total(std::optional<Value> total) { total_ = std::move(total); }

  // The points a reference means with this hand; aggregates have put their loops into the hand.
  [[nodiscard]] std::vector<PointId> points(const ReadingRef& ref, const Hand& hand) const;

 private:
  [[nodiscard]] Result binary(const Typed& expr, const typed::Binary& node, const Hand& hand) const;
  [[nodiscard]] Result compare(const Typed& expr, const typed::Binary& node, const Hand& hand) const;
  [[nodiscard]] Result arithmetic(const Typed& expr, const typed::Binary& node, const Hand& hand) const;
  [[nodiscard]] Result conditional(const Typed& expr, const typed::Conditional& node, const Hand& hand) const;
  [[nodiscard]] Result one_of(const Typed& expr, const typed::OneOf& node, const Hand& hand) const;
  [[nodiscard]] Result aggregate(const typed::Aggregate& node, const Hand& hand) const;
  [[nodiscard]] Result worst(const std::vector<Hand>& hands, const typed::Aggregate& node) const;
  [[nodiscard]] Result extreme(const Typed& expr, const typed::Extreme& node, const Hand& hand) const;
  [[nodiscard]] Result fact(FactId id) const;
  [[nodiscard]] Result at_hand(Axis axis, const Hand& hand) const;
  [[nodiscard]] Result string_size(bool slot, const Hand& hand) const;
  template <class Leaf>
  [[nodiscard]] std::vector<const TypedChoice<Leaf>*> rows(const TypedTable<Leaf>& table, const Result& selector) const;
  [[nodiscard]] std::vector<std::size_t> possible_rows(const std::vector<const TypedRowKey*>& keys,
                                                       const Result& selector) const;

  const Program& program_;
  const Surroundings& around_;
  std::optional<Value> travel_;
  std::optional<Value> total_;
};

template <class Leaf>
Evaluator::Possible<Leaf> Evaluator::possible(const TypedChoice<Leaf>& choice, const Hand& hand) const {
  if (const Leaf* leaf = std::get_if<Leaf>(&choice.node)) return {{leaf}, {}, {}};
  const auto& table = *std::get<std::shared_ptr<const TypedTable<Leaf>>>(choice.node);
  const Result selector = evaluate(*table.selector, hand);
  Possible<Leaf> all{{}, selector.needs, selector.failure};
  for (const TypedChoice<Leaf>* row : rows(table, selector)) {
    Possible<Leaf> below = possible(*row, hand);
    all.leaves.insert(all.leaves.end(), below.leaves.begin(), below.leaves.end());
    all.needs.insert(all.needs.end(), below.needs.begin(), below.needs.end());
    if (below.failure) all.failure = below.failure;
  }
  if constexpr (std::is_same_v<Leaf, std::optional<JobId>>) {  // rows that call the same job leave nothing to decide
    const auto same = [&](const Leaf* leaf) { return *leaf == *all.leaves.front(); };
    if (all.leaves.size() > 1 && std::all_of(all.leaves.begin(), all.leaves.end(), same)) {
      all.leaves.resize(1);
      all.needs.clear();
    }
  }
  return all;
}

template <class Leaf>
std::vector<const TypedChoice<Leaf>*> Evaluator::rows(const TypedTable<Leaf>& table, const Hand& hand) const {
  return rows(table, evaluate(*table.selector, hand));
}

template <class Leaf>
std::vector<const TypedChoice<Leaf>*> Evaluator::rows(const TypedTable<Leaf>& table, const Result& selector) const {
  std::vector<const TypedChoice<Leaf>*> left;
  if (selector.failure) return left;
  std::vector<const TypedRowKey*> keys;
  for (const auto& row : table.rows) keys.push_back(&row.first);
  for (const std::size_t row : possible_rows(keys, selector)) left.push_back(&table.rows[row].second);
  return left;
}

// What a fact of states says without any reading: steel; nothing where nobody said.
[[nodiscard]] std::optional<std::string> fact_state(const Program& program, std::string_view name);

// The same as people read it: a state without its underscores.
[[nodiscard]] std::string in_words(const Value& value);
// How a value reads to people: "0.20 mm", "at_pitch", "E2", "between 0.56 mm and 0.61 mm"; `step` rounds numbers.
[[nodiscard]] std::string to_text(const Value& value, std::optional<Ratio> step = std::nullopt);

[[nodiscard]] Result known(Value value);
[[nodiscard]] Result number_result(Interval number, Unit unit, std::vector<Need> needs = {});
[[nodiscard]] Result truth_result(Truth truth);
[[nodiscard]] Result state_result(std::string state);
// An unknown truth whose whole reason is `needs`.
[[nodiscard]] Result unknown_truth(std::vector<Need> needs);
[[nodiscard]] Result failed(Span span, std::string message);
[[nodiscard]] std::vector<Need> merged(std::vector<Need> a, const std::vector<Need>& b);

}  // namespace stringline
