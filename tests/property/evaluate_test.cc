// Three-valued evaluation against every assignment of the unknown readings: decided exactly when all of them agree, and what is
// asked for is exactly what can still change the result.
#include "engine/check/evaluate.h"

#include <catch2/catch.hpp>
#include <functional>
#include <memory>
#include <random>
#include <set>
#include <string>

#include "tests/support/rounds.h"

using namespace stringline;

namespace {

constexpr int numbers = 5;                                             // readings 0..4: 0 or 10 mm
constexpr int states = 2;                                              // readings 5, 6: a or b
constexpr int per_string = 3;                                          // reading 7, three points: 0 or 10 mm
constexpr int verdicts = 2;                                            // readings 8, 9: their target is high, or not
constexpr int point_count = numbers + states + per_string + verdicts;  // 12, each with two values
constexpr int first_state = numbers;
constexpr int first_string = numbers + states;
constexpr int first_verdict = first_string + per_string;

Program small_program() {
  Program program;
  program.state_sets.push_back({"wood", {"a", "b"}});
  auto& strings = program.axes[static_cast<std::size_t>(Axis::string)];
  for (int i = 1; i <= per_string; ++i) strings.push_back({std::to_string(i), i});
  const auto add = [&](const std::string& name, Kind kind, std::vector<Axis> axes, PointId count) {
    ReadingInfo reading;
    reading.name = name;
    reading.axes = std::move(axes);
    reading.type.kind = kind;
    reading.type.dimension = kind == Kind::number ? dimension::length : Dimension{};
    reading.unit = kind == Kind::number ? Unit::mm : Unit::none;
    reading.first = static_cast<PointId>(program.points.size());
    reading.count = count;
    for (PointId i = 0; i < count; ++i) {
      PointInfo point;
      point.reading = static_cast<ReadingId>(program.readings.size());
      if (count > 1) point.at[static_cast<std::size_t>(Axis::string)] = static_cast<int>(i);
      point.name = name + (count > 1 ? "." + std::to_string(i + 1) : "");
      program.points.push_back(point);
    }
    program.readings.push_back(std::move(reading));
  };
  for (int i = 0; i < numbers; ++i) add("n" + std::to_string(i), Kind::number, {}, 1);
  for (int i = 0; i < states; ++i) add("s" + std::to_string(i), Kind::state, {}, 1);
  add("gap", Kind::number, {Axis::string}, per_string);
  for (int i = 0; i < verdicts; ++i) add("v" + std::to_string(i), Kind::number, {}, 1);
  program.target_of.assign(program.points.size(), -1);
  return program;
}

using Known = std::vector<std::optional<bool>>;  // by point; a high number, state b, the verdict high

// Some readings taken, the others not.
class Bench : public Surroundings {
 public:
  Bench(const Program& program, Known known) : program_(program), known_(std::move(known)) {}

  [[nodiscard]] Result reading(PointId point) const override {
    if (!known_[point]) return Nothing(program_).reading(point);
    const bool high = *known_[point];
    if (program_.reading_of(point).type.kind == Kind::state) return state_result(high ? "b" : "a");
    return number_result(Interval::exactly(high ? 10 : 0), Unit::mm);
  }
  [[nodiscard]] Result verdict_is(PointId point, Verdict verdict) const override {
    if (!known_[point]) return unknown_truth({{false, point}});
    return truth_result((verdict == Verdict::high) == *known_[point] ? Truth::yes : Truth::no);
  }
  [[nodiscard]] Result aim(PointId point) const override { return Nothing(program_).aim(point); }
  [[nodiscard]] std::string target_text(PointId point) const override { return Nothing(program_).target_text(point); }
  [[nodiscard]] Result change(PointId point) const override { return Nothing(program_).change(point); }

