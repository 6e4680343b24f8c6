#include "engine/check/evaluate.h"

#include <algorithm>
#include <utility>

#include "engine/check/residual.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

// An unknown truth from its residual: decided when every combination agrees, else with the needs that are not idle.
Result settled(ResidualPtr residual) {
  Support proven = support(residual);
  if (proven.truth != Truth::unknown) return truth_result(proven.truth);
  Result result = unknown_truth(std::move(proven.needs));
  result.residual = std::move(residual);
  return result;
}

bool same_value(const Value& a, const Value& b) {
  return a.kind == b.kind && a.number == b.number && a.truth == b.truth && a.state == b.state && a.pitches == b.pitches;
}

std::optional<Interval> apply(BinaryOp op, const Interval& a, const Interval& b) {
  switch (op) {
    case BinaryOp::add: return add(a, b);
    case BinaryOp::subtract: return subtract(a, b);
    case BinaryOp::multiply: return multiply(a, b);
    default: return divide(a, b);
  }
}

Truth compare_numbers(BinaryOp op, const Interval& a, const Interval& b) {
  switch (op) {
    case BinaryOp::over: return less(b, a);
    case BinaryOp::under: return less(a, b);
    case BinaryOp::at_least: return less_or_equal(b, a);
    case BinaryOp::at_most: return less_or_equal(a, b);
    case BinaryOp::is: return equal(a, b);
    default: return !equal(a, b);
  }
}

Truth same_known(const Value& a, const Value& b) {
  const auto decided = [](bool value) { return value ? Truth::yes : Truth::no; };
  if (a.kind == Kind::truth) {
    if (a.truth == Truth::unknown || b.truth == Truth::unknown) return Truth::unknown;
    return decided(a.truth == b.truth);
  }
  if (a.kind == Kind::state) return a.state && b.state ? decided(*a.state == *b.state) : Truth::unknown;
  return a.pitches && b.pitches ? decided(*a.pitches == *b.pitches) : Truth::unknown;
}

// Whether the bands among the rows, none of which overlaps another, leave out nothing of `number`.
bool is_covered(const Interval& number, const std::vector<const TypedRowKey*>& rows) {
  std::optional<Ratio> up_to = number.lo;  // what lies under it is covered
  bool itself = false;                     // and so is this end
  const auto begins = [&](const TypedRowKey& band) {
    return !band.lo || (up_to && (*band.lo < *up_to || (*band.lo == *up_to && (itself || band.lo_belongs))));
  };
  const auto ends_above = [&](const TypedRowKey& band) {
    return !up_to || *up_to < *band.hi || (*up_to == *band.hi && !itself && band.hi_belongs);
  };
  for (bool more = true; more;) {
    more = false;
    for (const TypedRowKey* row : rows) {
      if (row->kind != TypedRowKey::Kind::band || !begins(*row)) continue;
      if (!row->hi) return true;
      if (!ends_above(*row)) continue;
      up_to = row->hi;
      itself = row->hi_belongs;
      if (number.hi && (*number.hi < *up_to || (*number.hi == *up_to && itself))) return true;
      more = true;
    }
  }
  return false;
}

bool is_comparison(BinaryOp op) { return op >= BinaryOp::over && op <= BinaryOp::is_not; }

}  // namespace

std::vector<Need> merged(std::vector<Need> a, const std::vector<Need>& b) {
  a.insert(a.end(), b.begin(), b.end());
  std::sort(a.begin(), a.end());
  a.erase(std::unique(a.begin(), a.end()), a.end());
  return a;
}

Result known(Value value) { return {std::move(value), {}, nullptr, {}}; }

Result number_result(Interval number, Unit unit, std::vector<Need> needs) {
  Result result;
  result.value.kind = Kind::number;
  result.value.number = number;
  result.value.unit = unit;
  result.needs = std::move(needs);
  return result;
}

Result truth_result(Truth truth) {
  Result result;
  result.value.kind = Kind::truth;
  result.value.truth = truth;
  return result;
}

Result state_result(std::string state) {
  Result result;
  result.value.kind = Kind::state;
  result.value.state = std::move(state);
  return result;
}

