// Names and types of expressions. See bind.h.
#include "engine/check/bind.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "engine/check/steps.h"
#include "engine/diag/suggest.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

Type number_of(Dimension dimension, bool difference = false) { return {Kind::number, dimension, difference, 0}; }
const Type truth_type{Kind::truth, {}, false, 0};

Value number_value(const Quantity& quantity) {
  Value value;
  value.number = Interval::exactly(quantity.value);
  value.unit = quantity.unit;
  return value;
}

bool is_temperature(const Type& type) { return type.dimension == dimension::temperature && !type.difference; }

const Number* literal(const ExprPtr& expr) { return expr ? std::get_if<Number>(&expr->node) : nullptr; }
// 46 and 46 % are meant as 46 %RH.
std::string in_relative_humidity(const Number& number) {
  const std::string& written = number.written;
  return "write '" + written.substr(0, written.find_last_of("0123456789") + 1) + " %RH'";
}
const Name* plain(const ExprPtr& expr) {
  const Name* name = expr ? std::get_if<Name>(&expr->node) : nullptr;
  return name != nullptr && name->members.empty() ? name : nullptr;
}

std::optional<Verdict> verdict_word(const std::string& word) {
  if (word == "within") return Verdict::within;
  if (word == "high") return Verdict::high;
  if (word == "low") return Verdict::low;
  return std::nullopt;
}

std::optional<typed::Fold> fold_word(const std::string& word) {
  using typed::Fold;
  static const std::map<std::string, Fold> words{{"any", Fold::any},     {"all", Fold::all}, {"every", Fold::all},
                                                 {"count", Fold::count}, {"max", Fold::max}, {"min", Fold::min},
                                                 {"worst", Fold::worst}};
  const auto found = words.find(word);
  return found == words.end() ? std::nullopt : std::optional(found->second);
}

std::vector<std::string> builtin_names() {
  return {
#define STRINGLINE_BUILTIN(name, parameters, result, help) name,
#include "engine/check/builtins.def"
#undef STRINGLINE_BUILTIN
  };
}

bool has_target(const Program& program, const ReadingInfo& reading) {
  const auto first = program.target_of.begin() + reading.first;
  return std::any_of(first, first + reading.count, [](int target) { return target >= 0; });
}

bool is_comparison(BinaryOp op) { return op >= BinaryOp::over && op <= BinaryOp::is_not; }

}  // namespace

// One lambda a node, so that a new kind of expression breaks the build where a decision is due.
struct BindVisitor {
  Binder& self;
  const Expr& expr;
  const Scope& scope;

  TypedPtr operator()(const Number& node) const {
    return make_typed(expr.span, number_of(info(node.quantity.unit).dimension),
                      typed::Constant{number_value(node.quantity)});
  }
  TypedPtr operator()(const PitchLiteral& node) const {
    Value value;
    value.kind = Kind::pitch;
    value.pitches = {node.pitch};
    return make_typed(expr.span, {Kind::pitch, {}, false, 0}, typed::Constant{std::move(value)});
  }
  TypedPtr operator()(const TruthLiteral& node) const {
    Value value;
    value.kind = Kind::truth;
    value.truth = node.value ? Truth::yes : Truth::no;
    return make_typed(expr.span, truth_type, typed::Constant{std::move(value)});
  }
  TypedPtr operator()(const Name& node) const { return self.name(expr, node, scope); }
  TypedPtr operator()(const Unary& node) const {
    TypedPtr operand = self.bind(node.operand, scope);
    if (!operand) return nullptr;
    const bool negate = node.op == UnaryOp::negate;
    if (operand->type.kind != (negate ? Kind::number : Kind::truth)) {
      self.out().report(Code::wrong_type, operand->span,
                        fmt::format("'{}' wants {}, this is {}", negate ? "-" : "not",
                                    negate ? "a number" : "true or false", self.describe(operand->type)));
      return nullptr;
    }
    const Type type = operand->type;
    if (is_temperature(type)) {
      if (const Number* number = literal(node.operand)) return below_zero(*number);
      self.out().report(Code::wrong_type, expr.span, "a temperature can not be negated",
                        "subtract two temperatures first: their difference can");
      return nullptr;
    }
    return make_typed(expr.span, type, typed::Unary{node.op, std::move(operand)});
  }
  // -5 degC is 5 degrees below the zero of its own scale.
  TypedPtr below_zero(const Number& number) const {
    const Ratio zero = info(number.quantity.unit).offset;
    const auto step = subtract(number.quantity.value, zero);
    const auto value = step ? subtract(zero, *step) : std::nullopt;
    if (!value) return nullptr;  // such a number was refused where it was read
    return make_typed(expr.span, number_of(dimension::temperature),
                      typed::Constant{number_value({*value, number.quantity.unit})});
  }
  TypedPtr operator()(const Binary& node) const { return self.binary(expr, node, scope); }
  TypedPtr operator()(const OneOf& node) const { return self.one_of(expr, node, scope); }
  TypedPtr operator()(const Conditional& node) const { return self.conditional(expr, node, scope); }
  TypedPtr operator()(const Call& node) const { return self.call(expr, node, scope); }
};

