// A checked program -> the tables of quick_plan.h: facts are taken in and loops are unrolled on the way. What is met and has
// no table is told in `refused`.
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "engine/check/evaluate.h"
#include "engine/check/mentions.h"
#include "engine/judge/judge.h"
#include "engine/judge/quick_tables.h"

namespace stringline::quick {
namespace {

class Maker {
 public:
  explicit Maker(const Program& program)
      : program_(program), evaluator_(program, nothing_), tables_(program.points.size()), blank_(judge(program)) {}

  std::optional<Plan> make(std::string& refused) {
    for (std::size_t i = 0; i < program_.targets.size(); ++i) verdicts_.push_back(verdict_of(i));
    std::vector<Slot> gates;
    for (const GateInfo& gate : program_.gates) gates.push_back(slot_of(*gate.open_when));
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (!program_.gates[i].voids.empty()) tables_.leave_unless(gates[i]);
    }
    std::vector<Slot> stops;
    for (const StopInfo& stop : program_.stops) stops.push_back(slot_of(*stop.when));
    std::vector<Slot> rules;
    for (const RuleInfo& rule : program_.rules) rules.push_back(slot_of(rule));
    refused = tables_.refused();
    if (!refused.empty()) return std::nullopt;
    Plan plan = tables_.finish();
    plan.verdict_of = std::move(verdicts_);
    plan.gate_of = std::move(gates);
    plan.stop_of = std::move(stops);
    plan.rule_of = std::move(rules);
    plan.looks_back = looks_back_;
    plan.tunings = std::move(tunings_);
    return plan;
  }

 private:
  bool mention_readings(const TypedPtr& expr) const { return expr && !mentioned_in(program_, *expr).empty(); }
  bool mention_readings(const TypedRange& range) const {
    return mention_readings(range.lo) || mention_readings(range.hi) || mention_readings(range.aim);
  }
  template <class Leaf>
  bool mention_readings(const TypedChoice<Leaf>& choice) const {
    if (const Leaf* leaf = std::get_if<Leaf>(&choice.node)) return mention_readings(*leaf);
    const auto& table = *std::get<std::shared_ptr<const TypedTable<Leaf>>>(choice.node);
    return mention_readings(table.selector) || std::any_of(table.rows.begin(), table.rows.end(), [&](const auto& row) {
             return mention_readings(row.second);
           });
  }

  // What is so whatever is read.
  std::optional<Result> constant(const Typed& expr, const Hand& hand) {
    if (!mentioned_in(program_, expr, hand).empty()) return std::nullopt;
    Result result = evaluator_.evaluate(expr, hand);
    if (result.failure) tables_.refuse(result.failure->message);
    return result;
  }

  // Of a fact that is no table.
  const TypedPtr* only_value(FactId fact) const {
    const auto& value = program_.facts[fact].value;
    return value ? std::get_if<TypedPtr>(&value->node) : nullptr;
  }

  PointId only(const ReadingRef& ref, const Hand& hand) const { return evaluator_.points(ref, hand).front(); }

  // ---- numbers

  Number number(const Typed& expr, const Hand& hand) {
    if (const auto known = constant(expr, hand)) return number(known->value.number);
    struct Visitor {
      Maker& self;
      const Hand& hand;

      Number operator()(const typed::Reading& node) const { return self.reading(self.only(node.ref, hand)); }
      Number operator()(const typed::Unary& node) const {
        return self.tables_.negate(self.number(*node.operand, hand));
      }
      Number operator()(const typed::Binary& node) const { return self.arithmetic(node, hand); }
      Number operator()(const typed::Conditional& node) const { return self.chosen(node, hand); }
      Number operator()(const typed::Aggregate& node) const { return self.extreme(node, hand); }
      Number operator()(const typed::Extreme& node) const {
        std::vector<Number> arguments;
        for (const TypedPtr& each : node.arguments) arguments.push_back(self.number(*each, hand));
        return self.tables_.derive(node.largest ? Derived::Form::largest : Derived::Form::smallest, arguments);
      }
      Number operator()(const typed::Absolute& node) const {
        return self.tables_.derive(Derived::Form::distance, {self.number(*node.operand, hand)});
      }
      Number operator()(const typed::Aim& node) const { return self.aim(self.only(node.ref, hand)); }
      Number operator()(const typed::Change& node) const {  // from an earlier visit, and there is none
        self.looks_back_ = true;
        return Number::zero_of(static_cast<Column>(self.only(node.ref, hand)));
      }
      Number operator()(const typed::Constant&) const { return self.strange(); }
      Number operator()(const typed::VerdictIs&) const { return self.strange(); }
      Number operator()(const typed::Fact& node) const {
        const TypedPtr* value = self.only_value(node.fact);
        return value != nullptr ? self.number(**value, empty_hand) : self.strange();
      }
      Number operator()(const typed::AtHand&) const { return self.strange(); }
      Number operator()(const typed::StringSize&) const { return self.strange(); }
      Number operator()(const typed::Travel&) const { return self.strange(); }
      Number operator()(const typed::Total&) const { return self.strange(); }
      Number operator()(const typed::OneOf&) const { return self.strange(); }
      Number operator()(const typed::Target&) const { return self.strange(); }
    };
    return std::visit(Visitor{*this, hand}, expr.node);
  }