Result unknown_truth(std::vector<Need> needs) {
  Result result = truth_result(Truth::unknown);
  result.needs = std::move(needs);
  return result;
}

Result failed(Span span, std::string message) {
  Result result;
  result.failure = Failure{span, std::move(message)};
  return result;
}

Result Nothing::reading(PointId point) const {
  Result result;
  result.value.kind = program_.reading_of(point).type.kind;
  result.value.unit = program_.reading_of(point).unit;
  result.needs = {{false, point}};
  return result;
}
Result Nothing::verdict_is(PointId point, Verdict) const { return unknown_truth({{false, point}}); }
Result Nothing::aim(PointId) const { return number_result(Interval::anything(), Unit::none); }
std::string Nothing::target_text(PointId) const { return "(its range)"; }
Result Nothing::change(PointId point) const {
  return number_result(Interval::anything(), program_.reading_of(point).unit, {{false, point}});
}

std::vector<PointId> Evaluator::points(const ReadingRef& ref, const Hand& hand) const {
  const ReadingInfo& reading = program_.readings[ref.reading];
  std::vector<PointId> offsets{0};
  for (const AxisPick& pick : ref.picks) {
    const auto axis = static_cast<std::size_t>(pick.axis);
    const auto size = static_cast<PointId>(program_.axes[axis].size());
    std::vector<PointId> next;
    for (const PointId base : offsets) {
      if (pick.at_hand) {
        if (hand[axis] >= 0) next.push_back(base * size + static_cast<PointId>(hand[axis]));
      } else {
        for (const std::uint16_t member : pick.members) next.push_back(base * size + member);
      }
    }
    offsets = std::move(next);
  }
  for (PointId& offset : offsets) offset += reading.first;
  return offsets;
}

Result Evaluator::evaluate(const Typed& expr, const Hand& hand) const {
  struct Visitor {
    const Evaluator& self;
    const Typed& expr;
    const Hand& hand;

    PointId only(const ReadingRef& ref) const { return self.points(ref, hand).front(); }

    Result operator()(const typed::Constant& node) const { return known(node.value); }
    Result operator()(const typed::Reading& node) const { return self.around_.reading(only(node.ref)); }
    Result operator()(const typed::VerdictIs& node) const {
      Result result = self.around_.verdict_is(only(node.ref), node.verdict);
      if (node.negated) {
        result.value.truth = !result.value.truth;
        if (result.residual) result.residual = negation(result.residual);
      }
      return result;
    }
    Result operator()(const typed::Fact& node) const { return self.fact(node.fact); }
    Result operator()(const typed::AtHand& node) const { return self.at_hand(node.axis, hand); }
    Result operator()(const typed::StringSize& node) const { return self.string_size(node.slot, hand); }
    Result operator()(const typed::Travel&) const {
      return self.travel_ ? known(*self.travel_) : number_result(Interval::anything(), Unit::mm);
    }
    Result operator()(const typed::Total&) const {
      return self.total_ ? known(*self.total_) : number_result(Interval::anything(), Unit::none);
    }
    Result operator()(const typed::Unary& node) const {
      Result operand = self.evaluate(*node.operand, hand);
      if (operand.failure) return operand;
      if (node.op == UnaryOp::negate) {
        const auto negated = negate(operand.value.number);
        if (!negated) return failed(expr.span, "the number does not fit");
        operand.value.number = *negated;
        return operand;
      }
      if (operand.truth() == Truth::unknown) {
        return settled(negation(operand.residual));
      }
      operand.value.truth = !operand.value.truth;
      return operand;
    }
    Result operator()(const typed::Binary& node) const { return self.binary(expr, node, hand); }
    Result operator()(const typed::OneOf& node) const { return self.one_of(expr, node, hand); }
    Result operator()(const typed::Conditional& node) const { return self.conditional(expr, node, hand); }
    Result operator()(const typed::Aggregate& node) const { return self.aggregate(node, hand); }
    Result operator()(const typed::Extreme& node) const { return self.extreme(expr, node, hand); }
    Result operator()(const typed::Absolute& node) const {
      Result operand = self.evaluate(*node.operand, hand);
      if (operand.failure) return operand;
      const auto positive = absolute(operand.value.number);
      if (!positive) return failed(expr.span, "the number does not fit");
      operand.value.number = *positive;
      return operand;
    }
    Result operator()(const typed::Aim& node) const { return self.around_.aim(only(node.ref)); }
    Result operator()(const typed::Target& node) const {
      Result result = state_result(self.around_.target_text(only(node.ref)));
      result.value.kind = Kind::range;
      return result;
    }
    Result operator()(const typed::Change& node) const { return self.around_.change(only(node.ref)); }
  };
  Result result = std::visit(Visitor{*this, expr, hand}, expr.node);
  if (result.value.kind == Kind::number) result.value.difference = expr.type.difference;
  const bool open = !result.failure && result.value.kind == Kind::truth && result.truth() == Truth::unknown;
  if (open && !result.residual) result.residual = atom(&expr, hand, result.needs);
  return result;
}