 private:
  const Program& program_;
  Known known_;
};

using World = std::vector<bool>;  // every point's value
using Naive = std::function<bool(const World&)>;

// An expression twice: as the engine has it, and as a plain function of the readings.
struct Twin {
  TypedPtr typed;
  Naive naive;
  std::string text;
};

const Type truth_type{Kind::truth, {}, false, 0};
const Type length_type{Kind::number, dimension::length, false, 0};
const Type count_type{Kind::number, dimension::number, false, 0};
const Type state_type{Kind::state, {}, false, 0};

template <class Node>
TypedPtr make(const Type& type, Node node) {
  auto typed = std::make_shared<Typed>();
  typed->type = type;
  typed->node = std::move(node);
  return typed;
}

TypedPtr number(int value, const Type& type = length_type) {
  Value constant;
  constant.number = Interval::exactly(value);
  constant.unit = type.dimension == dimension::length ? Unit::mm : Unit::none;
  return make(type, typed::Constant{constant});
}
TypedPtr truth(bool value) {
  Value constant;
  constant.kind = Kind::truth;
  constant.truth = value ? Truth::yes : Truth::no;
  return make(truth_type, typed::Constant{constant});
}
TypedPtr state(const std::string& value) {
  Value constant;
  constant.kind = Kind::state;
  constant.state = value;
  return make(state_type, typed::Constant{constant});
}
TypedPtr binary(BinaryOp op, TypedPtr left, TypedPtr right, const Type& type = truth_type) {
  return make(type, typed::Binary{op, std::move(left), std::move(right)});
}

// Random truths over the points. An atom is a comparison; atoms that differ have no reading in common, so each can be true and
// false whatever the others are. The same atom may stand in several places, written anew and also the other way round.
class Generator {
 public:
  explicit Generator(unsigned seed) : random_(seed) {}

  int below(int n) { return std::uniform_int_distribution<int>(0, n - 1)(random_); }
  bool one_in(int n) { return below(n) == 0; }

  Twin truth_of(int depth) {
    if (depth == 0 || one_in(6)) return atom();
    switch (below(8)) {
      case 0: return negated(truth_of(depth - 1));
      case 1: return conditional(truth_of(depth - 1), truth_of(depth - 1), truth_of(depth - 1));
      case 2: return constant();
      case 3:
      case 4:
      case 5: return joined(true, truth_of(depth - 1), truth_of(depth - 1));
      default: return joined(false, truth_of(depth - 1), truth_of(depth - 1));
    }
  }

  Known some_known(int unknown_in) {
    Known known(point_count);
    for (auto& each : known) {
      if (!one_in(unknown_in)) each = one_in(2);
    }
    return known;
  }

  static Twin joined(bool both, Twin a, Twin b) {
    const Naive naive = both ? Naive([a, b](const World& w) { return a.naive(w) && b.naive(w); })
                             : Naive([a, b](const World& w) { return a.naive(w) || b.naive(w); });
    return {binary(both ? BinaryOp::logical_and : BinaryOp::logical_or, a.typed, b.typed), naive,
            "(" + a.text + (both ? " and " : " or ") + b.text + ")"};
  }
  static Twin negated(Twin a) {
    return {make(truth_type, typed::Unary{UnaryOp::logical_not, a.typed}), [a](const World& w) { return !a.naive(w); },
            "not " + a.text};
  }
  static Twin conditional(Twin c, Twin a, Twin b) {
    return {make(truth_type, typed::Conditional{c.typed, a.typed, b.typed}),
            [a, b, c](const World& w) { return c.naive(w) ? a.naive(w) : b.naive(w); },
            "(if " + c.text + " then " + a.text + " else " + b.text + ")"};
  }

  Twin atom() {
    switch (below(6)) {
      case 0:
      case 1: return number_atom(below(3));
      case 2: return larger_atom();
      case 3: return state_atom(below(states));
      case 4: return verdict_atom(below(verdicts));
      default: return string_atom();
    }
  }

 private:
  Twin constant() {
    const bool value = one_in(2);
    return {truth(value), [value](const World&) { return value; }, value ? "true" : "false"};
  }