Scope scope_over(const std::vector<Axis>& axes) {
  Scope scope;
  for (const Axis axis : axes) scope.at_hand[static_cast<std::size_t>(axis)] = true;
  return scope;
}

std::string Binder::describe(const Type& type) const {
  switch (type.kind) {
    case Kind::truth: return "true or false";
    case Kind::number: return type.difference ? "a difference of temperatures" : stringline::describe(type.dimension);
    case Kind::state: return fmt::format("one of {}", fmt::join(program_.state_sets[type.states].states, ", "));
    case Kind::pitch: return "a pitch";
    case Kind::tuning: return "a tuning";
    case Kind::range: return "a range";
  }
  return {};
}

TypedPtr Binder::bind(const ExprPtr& expr, const Scope& scope) {
  if (out_.is_full()) return nullptr;  // nothing more would be told
  ++nesting_;
  TypedPtr bound = std::visit(BindVisitor{*this, *expr, scope}, expr->node);
  --nesting_;
  return bound && in_bounds(*bound, scope) ? bound : nullptr;
}

bool Binder::in_bounds(const Typed& bound, const Scope& scope) {
  const Limits& limits = limits::now();
  if (bound.steps > limits.expression_steps) {
    out_.report(
        Code::too_many_steps, bound.span,
        fmt::format("working this out can take {} steps; one expression may take {}", bound.steps,
                    limits.expression_steps),
        "loop over fewer members, or name fewer values that name others" + limits::or_allow_more("expression_steps"));
    return false;
  }
  if (nesting_ > 0) return true;
  std::uint64_t members = 1;
  for (std::size_t axis = 0; axis < axis_count; ++axis) {
    if (scope.at_hand[axis] && !scope.one_point) members *= std::max<std::size_t>(1, program_.axes[axis].size());
  }
  const bool before = steps_ <= limits.steps;
  steps_ += bound.steps * members;
  if (steps_ > limits.steps && before) {
    out_.report(Code::too_many_steps, bound.span,
                fmt::format("up to here the expressions of this profile can take more than {} steps", limits.steps),
                "loop over fewer members, or say less in one profile" + limits::or_allow_more("steps"));
  }
  return steps_ <= limits.steps;
}

namespace {

// A literal is taken as the other side needs it: money, a difference of temperatures.
void adapt(TypedPtr& side, const Type& other) {
  const auto* constant = std::get_if<typed::Constant>(&side->node);
  if (constant == nullptr || side->type.kind != Kind::number || other.kind != Kind::number) return;
  if (other.dimension == dimension::money && side->type.dimension == dimension::number) {
    side = make_typed(side->span, other, *constant);
  } else if (other.difference && side->type.dimension == dimension::temperature && !side->type.difference) {
    Value value = constant->value;
    const auto offset = subtract(*value.number.lo, info(value.unit).offset);
    if (!offset) return;
    value.number = Interval::exactly(*offset);
    value.difference = true;
    side = make_typed(side->span, other, typed::Constant{std::move(value)});
  }
}

}  // namespace