Result Evaluator::binary(const Typed& expr, const typed::Binary& node, const Hand& hand) const {
  if (is_comparison(node.op)) return compare(expr, node, hand);
  if (node.op != BinaryOp::logical_and && node.op != BinaryOp::logical_or) return arithmetic(expr, node, hand);
  const bool both = node.op == BinaryOp::logical_and;
  const Truth decisive = both ? Truth::no : Truth::yes;
  Result left = evaluate(*node.left, hand);
  if (!left.failure && left.truth() == decisive) return left;
  Result right = evaluate(*node.right, hand);
  if (!right.failure && right.truth() == decisive) return right;
  if (left.failure) return left;
  if (right.failure) return right;
  if (left.truth() != Truth::unknown) return right;
  if (right.truth() != Truth::unknown) return left;
  return settled(joined(both ? Residual::Op::conjunction : Residual::Op::disjunction, left.residual, right.residual));
}

Result Evaluator::compare(const Typed&, const typed::Binary& node, const Hand& hand) const {
  const Result left = evaluate(*node.left, hand);
  if (left.failure) return left;
  const Result right = evaluate(*node.right, hand);
  if (right.failure) return right;
  Truth truth = Truth::unknown;
  if (left.value.kind == Kind::number) {
    truth = compare_numbers(node.op, left.value.number, right.value.number);
  } else {
    truth = same_known(left.value, right.value);
    if (node.op == BinaryOp::is_not) truth = !truth;
  }
  return truth == Truth::unknown ? unknown_truth(merged(left.needs, right.needs)) : truth_result(truth);
}

Result Evaluator::arithmetic(const Typed& expr, const typed::Binary& node, const Hand& hand) const {
  Result left = evaluate(*node.left, hand);
  if (left.failure) return left;
  const Result right = evaluate(*node.right, hand);
  if (right.failure) return right;
  auto number = apply(node.op, left.value.number, right.value.number);
  const Truth zero_below = node.op == BinaryOp::divide ? equal(right.value.number, Interval::exactly(0)) : Truth::no;
  if (!number && zero_below == Truth::unknown) number = Interval::anything();  // not read is not zero
  if (!number) {
    const bool by_zero = zero_below == Truth::yes;
    return failed(expr.span, by_zero ? "a division by zero" : "the number does not fit");
  }
  left.value.number = *number;
  const auto carries = [&](Unit unit) { return unit != Unit::none && info(unit).dimension == expr.type.dimension; };
  const bool divided = node.op == BinaryOp::divide && info(right.value.unit).dimension == dimension::number;
  if (!carries(left.value.unit))
    left.value.unit = carries(right.value.unit) && !divided ? right.value.unit : Unit::none;
  left.needs = merged(std::move(left.needs), right.needs);
  return left;
}

Result Evaluator::one_of(const Typed&, const typed::OneOf& node, const Hand& hand) const {
  const Result value = evaluate(*node.value, hand);
  if (value.failure) return value;
  std::vector<Need> needs = value.needs;
  Truth any = Truth::no;
  for (const TypedPtr& item : node.items) {
    const Result each = evaluate(*item, hand);
    if (each.failure) return each;
    needs = merged(std::move(needs), each.needs);
    any = or_of(any, value.value.kind == Kind::number ? equal(value.value.number, each.value.number)
                                                      : same_known(value.value, each.value));
  }
  return any == Truth::unknown ? unknown_truth(std::move(needs)) : truth_result(any);
}