  static TypedPtr reading(int index, std::vector<AxisPick> picks = {}) {
    const auto id = static_cast<ReadingId>(index);
    const bool is_state = index >= first_state && index < first_state + states;
    return make(is_state ? state_type : length_type, typed::Reading{{id, std::move(picks)}});
  }

  // n over 5 mm, or its opposite, or `value` on the other side.
  Twin compared(const TypedPtr& value, const Naive& high, const std::string& name, const TypedPtr& limit,
                const std::string& limit_text) {
    const bool over = one_in(2);
    const Naive naive = over ? high : Naive([high](const World& w) { return !high(w); });
    return {binary(over ? BinaryOp::over : BinaryOp::at_most, value, limit), naive,
            name + (over ? " over " : " at most ") + limit_text};
  }

  Twin number_atom(int n) {
    const auto at = static_cast<std::size_t>(n);
    return compared(
        reading(n), [at](const World& w) { return w[at]; }, "n" + std::to_string(n), number(5), "5 mm");
  }

  // max(n3, n4) over 5 mm: one reading that is high is enough, and one that is low leaves it to the other.
  Twin larger_atom() {
    const TypedPtr larger = make(length_type, typed::Extreme{true, {reading(3), reading(4)}});
    return compared(
        larger, [](const World& w) { return w[3] || w[4]; }, "max(n3, n4)", number(5), "5 mm");
  }

  Twin state_atom(int s) {
    const auto at = static_cast<std::size_t>(first_state + s);
    const bool is = one_in(2);
    const Naive naive = is ? Naive([at](const World& w) { return w[at]; }) : [at](const World& w) { return !w[at]; };
    return {binary(is ? BinaryOp::is : BinaryOp::is_not, reading(first_state + s), state("b")), naive,
            "s" + std::to_string(s) + (is ? " is b" : " is not b")};
  }

  Twin verdict_atom(int v) {
    const auto at = static_cast<std::size_t>(first_verdict + v);
    const bool negated = one_in(2);
    const auto id = static_cast<ReadingId>(numbers + states + 1 + v);
    const Naive naive =
        negated ? Naive([at](const World& w) { return !w[at]; }) : [at](const World& w) { return w[at]; };
    return {make(truth_type, typed::VerdictIs{{id, {}}, Verdict::high, negated}), naive,
            "v" + std::to_string(v) + (negated ? " is not high" : " is high")};
  }

  // gap.2 over 5 mm; any, all or count over the strings.
  Twin string_atom() {
    constexpr ReadingId gap = numbers + states;
    constexpr std::size_t base = first_string;
    const auto at_hand = [] { return binary(BinaryOp::over, reading(gap, {{Axis::string, true, {}}}), number(5)); };
    const typed::Loop loop{Axis::string, {0, 1, 2}};
    const auto high = [](const World& w) { return (w[base] ? 1 : 0) + (w[base + 1] ? 1 : 0) + (w[base + 2] ? 1 : 0); };
    switch (below(2)) {
      case 0:
        return {make(truth_type, typed::Aggregate{typed::Fold::any, {loop}, at_hand()}),
                [high](const World& w) { return high(w) > 0; }, "any(gap over 5 mm)"};
      default:
        return {make(truth_type, typed::Aggregate{typed::Fold::all, {loop}, at_hand()}),
                [high](const World& w) { return high(w) == per_string; }, "all(gap over 5 mm)"};
    }
  }