  Number strange() {
    tables_.refuse("a number of a kind that no table holds");
    return {};
  }

  Number number(const Interval& known) {
    if (known.is_exact()) return Number::constant(*known.lo);
    if (known.lo || known.hi || known.estimate) tables_.refuse("a number that is known only between two ends");
    return Number::column(tables_.never_read());
  }

  Number reading(PointId point) {
    const ReadingInfo& reading = program_.reading_of(point);
    if (reading.source != ReadingInfo::Source::computed) return Number::column(static_cast<Column>(point));
    return number(*reading.formula, program_.points[point].at);
  }

  Number arithmetic(const typed::Binary& node, const Hand& hand) {
    const Number left = number(*node.left, hand);
    const Number right = number(*node.right, hand);
    switch (node.op) {
      case BinaryOp::add: return tables_.add(left, right);
      case BinaryOp::subtract: return tables_.subtract(left, right);
      case BinaryOp::multiply: return tables_.multiply(left, right);
      default: return tables_.divide(left, right);
    }
  }

  Number aim(PointId point) {
    const int at = program_.target_of[point];
    if (at < 0) return Number::column(tables_.never_read());
    const TargetInfo& target = program_.targets[static_cast<std::size_t>(at)];
    if (target.want && mention_readings(target.want->aim)) tables_.refuse("an aim that hangs on readings");
    const auto& aim = blank_.targets[static_cast<std::size_t>(at)].aim;
    return aim ? Number::constant(*aim) : Number::column(tables_.never_read());
  }

  Number extreme(const typed::Aggregate& node, const Hand& hand) {
    if (node.fold != typed::Fold::max && node.fold != typed::Fold::min) return strange();
    std::vector<Number> members;
    for (const Hand& at : hands_in(node.loops, hand)) members.push_back(number(*node.body, at));
    if (members.empty()) return Number::column(tables_.never_read());  // of a group without members
    return tables_.derive(node.fold == typed::Fold::max ? Derived::Form::largest : Derived::Form::smallest, members);
  }

  Number chosen(const typed::Conditional& node, const Hand& hand) {
    const Proposition condition = truth(*node.condition, hand);
    const bool known = condition.form == Proposition::Form::constant;
    if (known) return number(condition.value == 2 ? *node.then_value : *node.else_value, hand);
    return tables_.choose(condition, number(*node.then_value, hand), number(*node.else_value, hand));
  }

  // ---- truths

  Proposition truth(const Typed& expr, const Hand& hand) {
    if (!tables_.refused().empty()) return Proposition::constant(0);
    if (const auto known = constant(expr, hand)) {
      if (known->truth() == Truth::unknown) return not_known();
      return Proposition::constant(known->truth() == Truth::yes ? 2 : 0);
    }
    struct Visitor {
      Maker& self;
      const Hand& hand;

      Proposition operator()(const typed::Reading& node) const {
        const auto column = static_cast<Column>(self.only(node.ref, hand));
        const ReadingInfo& reading = self.program_.reading_of(column);
        if (reading.source == ReadingInfo::Source::computed)
          return self.truth(*reading.formula, self.program_.points[column].at);
        return Proposition::window(column, 1, 1, {column});
      }
      Proposition operator()(const typed::VerdictIs& node) const { return self.verdict_is(node, hand); }
      Proposition operator()(const typed::Unary& node) const { return !self.truth(*node.operand, hand); }
      Proposition operator()(const typed::Binary& node) const { return self.binary(node, hand); }
      Proposition operator()(const typed::OneOf& node) const { return self.one_of(node, hand); }
      Proposition operator()(const typed::Conditional& node) const {
        return Proposition::choice(self.truth(*node.condition, hand), self.truth(*node.then_value, hand),
                                   self.truth(*node.else_value, hand));
      }
      Proposition operator()(const typed::Aggregate& node) const {
        auto members = self.members(node, hand);
        return node.fold == typed::Fold::any ? any_of(std::move(members)) : all_of(std::move(members));
      }
      Proposition operator()(const typed::Constant&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Fact& node) const {
        const TypedPtr* value = self.only_value(node.fact);
        return value != nullptr ? self.truth(**value, empty_hand) : self.strange_truth();
      }
      Proposition operator()(const typed::AtHand&) const { return self.strange_truth(); }
      Proposition operator()(const typed::StringSize&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Travel&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Total&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Extreme&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Absolute&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Aim&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Target&) const { return self.strange_truth(); }
      Proposition operator()(const typed::Change&) const { return self.strange_truth(); }
    };
    return std::visit(Visitor{*this, hand}, expr.node);
  }