Result Evaluator::conditional(const Typed& expr, const typed::Conditional& node, const Hand& hand) const {
  const Result condition = evaluate(*node.condition, hand);
  if (condition.failure) return condition;
  if (condition.truth() == Truth::yes) return evaluate(*node.then_value, hand);
  if (condition.truth() == Truth::no) return evaluate(*node.else_value, hand);
  Result a = evaluate(*node.then_value, hand);
  const Result b = evaluate(*node.else_value, hand);
  if (a.failure) return a;
  if (b.failure) return b;
  if (expr.type.kind == Kind::truth) {
    const ResidualPtr when = condition.residual;
    const auto branch = [](const Result& value, ResidualPtr guard) -> ResidualPtr {
      if (value.truth() == Truth::yes) return guard;
      if (value.truth() == Truth::no) return nullptr;
      return joined(Residual::Op::conjunction, std::move(guard), value.residual);
    };
    const ResidualPtr yes = branch(a, when);
    const ResidualPtr no = branch(b, negation(when));
    if (!yes && !no) return truth_result(Truth::no);
    return settled(!yes ? no : !no ? yes : joined(Residual::Op::disjunction, yes, no));
  }
  if (same_value(a.value, b.value) && a.needs.empty() && b.needs.empty()) return a;
  if (a.value.kind == Kind::number) {
    a.value.number = hull(a.value.number, b.value.number);
  } else {
    a.value.state.reset();
    a.value.pitches.reset();
  }
  a.needs = merged(merged(std::move(a.needs), b.needs), condition.needs);
  return a;
}

std::vector<Hand> hands_in(const std::vector<typed::Loop>& loops, const Hand& hand) {
  std::vector<Hand> hands{hand};
  for (const typed::Loop& loop : loops) {
    std::vector<Hand> next;
    for (const Hand& base : hands) {
      for (const std::uint16_t member : loop.members) {
        next.push_back(base);
        next.back()[static_cast<std::size_t>(loop.axis)] = member;
      }
    }
    hands = std::move(next);
  }
  return hands;
}

Result Evaluator::aggregate(const typed::Aggregate& node, const Hand& hand) const {
  const std::vector<Hand> hands = hands_in(node.loops, hand);
  if (node.fold == typed::Fold::worst) return worst(hands, node);
  const bool truths = node.fold == typed::Fold::any || node.fold == typed::Fold::all;
  const Truth decisive = node.fold == typed::Fold::any ? Truth::yes : Truth::no;
  ResidualPtr residual;
  std::optional<Failure> failure;
  std::optional<Interval> extreme;
  std::int64_t certain = 0;
  std::int64_t possible = 0;
  std::vector<Need> needs;
  Unit unit = Unit::none;
  for (const Hand& at : hands) {
    Result each = evaluate(*node.body, at);
    if (each.failure) {
      if (!failure) failure = each.failure;
      continue;
    }
    if (truths && each.truth() == decisive) return each;
    if (each.truth() == Truth::unknown) {
      if (truths) {
        const auto op = node.fold == typed::Fold::any ? Residual::Op::disjunction : Residual::Op::conjunction;
        residual = residual ? joined(op, residual, each.residual) : each.residual;
      } else {
        needs.insert(needs.end(), each.needs.begin(), each.needs.end());
      }
    }
    if (node.fold == typed::Fold::count) {
      certain += each.truth() == Truth::yes ? 1 : 0;
      possible += each.truth() != Truth::no ? 1 : 0;
    } else if (!truths) {
      unit = each.value.unit;
      const Interval& number = each.value.number;
      if (!extreme)
        extreme = number;
      else
        extreme = node.fold == typed::Fold::max ? max_of(*extreme, number) : min_of(*extreme, number);
    }
  }
  if (failure) return failed(failure->span, failure->message);
  needs = merged(std::move(needs), {});
  if (node.fold == typed::Fold::count) {
    return number_result({Ratio(certain), Ratio(possible), false}, Unit::none, std::move(needs));
  }
  if (truths) return residual ? settled(residual) : truth_result(!decisive);
  if (!extreme) return number_result(Interval::anything(), Unit::none);  // of a group without members
  return number_result(*extreme, unit, std::move(needs));
}