  std::mt19937 random_;
};

// Every value of `expr` over the worlds that agree with `known`, and the points that make a difference in one of them.
struct Brute {
  bool can_be[2] = {false, false};
  std::set<PointId> matter;
};

Brute brute_force(const Naive& expr, const Known& known) {
  std::vector<std::size_t> open;
  World world(point_count);
  for (std::size_t i = 0; i < known.size(); ++i) {
    if (known[i])
      world[i] = *known[i];
    else
      open.push_back(i);
  }
  Brute result;
  for (std::uint32_t chosen = 0; chosen < (1U << open.size()); ++chosen) {
    for (std::size_t i = 0; i < open.size(); ++i) world[open[i]] = ((chosen >> i) & 1U) != 0;
    const bool value = expr(world);
    result.can_be[value ? 1 : 0] = true;
    for (const std::size_t point : open) {
      World other = world;
      other[point] = !other[point];
      if (expr(other) != value) result.matter.insert(static_cast<PointId>(point));
    }
  }
  return result;
}

std::string shown(const Known& known) {
  std::string text;
  for (const auto& each : known) text += !each ? '?' : *each ? '1' : '0';
  return text;
}

std::set<PointId> points_of(const std::vector<Need>& needs) {
  std::set<PointId> points;
  for (const Need& need : needs) points.insert(need.id);
  return points;
}

bool same_result(const Result& a, const Result& b) { return a.truth() == b.truth() && a.needs == b.needs; }

}  // namespace