TypedPtr Binder::bind_as(const ExprPtr& expr, const Type& type, const Scope& scope, const std::string& what) {
  if (type.kind == Kind::state) {
    const Name* word = plain(expr);
    if (word != nullptr && fact_ids_.count(word->name) == 0 && reading_ids_.count(word->name) == 0) {
      return state_word(expr, type.states, what);
    }
  }
  TypedPtr typed = bind(expr, scope);
  if (!typed) return nullptr;
  if (literal(expr) != nullptr) adapt(typed, type);
  const bool fits = typed->type.kind == type.kind &&
                    (type.kind != Kind::number ||
                     (typed->type.dimension == type.dimension && typed->type.difference == type.difference)) &&
                    (type.kind != Kind::state || typed->type.states == type.states);
  if (fits) return typed;
  const bool number = typed->type.kind == Kind::number && type.kind == Kind::number;
  std::string hint;
  if (number && literal(expr) != nullptr && typed->type.dimension == dimension::number) {
    hint = type.dimension == dimension::humidity ? in_relative_humidity(*literal(expr))
                                                 : "write the unit after the number";
  }
  out_.report(number ? Code::dimension_mismatch : Code::wrong_type, expr->span,
              fmt::format("{} is {}, this is {}", what, describe(type), describe(typed->type)), hint);
  return nullptr;
}

TypedPtr Binder::bind_truth(const ExprPtr& expr, const Scope& scope, const std::string& what) {
  TypedPtr typed = bind(expr, scope);
  if (!typed || typed->type.kind == Kind::truth) return typed;
  out_.report(Code::wrong_type, expr->span,
              fmt::format("{} must be true or false, this is {}", what, describe(typed->type)),
              typed->type.kind == Kind::number ? "compare it with something: over, under, at least, at most" : "");
  return nullptr;
}

std::optional<TypedRange> Binder::bind_range(const RangeExpr& range, const Type& type, const Scope& scope,
                                             const std::string& what) {
  TypedRange typed{range.span, nullptr, nullptr, nullptr};
  bool good = true;
  const auto end = [&](const ExprPtr& from, TypedPtr& to) {
    if (!from) return;
    to = bind_as(from, type, scope, what);
    good = good && to != nullptr;
  };
  end(range.lo, typed.lo);
  end(range.hi, typed.hi);
  end(range.aim, typed.aim);
  return good ? std::optional(typed) : std::nullopt;
}

TypedText Binder::bind_text(const TextExpr& text, const Scope& scope) {
  TypedText typed{text.span, {}};
  for (const TextPiece& piece : text.pieces) {
    typed.pieces.push_back({piece.text, piece.hole ? bind(piece.hole, scope) : nullptr});
    if (piece.hole && !typed.pieces.back().hole) typed.pieces.back().text = "?";
  }
  return typed;
}

TypedPtr Binder::state_word(const ExprPtr& expr, StateSetId set, const std::string& of) {
  const StateSet& states = program_.state_sets[set];
  const Name* word = plain(expr);
  if (word != nullptr && std::count(states.states.begin(), states.states.end(), word->name) > 0) {
    Value value;
    value.kind = Kind::state;
    value.state = word->name;
    return make_typed(expr->span, {Kind::state, {}, false, set}, typed::Constant{std::move(value)});
  }
  const auto near = nearest(to_text(*expr), states.states);
  out_.report(Code::unknown_state, expr->span,
              fmt::format("{} is one of {}, not '{}'{}", of, fmt::join(states.states, ", "), to_text(*expr),
                          near ? "; did you mean '" + *near + "'?" : std::string()));
  return nullptr;
}

// A word beside a state (strung is at_pitch): a state of the same set, or a fact or reading of the same states.
TypedPtr Binder::operand_state(const ExprPtr& word, const TypedPtr& beside, const Scope& scope) {
  const Name* name = plain(word);
  const bool named = name != nullptr && (fact_ids_.count(name->name) > 0 || reading_ids_.count(name->name) > 0);
  const auto& states = program_.state_sets[beside->type.states].states;
  const bool state = name != nullptr && std::count(states.begin(), states.end(), name->name) > 0;
  if (named && !state) return bind(word, scope);
  return state_word(word, beside->type.states, fmt::format("'{}'", program_.state_sets[beside->type.states].name));
}