// The member farthest from its aim; unknown as soon as one member or its aim is.
Result Evaluator::worst(const std::vector<Hand>& hands, const typed::Aggregate& node) const {
  const ReadingRef& ref = std::get<typed::Reading>(node.body->node).ref;
  std::optional<Result> farthest;
  Ratio distance;
  std::vector<Need> needs;
  bool open = false;
  for (const Hand& hand : hands) {
    const PointId point = points(ref, hand).front();
    const Result value = around_.reading(point);
    const Result aim = around_.aim(point);
    needs = merged(std::move(needs), merged(value.needs, aim.needs));
    open = open || !value.value.number.is_point() || !aim.value.number.is_point();
    if (open) continue;
    const auto away = subtract(*value.value.number.lo, *aim.value.number.lo);
    const auto size = away ? absolute(*away) : std::nullopt;
    if (!size) return failed(node.body->span, "the number does not fit");
    if (!farthest || *size > distance) {
      farthest = value;
      distance = *size;
    }
  }
  if (open || !farthest) return number_result(Interval::anything(), Unit::none, std::move(needs));
  return *farthest;
}

Result Evaluator::extreme(const Typed&, const typed::Extreme& node, const Hand& hand) const {
  Result best = evaluate(*node.arguments.front(), hand);
  for (std::size_t i = 1; i < node.arguments.size() && !best.failure; ++i) {
    const Result each = evaluate(*node.arguments[i], hand);
    if (each.failure) return each;
    best.value.number =
        node.largest ? max_of(best.value.number, each.value.number) : min_of(best.value.number, each.value.number);
    if (best.value.unit == Unit::none) best.value.unit = each.value.unit;
    best.needs = merged(std::move(best.needs), each.needs);
  }
  return best;
}

Result Evaluator::fact(FactId id) const {
  const FactInfo& fact = program_.facts[id];
  if (fact.value) return evaluate(*fact.value);
  Result result;
  result.value.kind = fact.type.kind;
  result.needs = {{true, id}};
  return result;
}

Result Evaluator::at_hand(Axis axis, const Hand& hand) const {
  const int member = hand[static_cast<std::size_t>(axis)];
  const AxisMember& at = program_.axes[static_cast<std::size_t>(axis)][static_cast<std::size_t>(member)];
  if (axis == Axis::side || axis == Axis::pickup) return state_result(at.name);
  return number_result(Interval::exactly(at.number), Unit::none);
}

Result Evaluator::string_size(bool slot, const Hand& hand) const {
  const StringInfo& string = program_.strings[static_cast<std::size_t>(hand[static_cast<std::size_t>(Axis::string)])];
  const auto& gauge = slot ? string.slot_gauge : string.gauge;
  return number_result(gauge ? Interval::exactly(gauge->diameter) : Interval::anything(), Unit::thou);
}

std::vector<std::size_t> Evaluator::possible_rows(const std::vector<const TypedRowKey*>& keys,
                                                  const Result& selector) const {
  std::vector<std::size_t> rows;
  std::optional<std::size_t> otherwise;
  bool certain = false;
  const Value& value = selector.value;
  for (std::size_t i = 0; i < keys.size(); ++i) {
    const TypedRowKey& key = *keys[i];
    Truth fits = Truth::unknown;
    switch (key.kind) {
      case TypedRowKey::Kind::otherwise: otherwise = i; continue;
      case TypedRowKey::Kind::state:
        if (value.state) fits = *value.state == key.state ? Truth::yes : Truth::no;
        break;
      case TypedRowKey::Kind::truth:
        if (value.truth != Truth::unknown) fits = (value.truth == Truth::yes) == key.truth ? Truth::yes : Truth::no;
        break;
      case TypedRowKey::Kind::number: fits = equal(value.number, Interval::exactly(key.number)); break;
      case TypedRowKey::Kind::pitch:
        if (value.pitches)
          fits = value.pitches->size() == 1 && value.pitches->front() == key.pitch ? Truth::yes : Truth::no;
        break;
      case TypedRowKey::Kind::band: {
        Truth above = Truth::yes;
        if (key.lo) {
          const Interval lo = Interval::exactly(*key.lo);
          above = key.lo_belongs ? less_or_equal(lo, value.number) : less(lo, value.number);
        }
        Truth below = Truth::yes;
        if (key.hi) {
          const Interval hi = Interval::exactly(*key.hi);
          below = key.hi_belongs ? less_or_equal(value.number, hi) : less(value.number, hi);
        }
        fits = and_of(above, below);
        break;
      }
    }
    if (fits != Truth::no) rows.push_back(i);
    certain = certain || fits == Truth::yes;
  }
  if (otherwise && !certain && !is_covered(value.number, keys)) rows.push_back(*otherwise);
  return rows;
}