TEST_CASE(
    "a truth is decided exactly when every assignment of the unknown readings agrees, and asks for nothing idle") {
  constexpr unsigned seed = 20'260'901;
  Generator generator(seed);
  const Program program = small_program();
  int open = 0;
  int settled_by_proof = 0;
  const int rounds = test::rounds(6'000);
  for (int round = 0; round < rounds; ++round) {
    const Twin twin = generator.truth_of(1 + round % 5);
    const Known known = generator.some_known(1 + round % 3);
    const Bench bench(program, known);
    const Result result = Evaluator(program, bench).evaluate(*twin.typed);
    const Brute brute = brute_force(twin.naive, known);
    INFO("seed " << seed << " round " << round << "\n" << twin.text << "\nknown " << shown(known));
    REQUIRE_FALSE(result.failure);
    const bool undecided = brute.can_be[0] && brute.can_be[1];
    REQUIRE((result.truth() == Truth::unknown) == undecided);
    if (!undecided) REQUIRE(result.truth() == (brute.can_be[1] ? Truth::yes : Truth::no));
    REQUIRE(points_of(result.needs) == brute.matter);
    open += undecided ? 1 : 0;
    settled_by_proof += !undecided && !brute.matter.empty() ? 1 : 0;
  }
  CHECK(open > rounds / 6);
  CHECK(settled_by_proof == 0);  // what is decided hangs on nothing
}

TEST_CASE("what was decided stays decided, and nothing new is asked for, when one more reading is taken") {
  constexpr unsigned seed = 20'260'902;
  Generator generator(seed);
  const Program program = small_program();
  for (int round = 0; round < 3'000; ++round) {
    const Twin twin = generator.truth_of(4);
    Known known = generator.some_known(2);
    const Result before = Evaluator(program, Bench(program, known)).evaluate(*twin.typed);
    const auto point = static_cast<std::size_t>(generator.below(point_count));
    if (known[point]) continue;
    known[point] = generator.one_in(2);
    const Result after = Evaluator(program, Bench(program, known)).evaluate(*twin.typed);
    INFO("seed " << seed << " round " << round << "\n" << twin.text << "\nknown " << shown(known));
    if (before.truth() != Truth::unknown) REQUIRE(after.truth() == before.truth());
    const auto asked = points_of(before.needs);
    for (const PointId need : points_of(after.needs)) REQUIRE(asked.count(need) == 1);
  }
}

TEST_CASE("the laws of Kleene and De Morgan hold, truths and needs alike") {
  constexpr unsigned seed = 20'260'903;
  Generator generator(seed);
  const Program program = small_program();
  for (int round = 0; round < 2'000; ++round) {
    const Twin a = generator.truth_of(3);
    const Twin b = generator.truth_of(3);
    const Known known = generator.some_known(2);
    const Bench bench(program, known);
    const auto value = [&](const Twin& twin) { return Evaluator(program, bench).evaluate(*twin.typed); };
    const auto both = [](const Twin& x, const Twin& y) { return Generator::joined(true, x, y); };
    const auto either = [](const Twin& x, const Twin& y) { return Generator::joined(false, x, y); };
    const auto inverse = [](const Twin& x) { return Generator::negated(x); };
    INFO("seed " << seed << " round " << round << "\na: " << a.text << "\nb: " << b.text << "\n" << shown(known));
    CHECK(same_result(value(inverse(inverse(a))), value(a)));
    CHECK(same_result(value(inverse(both(a, b))), value(either(inverse(a), inverse(b)))));
    CHECK(same_result(value(inverse(either(a, b))), value(both(inverse(a), inverse(b)))));
    CHECK(same_result(value(both(a, b)), value(both(b, a))));
    CHECK(same_result(value(either(a, b)), value(either(b, a))));
    CHECK(same_result(value(both(a, either(a, b))), value(a)));
    CHECK(same_result(value(Generator::conditional(a, b, b)), value(b)));
    CHECK(value(both(a, inverse(a))).truth() == Truth::no);
    CHECK(value(either(a, inverse(a))).truth() == Truth::yes);
  }
}

TEST_CASE("the tables of and, or and not have all nine and three rows") {
  constexpr Truth all[] = {Truth::no, Truth::unknown, Truth::yes};
  const auto rank = [](Truth t) { return t == Truth::no ? 0 : t == Truth::unknown ? 1 : 2; };
  for (const Truth a : all) {
    CHECK(rank(!a) == 2 - rank(a));
    for (const Truth b : all) {
      CHECK(rank(and_of(a, b)) == std::min(rank(a), rank(b)));
      CHECK(rank(or_of(a, b)) == std::max(rank(a), rank(b)));
    }
  }
}

TEST_CASE("a failure is never taken for false, but gives way where the result does not hang on it") {
  const Program program = small_program();
  const Bench bench(program, Known(point_count));
  const auto failing = [] {
    return binary(BinaryOp::over, binary(BinaryOp::divide, number(1), number(0, count_type), length_type), number(5));
  };
  const auto value = [&](const TypedPtr& typed) { return Evaluator(program, bench).evaluate(*typed); };
  CHECK(value(failing()).failure);
  CHECK(value(make(truth_type, typed::Unary{UnaryOp::logical_not, failing()})).failure);
  for (const bool swapped : {false, true}) {
    const auto joined = [&](BinaryOp op, const TypedPtr& other) {
      return swapped ? value(binary(op, other, failing())) : value(binary(op, failing(), other));
    };
    CHECK(joined(BinaryOp::logical_and, truth(false)).truth() == Truth::no);
    CHECK_FALSE(joined(BinaryOp::logical_and, truth(false)).failure);
    CHECK(joined(BinaryOp::logical_and, truth(true)).failure);
    CHECK(joined(BinaryOp::logical_or, truth(true)).truth() == Truth::yes);
    CHECK_FALSE(joined(BinaryOp::logical_or, truth(true)).failure);
    CHECK(joined(BinaryOp::logical_or, truth(false)).failure);
  }
}

namespace {

// A fact that hangs on the state s0 (a or b), with a value for either.
Program with_table(const Type& type, TypedPtr for_a, TypedPtr for_b) {
  Program program = small_program();
  TypedTable<TypedPtr> table;
  table.selector = make(state_type, typed::Reading{{first_state, {}}});
  for (const char* name : {"a", "b"}) {
    TypedRowKey key;
    key.kind = TypedRowKey::Kind::state;
    key.state = name;
    table.rows.push_back({key, TypedChoice<TypedPtr>{{}, name[0] == 'a' ? for_a : for_b}});
  }
  FactInfo fact;
  fact.name = "f";
  fact.type = type;
  fact.value = TypedChoice<TypedPtr>{{}, std::make_shared<const TypedTable<TypedPtr>>(table)};
  program.facts.push_back(fact);
  return program;
}

TypedPtr over_5(ReadingId reading) {
  return binary(BinaryOp::over, make(length_type, typed::Reading{{reading, {}}}), number(5));
}

std::set<PointId> asked(const Program& program, const Known& known, const Type& type) {
  const Bench bench(program, known);
  const Result result = Evaluator(program, bench).evaluate(*make(type, typed::Fact{0}));
  return points_of(result.needs);
}

}  // namespace

TEST_CASE("a table whose rows are all unknown asks for its selector and for its rows") {
  const Program program = with_table(truth_type, over_5(0), over_5(1));
  Known known(point_count);
  CHECK(asked(program, known, truth_type) == std::set<PointId>{0, 1, first_state});
  known[first_state] = false;
  CHECK(asked(program, known, truth_type) == std::set<PointId>{0});
  known[first_state].reset();
  known[0] = true;
  CHECK(asked(program, known, truth_type) == std::set<PointId>{1, first_state});
  known[1] = true;  // both rows say the same
  CHECK(asked(program, known, truth_type).empty());
  known[1] = false;
  CHECK(asked(program, known, truth_type) == std::set<PointId>{first_state});
}

TEST_CASE("a truth that hangs on a table keeps all that the table hangs on, whatever it is joined to") {
  for (const bool unknown_first : {false, true}) {
    const Program program =
        with_table(truth_type, unknown_first ? over_5(0) : truth(true), unknown_first ? truth(true) : over_5(0));
    const Bench bench(program, Known(point_count));
    const TypedPtr fact = make(truth_type, typed::Fact{0});
    const auto value = [&](const TypedPtr& typed) { return Evaluator(program, bench).evaluate(*typed); };
    const std::set<PointId> own{0, first_state};
    CHECK(points_of(value(fact).needs) == own);
    CHECK(points_of(value(make(truth_type, typed::Unary{UnaryOp::logical_not, fact})).needs) == own);
    CHECK(points_of(value(binary(BinaryOp::logical_and, fact, over_5(1))).needs) ==
          std::set<PointId>{0, 1, first_state});
  }
}

TEST_CASE("a number from a table is the hull of what its rows leave possible") {
  const auto n0 = make(length_type, typed::Reading{{0, {}}});
  const Program program = with_table(length_type, number(3), n0);
  Known known(point_count);
  known[0] = true;
  const Bench bench(program, known);
  const TypedPtr fact = make(length_type, typed::Fact{0});
  const Result between = Evaluator(program, bench).evaluate(*fact);
  CHECK(between.value.number == Interval{Ratio(3), Ratio(10), false});
  CHECK(points_of(between.needs) == std::set<PointId>{first_state});
  const auto over = [&](int limit) {
    return Evaluator(program, bench).evaluate(*binary(BinaryOp::over, fact, number(limit))).truth();
  };
  CHECK(over(2) == Truth::yes);
  CHECK(over(3) == Truth::unknown);
  CHECK(over(10) == Truth::no);
}

TEST_CASE("above the bound of proven unknowns the union of all atoms is asked for") {
  Program program = small_program();
  auto& strings = program.axes[static_cast<std::size_t>(Axis::string)];
  ReadingInfo reading;
  reading.name = "many";
  reading.axes = {Axis::string};
  reading.type = length_type;
  reading.first = static_cast<PointId>(program.points.size());
  reading.count = 14;
  typed::Loop loop{Axis::string, {}};
  for (PointId i = 0; i < reading.count; ++i) {
    if (i >= strings.size()) strings.push_back({std::to_string(i + 1), static_cast<int>(i) + 1});
    loop.members.push_back(static_cast<std::uint16_t>(i));
    PointInfo point;
    point.reading = static_cast<ReadingId>(program.readings.size());
    program.points.push_back(point);
  }
  const auto id = static_cast<ReadingId>(program.readings.size());
  program.readings.push_back(reading);
  const TypedPtr body =
      binary(BinaryOp::over, make(length_type, typed::Reading{{id, {{Axis::string, true, {}}}}}), number(5));
  const TypedPtr any = make(truth_type, typed::Aggregate{typed::Fold::any, {loop}, body});
  const Bench bench(program, Known(program.points.size()));
  const Result result = Evaluator(program, bench).evaluate(*any);
  CHECK(result.truth() == Truth::unknown);
  CHECK(result.needs.size() == 14);
}