  Proposition strange_truth() {
    tables_.refuse("a condition of a kind that no table holds");
    return Proposition::constant(0);
  }

  Proposition not_known() const {
    const Column never = tables_.never_read();
    return Proposition::window(never, 0, 0, {never});
  }

  std::vector<Proposition> members(const typed::Aggregate& node, const Hand& hand) {
    std::vector<Proposition> members;
    for (const Hand& at : hands_in(node.loops, hand)) members.push_back(truth(*node.body, at));
    return members;
  }

  Proposition verdict_is(const typed::VerdictIs& node, const Hand& hand) {
    const int at = program_.target_of[only(node.ref, hand)];
    if (at < 0) return Proposition::constant(node.negated ? 2 : 0);
    const auto target = static_cast<std::size_t>(at);
    if (verdicts_.size() < program_.targets.size()) return strange_truth();  // the `when:` of a target asks for another
    const auto mask = static_cast<std::uint16_t>(1U << static_cast<unsigned>(node.verdict));
    const Proposition is = Proposition::verdict(verdicts_[target], mask, static_cast<std::uint32_t>(target));
    return node.negated ? !is : is;
  }

  Proposition binary(const typed::Binary& node, const Hand& hand) {
    if (node.op == BinaryOp::logical_and || node.op == BinaryOp::logical_or) {
      std::vector<Proposition> both{truth(*node.left, hand), truth(*node.right, hand)};
      return node.op == BinaryOp::logical_and ? all_of(std::move(both)) : any_of(std::move(both));
    }
    if (node.left->type.kind != Kind::number) {
      const Proposition same = same_as(*node.left, *node.right, hand);
      return node.op == BinaryOp::is_not ? !same : same;
    }
    const auto* counted = std::get_if<typed::Aggregate>(&node.left->node);
    if (counted != nullptr && counted->fold == typed::Fold::count) return count(*counted, node, hand);
    return tables_.compare(node.op, number(*node.left, hand), number(*node.right, hand));
  }

  // A state or a truth that is read, against one that is written.
  Proposition same_as(const Typed& left, const Typed& right, const Hand& hand) {
    const bool left_is_read = !mentioned_in(program_, left, hand).empty();
    const Typed& read = left_is_read ? left : right;
    const auto written = constant(left_is_read ? right : left, hand);
    if (!written) return strange_truth();
    if (read.type.kind == Kind::truth) {
      if (written->truth() == Truth::unknown) return strange_truth();
      const Proposition is = truth(read, hand);
      return written->truth() == Truth::yes ? is : !is;
    }
    const auto* node = std::get_if<typed::Reading>(&read.node);
    if (node == nullptr) return strange_truth();
    const auto column = static_cast<Column>(only(node->ref, hand));
    const ReadingInfo& reading = program_.reading_of(column);
    if (reading.source == ReadingInfo::Source::computed) return strange_truth();
    if (read.type.kind == Kind::tuning) return same_tuning(column, written->value.pitches);
    if (read.type.kind != Kind::state) return strange_truth();
    if (!written->value.state) return not_known();
    const auto& states = program_.state_sets[reading.type.states].states;
    const auto found = std::find(states.begin(), states.end(), *written->value.state);
    const auto place = static_cast<double>(found - states.begin());  // behind the last: none is
    return Proposition::window(column, place, place, {column});
  }

  // A record holds the place of its tuning among those that conditions name.
  Proposition same_tuning(Column column, const std::optional<std::vector<Pitch>>& written) {
    if (!written) return not_known();
    auto& known = tunings_[column];
    const auto found = std::find(known.begin(), known.end(), *written);
    const auto place = static_cast<double>(found - known.begin());
    if (found == known.end()) known.push_back(*written);
    return Proposition::window(column, place, place, {column});
  }