Result Evaluator::evaluate(const TypedChoice<TypedPtr>& choice, const Hand& hand) const {
  if (const auto* leaf = std::get_if<TypedPtr>(&choice.node)) return evaluate(**leaf, hand);
  const auto rows = possible(choice, hand);
  if (rows.failure) return failed(rows.failure->span, rows.failure->message);
  std::optional<Result> all;
  bool agree = true;
  for (const TypedPtr* leaf : rows.leaves) {
    Result each = evaluate(**leaf, hand);
    if (each.failure) return each;
    if (!all) {
      all = std::move(each);
      continue;
    }
    agree = agree && same_value(all->value, each.value) && all->needs.empty() && each.needs.empty();
    if (all->value.kind == Kind::number) all->value.number = hull(all->value.number, each.value.number);
    all->needs = merged(std::move(all->needs), each.needs);
  }
  if (!all) return failed(choice.span, "no row of the table fits");
  if (agree) return std::move(*all);
  if (all->value.kind != Kind::number) {
    all->value.state.reset();
    all->value.pitches.reset();
    all->value.truth = Truth::unknown;
    all->residual.reset();  // of one row alone
  }
  all->needs = merged(std::move(all->needs), rows.needs);
  return std::move(*all);
}

std::string Evaluator::text(const TypedText& text, const Hand& hand) const {
  std::string out;
  for (const TypedText::Piece& piece : text.pieces) {
    if (!piece.hole) {
      out += piece.text;
      continue;
    }
    const Result value = evaluate(*piece.hole, hand);
    out += value.failure ? "(" + value.failure->message + ")" : in_words(value.value);
  }
  return out;
}

std::optional<std::string> fact_state(const Program& program, std::string_view name) {
  const auto fact = std::find_if(program.facts.begin(), program.facts.end(),
                                 [&](const FactInfo& each) { return each.name == name && each.value; });
  if (fact == program.facts.end()) return std::nullopt;
  const Nothing nothing(program);
  return Evaluator(program, nothing).evaluate(*fact->value).value.state;
}

std::string in_words(const Value& value) {
  return value.kind == Kind::state ? plain_name(to_text(value)) : to_text(value);
}

std::string to_text(const Value& value, std::optional<Ratio> step) {
  switch (value.kind) {
    case Kind::truth:
      return value.truth == Truth::unknown ? "(not known)" : value.truth == Truth::yes ? "true" : "false";
    case Kind::state:
    case Kind::range: return value.state.value_or("(not known)");
    case Kind::pitch:
    case Kind::tuning: {
      if (!value.pitches) return "(not known)";
      std::string out;
      for (const Pitch& pitch : *value.pitches) out += (out.empty() ? "" : " ") + pitch.written;
      return out;
    }
    case Kind::number: break;
  }
  const auto shown = [&](Ratio end) { return to_text(end, value.unit, step, value.difference); };
  const Interval& number = value.number;
  if (!number.lo && !number.hi) return "(not known)";
  if (!number.lo) return "at most " + shown(*number.hi);
  if (!number.hi) return "at least " + shown(*number.lo);
  const std::string lo = shown(*number.lo);
  const std::string hi = shown(*number.hi);
  return lo == hi ? lo : lo + " to " + hi;
}

}  // namespace stringline
