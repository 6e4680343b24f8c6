// Names and types of expressions: an Expr as written becomes a Typed with every name resolved.
//
// A bare reading name means the member at hand where something runs over its axis (`for: fret`, a reading `per: fret`, a job's
// amounts); inside any, all, count, min, max, worst it is run over; elsewhere it needs a member, and says so.
// Each function reports its own mistakes and returns null (or nothing) exactly when it reported one; a name whose own
// definition is wrong is not reported again where it is used.
// Tested by tests/golden/check/ so far.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "engine/check/layer.h"
#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"

namespace stringline {

struct Scope {
  std::array<bool, axis_count> at_hand{};
  bool travel = false;                        // `travel`, in tell:
  bool total = false;                         // `total`, in deposits
  bool one_point = false;                     // bound again for each point
  std::vector<typed::Loop>* loops = nullptr;  // of the surrounding any, all, count, ..
};
[[nodiscard]] Scope scope_over(const std::vector<Axis>& axes);

class Binder {
 public:
  Binder(const LayeredProfile& profile, Program& program, Diagnostics& out);

  [[nodiscard]] TypedPtr bind(const ExprPtr& expr, const Scope& scope = {});
  // The same, and it must be of this type; `what` names the place in messages ("the range of 'relief'").
  [[nodiscard]] TypedPtr bind_as(const ExprPtr& expr, const Type& type, const Scope& scope, const std::string& what);
  [[nodiscard]] TypedPtr bind_truth(const ExprPtr& expr, const Scope& scope, const std::string& what);
  [[nodiscard]] std::optional<TypedRange> bind_range(const RangeExpr& range, const Type& type, const Scope& scope,
                                                     const std::string& what);
  [[nodiscard]] TypedText bind_text(const TextExpr& text, const Scope& scope);

  // A choice: its selector and rows are checked (tables.h), its leaves bound by `leaf`.
  template <class In, class Out>
  [[nodiscard]] std::optional<TypedChoice<Out>> bind_choice(const Choice<In>& choice, const Scope& scope,
                                                            const std::function<std::optional<Out>(const In&)>& leaf);

  // The points of a dotted key, widest meaning: an axis without a member means all of it.
  // `rank` (0 all, 1 a group, 2 one member) per axis tells how narrow the key is.
  struct Reach {
    ReadingId reading = 0;
    std::vector<PointId> points;
    int exact = 0;   // axes with one member
    int groups = 0;  // axes with a group
  };
  [[nodiscard]] std::optional<Reach> reach(const KeyPath& key);
  [[nodiscard]] std::optional<ReadingId> find_reading(const Word& name);

  // The type of a fact, bound on first use; null when its definition is wrong or part of a cycle (reported once).
  [[nodiscard]] const Type* fact_type(const std::string& name);
  // Facts that an expression or a station names.
  [[nodiscard]] const std::set<std::string>& used_facts() const { return used_facts_; }
  void use_fact(const std::string& name) { used_facts_.insert(name); }
  // Likewise for a reading that is computed from others.
  [[nodiscard]] const Type* reading_type(const std::string& name);

  // What all expressions bound so far can take (steps.h).
  [[nodiscard]] std::uint64_t steps() const { return steps_; }
  void set_steps(std::uint64_t steps) { steps_ = steps; }

  void declare();  // gives every reading and fact its index; call once the axes are known
  [[nodiscard]] std::vector<std::string> known_names(const Scope& scope) const;
  [[nodiscard]] std::string describe(const Type& type) const;
  [[nodiscard]] Program& program() { return program_; }
  [[nodiscard]] Diagnostics& out() { return out_; }

 private:
  friend struct BindVisitor;
  enum class Progress : std::uint8_t { waiting, busy, done, wrong };

  // Whether it takes no more steps than one expression may, and all up to here no more than all may; reports it else.
  [[nodiscard]] bool in_bounds(const Typed& bound, const Scope& scope);
  [[nodiscard]] TypedPtr name(const Expr& expr, const Name& node, const Scope& scope);
  [[nodiscard]] TypedPtr plain_name(const Expr& expr, const Name& node, const Scope& scope);
  [[nodiscard]] TypedPtr fact_name(const Expr& expr, const Name& node);
  [[nodiscard]] std::optional<ReadingRef> reference(const Expr& expr, const Name& node, const Scope& scope);
  [[nodiscard]] std::optional<ReadingRef> single_argument(const Expr& expr, const Call& call, const Scope& scope,
                                                          bool wants_target);
  [[nodiscard]] TypedPtr is_test(const Expr& expr, const Binary& node, const Scope& scope);
  [[nodiscard]] TypedPtr binary(const Expr& expr, const Binary& node, const Scope& scope);
  [[nodiscard]] TypedPtr arithmetic(const Expr& expr, BinaryOp op, TypedPtr left, TypedPtr right);
  [[nodiscard]] TypedPtr one_of(const Expr& expr, const OneOf& node, const Scope& scope);
  [[nodiscard]] TypedPtr conditional(const Expr& expr, const Conditional& node, const Scope& scope);
  [[nodiscard]] TypedPtr call(const Expr& expr, const Call& node, const Scope& scope);
  [[nodiscard]] TypedPtr aggregate(const Expr& expr, const Call& node, typed::Fold fold, const Scope& scope);
  [[nodiscard]] TypedPtr state_word(const ExprPtr& expr, StateSetId set, const std::string& of);
  [[nodiscard]] TypedPtr operand_state(const ExprPtr& word, const TypedPtr& beside, const Scope& scope);
  [[nodiscard]] bool same_type(const Expr& expr, TypedPtr& left, TypedPtr& right, const char* verb);
  void bind_fact(const std::string& name);
  void bind_formula(const std::string& name);
  void report_cycle(const std::string& name, Span span);

  const LayeredProfile& profile_;
  Program& program_;
  Diagnostics& out_;
  std::map<std::string, FactId> fact_ids_;
  std::set<std::string> used_facts_;
  std::map<std::string, ReadingId> reading_ids_;
  std::map<std::string, StateSetId> state_set_ids_;
  std::map<std::string, Progress> progress_;  // of facts and computed readings
  std::vector<std::string> path_;             // those being bound, for cycles
  int nesting_ = 0;                           // expressions inside the one being bound
  std::uint64_t steps_ = 0;                   // of all bound so far
};

[[nodiscard]] const char* to_text(Axis axis);
[[nodiscard]] std::optional<Axis> find_axis(const std::string& word);

}  // namespace stringline

#include "engine/check/bind_choice.h"