TypedPtr Binder::is_test(const Expr& expr, const Binary& node, const Scope& scope) {
  const Name* right = plain(node.right);
  const Name* left = std::get_if<Name>(&node.left->node);
  const auto verdict = right == nullptr ? std::nullopt : verdict_word(right->name);
  if (verdict && left != nullptr && reading_ids_.count(left->name) > 0) {
    const auto ref = reference(*node.left, *left, scope);
    if (!ref) return nullptr;
    const ReadingInfo& reading = program_.readings[ref->reading];
    bool judged = false;
    for (PointId p = reading.first; p < reading.first + reading.count; ++p)
      judged = judged || program_.target_of[p] >= 0;
    if (!judged) {
      out_.report(Code::no_target, node.left->span,
                  fmt::format("'{}' has no target, so it is never {}", left->name, right->name),
                  fmt::format("add '{}:' to targets:, or compare it with a value", left->name));
      return nullptr;
    }
    return make_typed(expr.span, truth_type, typed::VerdictIs{*ref, *verdict, node.op == BinaryOp::is_not});
  }
  TypedPtr a = bind(node.left, scope);
  if (!a) return nullptr;
  TypedPtr b = a->type.kind == Kind::state ? operand_state(node.right, a, scope) : bind(node.right, scope);
  if (!b || !same_type(expr, a, b, "compared")) return nullptr;
  return make_typed(expr.span, truth_type, typed::Binary{node.op, std::move(a), std::move(b)});
}

// True when both sides are of one type.
bool Binder::same_type(const Expr& expr, TypedPtr& left, TypedPtr& right, const char* verb) {
  adapt(left, right->type);
  adapt(right, left->type);
  const Type& a = left->type;
  const Type& b = right->type;
  const bool same = a.kind == b.kind &&
                    (a.kind != Kind::number || (a.dimension == b.dimension && a.difference == b.difference)) &&
                    (a.kind != Kind::state || a.states == b.states ||
                     program_.state_sets[a.states].states == program_.state_sets[b.states].states);
  if (same) return true;
  const bool numbers = a.kind == Kind::number && b.kind == Kind::number;
  const auto bare = [](const TypedPtr& side) {
    return std::holds_alternative<typed::Constant>(side->node) && side->type.dimension == dimension::number;
  };
  const char* hint = numbers && (bare(left) || bare(right)) ? "write the unit after the number" : "";
  out_.report(numbers ? Code::dimension_mismatch : Code::wrong_type, expr.span,
              fmt::format("{} and {} can not be {}", describe(a), describe(b), verb), hint,
              {{left->span, describe(a)}, {right->span, describe(b)}});
  return false;
}

TypedPtr Binder::binary(const Expr& expr, const Binary& node, const Scope& scope) {
  if (node.op == BinaryOp::is || node.op == BinaryOp::is_not) return is_test(expr, node, scope);
  if (node.op == BinaryOp::logical_and || node.op == BinaryOp::logical_or) {
    const std::string what = node.op == BinaryOp::logical_and ? "each side of 'and'" : "each side of 'or'";
    TypedPtr a = bind_truth(node.left, scope, what);
    TypedPtr b = bind_truth(node.right, scope, what);
    if (!a || !b) return nullptr;
    return make_typed(expr.span, truth_type, typed::Binary{node.op, std::move(a), std::move(b)});
  }
  TypedPtr a = bind(node.left, scope);
  TypedPtr b = bind(node.right, scope);
  if (!a || !b) return nullptr;
  if (!is_comparison(node.op)) return arithmetic(expr, node.op, std::move(a), std::move(b));
  for (const TypedPtr& side : {a, b}) {
    if (side->type.kind == Kind::number) continue;
    out_.report(Code::wrong_type, side->span,
                fmt::format("only numbers have an order, this is {}", describe(side->type)),
                "use 'is' or 'one of (..)'");
    return nullptr;
  }
  if (!same_type(expr, a, b, "compared")) return nullptr;
  return make_typed(expr.span, truth_type, typed::Binary{node.op, std::move(a), std::move(b)});
}