  // One atom, whatever its items share.
  Proposition one_of(const typed::OneOf& node, const Hand& hand) {
    std::vector<Proposition> items;
    for (const TypedPtr& item : node.items) {
      items.push_back(node.value->type.kind == Kind::number
                          ? tables_.compare(BinaryOp::is, number(*node.value, hand), number(*item, hand))
                          : same_as(*node.value, *item, hand));
    }
    return Proposition::at_least(1, std::move(items));
  }

  Proposition count(const typed::Aggregate& node, const typed::Binary& comparison, const Hand& hand) {
    const auto against = constant(*comparison.right, hand);
    if (!against || !against->value.number.is_exact()) return strange_truth();
    auto parts = members(node, hand);
    const auto n = static_cast<std::int32_t>(parts.size());
    const auto whole = [n](std::optional<std::int64_t> value) {
      return static_cast<std::int32_t>(std::clamp<std::int64_t>(value.value_or(0), -1, n + 1));
    };
    const Ratio limit = *against->value.number.lo;
    const std::int32_t floor = whole(floor_times(limit, 1));
    const std::int32_t ceil = whole(ceil_times(limit, 1));
    switch (comparison.op) {
      case BinaryOp::over: return Proposition::count(floor + 1, n, std::move(parts));
      case BinaryOp::at_least: return Proposition::count(ceil, n, std::move(parts));
      case BinaryOp::under: return Proposition::count(0, ceil - 1, std::move(parts));
      case BinaryOp::at_most: return Proposition::count(0, floor, std::move(parts));
      case BinaryOp::is: return Proposition::count(ceil, floor, std::move(parts));
      default: return !Proposition::count(ceil, floor, std::move(parts));
    }
  }

  // ---- targets, gates, rules

  Slot verdict_of(std::size_t at) {
    const TargetInfo& target = program_.targets[at];
    const ReadingInfo& reading = program_.reading_of(target.point);
    const std::string& name = program_.points[target.point].name;
    if (reading.gap && target.gap && target.gap->text != reading.gap->text)
      tables_.refuse(fmt::format("'{}' is read by another method than its target's", name));
    const bool wants_range = target.want && target.want->form == Want::Form::range;
    if ((target.range && mention_readings(*target.range)) || (wants_range && mention_readings(target.want->range)))
      tables_.refuse(fmt::format("the range of '{}' hangs on readings", name));
    if (target.want && target.want->form == Want::Form::leave)
      tables_.refuse(fmt::format("'{}' is to be left as it was", name));
    const bool plain = program_.decide == Decide::plain;
    const Ratio step = reading.read_to && !plain ? reading.read_to->value : Ratio(0);
    const Ratio repeat = reading.repeat && !plain ? reading.repeat->value : Ratio(0);
    const auto square = expanded_square({step, repeat, 1});
    if (!square) tables_.refuse(fmt::format("the tool's doubt of '{}' does not fit", name));
    const Hand hand = program_.points[target.point].at;
    const TargetState& state = blank_.targets[at];
    const auto when = target.when ? std::optional(truth(*target.when, hand)) : std::nullopt;
    return tables_.verdict(this->reading(target.point), {state.lo, state.hi, square.value_or(Ratio(0))}, when);
  }

  Slot slot_of(const Typed& expr) { return tables_.truth(truth(expr, empty_hand)); }

  Slot slot_of(const RuleInfo& rule) {
    if (!rule.over) return slot_of(*rule.when);
    std::vector<Proposition> members;
    const std::size_t count = program_.axes[static_cast<std::size_t>(*rule.over)].size();
    for (std::size_t member = 0; member < count; ++member) {
      Hand hand = empty_hand;
      hand[static_cast<std::size_t>(*rule.over)] = static_cast<int>(member);
      members.push_back(truth(*rule.when, hand));
    }
    return count == 0 ? no_slot : tables_.truth(Proposition::at_least(1, std::move(members)));
  }

  const Program& program_;
  Nothing nothing_{program_};
  Evaluator evaluator_;
  Tables tables_;
  Judgement blank_;  // with nothing read
  bool looks_back_ = false;
  KnownTunings tunings_;
  std::vector<Slot> verdicts_;  // by target
};

}  // namespace

std::optional<Plan> make_quick_plan(const Program& program, std::string& refused) {
  return Maker(program).make(refused);
}

}  // namespace stringline::quick