TypedPtr Binder::arithmetic(const Expr& expr, BinaryOp op, TypedPtr left, TypedPtr right) {
  for (const TypedPtr& side : {left, right}) {
    if (side->type.kind == Kind::number) continue;
    out_.report(Code::wrong_type, side->span,
                fmt::format("only numbers can be calculated with, this is {}", describe(side->type)));
    return nullptr;
  }
  const auto temperature = [](const TypedPtr& side) {
    return side->type.dimension == dimension::temperature && !side->type.difference;
  };
  if (op == BinaryOp::multiply || op == BinaryOp::divide) {
    if (temperature(left) || temperature(right)) {
      out_.report(Code::wrong_type, expr.span, "a temperature can not be multiplied or divided",
                  "subtract two temperatures first: their difference can");
      return nullptr;
    }
    const Dimension dimension = op == BinaryOp::multiply ? left->type.dimension * right->type.dimension
                                                         : left->type.dimension / right->type.dimension;
    return make_typed(expr.span, number_of(dimension, dimension == dimension::temperature),
                      typed::Binary{op, std::move(left), std::move(right)});
  }
  if (temperature(left) && temperature(right)) {
    if (op == BinaryOp::subtract) {
      return make_typed(expr.span, number_of(dimension::temperature, true),
                        typed::Binary{op, std::move(left), std::move(right)});
    }
    out_.report(Code::wrong_type, expr.span, "two temperatures can not be added", "a temperature and a difference can");
    return nullptr;
  }
  if (left->type.dimension == dimension::temperature && right->type.dimension == dimension::temperature) {
    const bool point = temperature(left) || (op == BinaryOp::add && temperature(right));
    return make_typed(expr.span, number_of(dimension::temperature, !point),
                      typed::Binary{op, std::move(left), std::move(right)});
  }
  if (!same_type(expr, left, right, op == BinaryOp::add ? "added" : "subtracted")) return nullptr;
  const Type type = left->type;
  return make_typed(expr.span, type, typed::Binary{op, std::move(left), std::move(right)});
}

TypedPtr Binder::one_of(const Expr& expr, const OneOf& node, const Scope& scope) {
  TypedPtr value = bind(node.value, scope);
  if (!value) return nullptr;
  typed::OneOf typed{value, {}};
  bool good = true;
  for (const ExprPtr& item : node.items) {
    TypedPtr each = value->type.kind == Kind::state ? operand_state(item, value, scope) : bind(item, scope);
    if (each && !same_type(*item, typed.value, each, "compared")) each = nullptr;
    good = good && each != nullptr;
    typed.items.push_back(std::move(each));
  }
  return good ? make_typed(expr.span, truth_type, std::move(typed)) : nullptr;
}

TypedPtr Binder::conditional(const Expr& expr, const Conditional& node, const Scope& scope) {
  TypedPtr condition = bind_truth(node.condition, scope, "what stands after 'if'");
  TypedPtr a = bind(node.then_value, scope);
  TypedPtr b = bind(node.else_value, scope);
  if (!condition || !a || !b || !same_type(expr, a, b, "the two outcomes of one 'if'")) return nullptr;
  const Type type = a->type;
  return make_typed(expr.span, type, typed::Conditional{std::move(condition), std::move(a), std::move(b)});
}

TypedPtr Binder::aggregate(const Expr& expr, const Call& node, typed::Fold fold, const Scope& scope) {
  std::vector<typed::Loop> loops;
  Scope inner = scope;
  inner.loops = &loops;
  TypedPtr body = bind(node.arguments.front(), inner);
  if (!body) return nullptr;
  const bool number = fold == typed::Fold::max || fold == typed::Fold::min || fold == typed::Fold::worst;
  if (body->type.kind != (number ? Kind::number : Kind::truth)) {
    out_.report(Code::wrong_type, body->span,
                fmt::format("'{}' wants {}, this is {}", node.name, number ? "a number" : "true or false",
                            describe(body->type)));
    return nullptr;
  }
  if (loops.empty()) {
    out_.report(Code::nothing_to_run_over, expr.span, fmt::format("'{}' has no axis to run over here", node.name),
                "it runs over the axes of the readings inside it that no member fixes");
    return nullptr;
  }
  if (fold == typed::Fold::worst && !std::holds_alternative<typed::Reading>(body->node)) {
    out_.report(Code::wrong_arguments, body->span, "'worst' wants a reading alone: it looks at the reading's own aim");
    return nullptr;
  }
  if (fold == typed::Fold::worst) {
    const ReadingInfo& reading = program_.readings[std::get<typed::Reading>(body->node).ref.reading];
    if (!has_target(program_, reading)) {
      out_.report(Code::no_target, body->span, fmt::format("'{}' has no target", reading.name),
                  fmt::format("'worst' looks at the aim: add '{}:' to targets:, or write max or min", reading.name));
      return nullptr;
    }
  }
  const Type type = fold == typed::Fold::count ? number_of(dimension::number) : body->type;
  return make_typed(expr.span, type, typed::Aggregate{fold, std::move(loops), std::move(body)});
}

std::optional<ReadingRef> Binder::single_argument(const Expr& expr, const Call& call, const Scope& scope,
                                                  bool wants_target) {
  const Name* name = call.arguments.size() == 1 ? std::get_if<Name>(&call.arguments.front()->node) : nullptr;
  if (name == nullptr || reading_ids_.count(name->name) == 0) {
    if (name != nullptr && fact_ids_.count(name->name) == 0) {
      (void)bind(call.arguments.front(), scope);  // says what the name could be
      return std::nullopt;
    }
    out_.report(Code::wrong_arguments, expr.span,
                fmt::format("'{}' wants one reading: {}(relief)", call.name, call.name));
    return std::nullopt;
  }
  auto ref = reference(*call.arguments.front(), *name, scope);
  if (!ref || !wants_target) return ref;
  const ReadingInfo& reading = program_.readings[ref->reading];
  if (has_target(program_, reading)) return ref;
  out_.report(Code::no_target, call.arguments.front()->span, fmt::format("'{}' has no target", name->name),
              fmt::format("add '{}:' to targets:", name->name));
  return std::nullopt;
}

TypedPtr Binder::call(const Expr& expr, const Call& node, const Scope& scope) {
  const auto fold = fold_word(node.name);
  const bool several = node.arguments.size() > 1;
  if (fold && !several && !node.arguments.empty()) return aggregate(expr, node, *fold, scope);
  if (node.name == "min" || node.name == "max") {
    typed::Extreme typed{node.name == "max", {}};
    for (const ExprPtr& argument : node.arguments) {
      TypedPtr each = bind(argument, scope);
      if (!each) return nullptr;
      if (!typed.arguments.empty() && !same_type(expr, typed.arguments.front(), each, "compared")) return nullptr;
      typed.arguments.push_back(std::move(each));
    }
    if (typed.arguments.size() < 2 || typed.arguments.front()->type.kind != Kind::number) {
      out_.report(Code::wrong_arguments, expr.span, fmt::format("'{}' wants numbers", node.name));
      return nullptr;
    }
    const Type type = typed.arguments.front()->type;
    return make_typed(expr.span, type, std::move(typed));
  }
  if (node.name == "abs" && node.arguments.size() == 1) {
    TypedPtr operand = bind(node.arguments.front(), scope);
    if (!operand) return nullptr;
    if (operand->type.kind != Kind::number) {
      out_.report(Code::wrong_arguments, expr.span, "'abs' wants a number");
      return nullptr;
    }
    if (is_temperature(operand->type)) {
      out_.report(Code::wrong_type, expr.span, "a temperature has no sign to leave out",
                  "subtract two temperatures first: their difference has");
      return nullptr;
    }
    const Type type = operand->type;
    return make_typed(expr.span, type, typed::Absolute{std::move(operand)});
  }
  if (node.name == "aim" || node.name == "target" || node.name == "change") {
    const auto ref = single_argument(expr, node, scope, node.name != "change");
    if (!ref) return nullptr;
    const Type type = program_.readings[ref->reading].type;
    if (type.kind != Kind::number) {
      out_.report(Code::wrong_arguments, expr.span,
                  fmt::format("'{}' wants a reading that is a number, '{}' is {}", node.name,
                              program_.readings[ref->reading].name, describe(type)));
      return nullptr;
    }
    if (node.name == "aim") return make_typed(expr.span, type, typed::Aim{*ref});
    if (node.name == "target") return make_typed(expr.span, {Kind::range, {}, false, 0}, typed::Target{*ref});
    return make_typed(expr.span, number_of(type.dimension, type.dimension == dimension::temperature),
                      typed::Change{*ref});
  }
  const std::vector<std::string> known = builtin_names();
  if (std::count(known.begin(), known.end(), node.name) > 0) {
    out_.report(Code::wrong_arguments, expr.span, fmt::format("'{}' wants one argument", node.name));
  } else {
    out_.report(Code::unknown_function, node.name_span,
                fmt::format("unknown function '{}'{}", node.name, did_you_mean(node.name, known)),
                fmt::format("the functions: {}", fmt::join(known, ", ")));
  }
  return nullptr;
}

}  // namespace stringline
