// See quick_tables.h.
#include "engine/judge/quick_tables.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/judge/quick_judge.h"
#include "engine/value/conformity.h"

namespace stringline::quick {
namespace {

constexpr double exact = 0x1p53;
constexpr double fits = 0x1p62;
constexpr std::int64_t finest = std::int64_t{1} << 40U;  // parts of a base unit

bool holds(BinaryOp op, Ratio difference) {
  const Ratio zero(0);
  switch (op) {
    case BinaryOp::over: return difference > zero;
    case BinaryOp::at_least: return difference >= zero;
    case BinaryOp::under: return difference < zero;
    case BinaryOp::at_most: return difference <= zero;
    default: return difference == zero;
  }
}

// The first count from which on `so`, which stays so; `guess` is near it.
template <class So>
double first_count(double guess, So so) {
  double high = std::ceil(guess);
  double step = 1;
  while (!so(high)) {
    high += step;
    step *= 2;
  }
  double low = high - 1;
  step = 1;
  while (so(low)) {
    low -= step;
    step *= 2;
  }
  while (high - low > 1) {
    const double middle = std::floor((low + high) / 2);
    (so(middle) ? high : low) = middle;
  }
  return high;
}

template <class Row>
void lay_out(std::vector<Row>& table, Plan::Step::Kind kind, std::vector<std::pair<int, Plan::Step>>& steps) {
  std::stable_sort(table.begin(), table.end(), [](const Row& a, const Row& b) { return a.level < b.level; });
  for (std::uint32_t begin = 0; begin < table.size();) {
    std::uint32_t end = begin;
    while (end < table.size() && table[end].level == table[begin].level) ++end;
    steps.emplace_back(table[begin].level, Plan::Step{kind, begin, end});
    begin = end;
  }
}

}  // namespace

Tables::Tables(std::size_t points) {
  if (points + 1 >= no_slot / 2) {
    refuse("more points than a plan holds");
    return;
  }
  plan_.columns = static_cast<Column>(points + 1);
  plan_.plain.assign(plan_.columns, 1);
  for (Column column = 0; column < plan_.columns; ++column)
    about_.push_back({0, static_cast<double>(largest_count), counts_per_unit, false, {column}});
}

void Tables::refuse(const std::string& why) {
  if (ok()) refused_ = why;
}

// ---- numbers

Number Tables::or_refuse(std::optional<Number> number) {
  if (!number) refuse("a number that does not fit");
  return number.value_or(Number());
}

bool Tables::all_plain(const Number& number) const {
  return std::all_of(number.parts.begin(), number.parts.end(), [&](const Number::Part& part) {
    return std::all_of(part.columns.begin(), part.columns.end(), [&](Column column) { return is_plain(column); });
  });
}

// Between two ends `m - m` is not nothing.
bool Tables::share_derived(const Number& a, const Number& b) const {
  for (const Number::Part& part : a.parts) {
    for (const Column column : part.columns) {
      const bool again = std::any_of(b.parts.begin(), b.parts.end(), [&](const Number::Part& other) {
        return std::count(other.columns.begin(), other.columns.end(), column) > 0;
      });
      if (again && !is_plain(column)) return true;
    }
  }
  return false;
}

Number Tables::negate(const Number& a) { return or_refuse(negated(a)); }

Number Tables::add(const Number& a, const Number& b) {
  if (share_derived(a, b)) refuse("a largest, smallest, distance or choice that stands twice in one number");
  return or_refuse(sum_of(a, b));
}

Number Tables::subtract(const Number& a, const Number& b) { return add(a, negate(b)); }

Number Tables::multiply(const Number& a, const Number& b) {
  const bool scaled = a.as_constant() || b.as_constant();
  if (!scaled && (!all_plain(a) || !all_plain(b))) refuse("a largest, smallest, distance or choice in a product");
  return or_refuse(product_of(a, b));
}

Number Tables::divide(const Number& a, const Number& b) {
  const auto by = b.as_constant();
  if (!by || *by == Ratio(0)) {
    refuse("a division by a reading");
    return {};
  }
  return or_refuse(divided(a, *by));
}

// The fewest parts of a base unit that make every factor whole; 0 where there are none.
std::int64_t Tables::whole_parts(const Number& number) const {
  std::int64_t parts = 1;
  for (const Number::Part& part : number.parts) {
    if (part.columns.size() > 1) return 0;
    const std::int64_t own = part.columns.empty() ? 1 : about_[part.columns.front()].parts;
    const auto unit = stringline::divide(part.factor, Ratio(own));
    if (!unit || unit->den() > finest) return 0;
    const std::int64_t step = unit->den() / std::gcd(unit->den(), parts);
    if (step > finest / parts) return 0;
    parts *= step;
  }
  return parts;
}

std::optional<Tables::Counts> Tables::counts_of(const Number& number, std::int64_t parts) const {
  Counts counts;
  for (const Number::Part& part : number.parts) {
    const std::int64_t own = part.columns.empty() ? 1 : about_[part.columns.front()].parts;
    const auto unit = Ratio::make(parts, own);
    const auto factor = unit ? stringline::multiply(part.factor, *unit) : std::nullopt;
    if (!factor || factor->den() != 1) return std::nullopt;
    const double value = factor->to_double();
    if (part.columns.empty()) {
      counts.constant = value;
      counts.largest += std::abs(value);
    } else {
      counts.terms.push_back({part.columns.front(), value});
      counts.largest += std::abs(value) * about_[part.columns.front()].largest;
    }
  }
  return counts.largest < exact ? std::optional(counts) : std::nullopt;
}

// Every fraction that `judge()` meets on its way to a sum fits.
bool Tables::always_fits(const Number& number) const {
  double met = 0;
  std::int64_t parts = 1;
  for (const Number::Part& part : number.parts) {
    double size = std::max(1.0, part.weight);
    for (const Column column : part.columns) {
      size *= std::max(1.0, about_[column].largest / static_cast<double>(about_[column].parts));
      parts = std::lcm(parts, about_[column].parts);
    }
    met += size;
  }
  return met * static_cast<double>(number.denominators) * static_cast<double>(parts) < fits;
}

void Tables::learn(About& about, Column from) const {
  about.level = std::max(about.level, about_[from].level);
  about.hangs_on.insert(about_[from].hangs_on.begin(), about_[from].hangs_on.end());
}

Column Tables::new_column(About about, bool plain) {
  if (about_.size() + 1 >= no_slot) refuse("more numbers than a plan holds");
  ++about.level;
  about_.push_back(std::move(about));
  plan_.plain.push_back(plain ? 1 : 0);
  return static_cast<Column>(about_.size() - 1);
}

// The column that holds this sum, made where there is none.
Column Tables::column_of(const Number& number, std::int64_t parts) {
  const auto counts = counts_of(number, parts);
  if (!counts || !ok()) {
    refuse("a sum too large or too fine for a plan");
    return never_read();
  }
  const std::vector<Term>& terms = counts->terms;
  if (terms.size() == 1 && counts->constant == 0 && terms.front().factor == 1) return terms.front().column;
  std::vector<std::pair<Column, double>> key;
  About about;
  about.parts = parts;
  about.largest = counts->largest;
  for (const Term& term : terms) {
    key.emplace_back(term.column, term.factor);
    learn(about, term.column);
  }
  const auto known = made_.find({key, counts->constant});
  if (known != made_.end()) return known->second;
  const bool plain = all_plain(number);
  const auto first = static_cast<std::uint32_t>(plan_.terms.size());
  const auto n = static_cast<std::uint32_t>(terms.size());
  plan_.terms.insert(plan_.terms.end(), terms.begin(), terms.end());
  const Column out = new_column(about, plain);
  if (plain)
    plan_.sums.push_back({first, n, counts->constant, out, about_[out].level});
  else
    plan_.derived.push_back({Derived::Form::sum, out, first, n, counts->constant, no_slot, about_[out].level});
  made_.emplace(std::pair(std::move(key), counts->constant), out);
  return out;
}

Number Tables::derive(Derived::Form form, const std::vector<Number>& from) {
  Derived derived;
  derived.form = form;
  return derive(derived, from, {});
}

Number Tables::choose(const Proposition& condition, const Number& yes, const Number& no) {
  Derived derived;
  derived.form = Derived::Form::chosen;
  derived.condition = truth(condition);
  if (!ok()) return {};
  About about;
  about.level = level_of_truth_[derived.condition];
  about.hangs_on = condition.mentions();
  return derive(derived, {yes, no}, std::move(about));
}

Number Tables::derive(Derived derived, const std::vector<Number>& from, About about) {
  if (from.empty()) refuse("there is nothing to run over");
  for (const Number& each : from) {
    const std::int64_t own = whole_parts(each);
    if (own == 0 || !always_fits(each)) {
      refuse("a largest, smallest, distance or choice of other numbers than sums");
      return {};
    }
    about.parts = std::lcm(about.parts, own);
    if (about.parts > finest) {
      refuse("a number too fine for a plan");
      return {};
    }
  }
  std::vector<Term> terms;
  for (const Number& each : from) {
    terms.push_back({column_of(each, about.parts), 1});
    if (!ok()) return {};
    learn(about, terms.back().column);
    about.largest = std::max(about.largest, about_[terms.back().column].largest);
  }
  derived.first = static_cast<std::uint32_t>(plan_.terms.size());
  derived.n = static_cast<std::uint32_t>(terms.size());
  plan_.terms.insert(plan_.terms.end(), terms.begin(), terms.end());
  derived.out = new_column(std::move(about), false);
  derived.level = about_[derived.out].level;
  plan_.derived.push_back(derived);
  return Number::column(derived.out);
}

Column Tables::product_column(const Number& number) {
  ProductSum sum;
  sum.first = static_cast<std::uint32_t>(plan_.products.size());
  sum.denominators = static_cast<double>(number.denominators);
  sum.degree = number.degree();
  sum.constant = number.constant_part().to_double();
  About about;
  about.near = true;
  for (const Number::Part& part : number.parts) {
    Product product;
    if (part.columns.empty()) continue;
    const bool of_record =
        std::all_of(part.columns.begin(), part.columns.end(), [&](Column column) { return column < plan_.columns; });
    if (part.columns.size() > product.columns.size() || !of_record) {
      refuse("a product of too many or derived numbers");
      return never_read();
    }
    std::copy(part.columns.begin(), part.columns.end(), product.columns.begin());
    product.degree = static_cast<std::int32_t>(part.columns.size());
    product.factor = part.factor.to_double();
    for (std::size_t i = 0; i < part.columns.size(); ++i) product.factor /= static_cast<double>(counts_per_unit);
    product.weight = std::max(1.0, part.weight);
    about.hangs_on.insert(part.columns.begin(), part.columns.end());
    plan_.products.push_back(product);
    ++sum.n;
  }
  sum.out = new_column(std::move(about), false);
  sum.level = about_[sum.out].level;
  plan_.product_sums.push_back(sum);
  return sum.out;
}

// ---- truths

Proposition Tables::compare(BinaryOp op, const Number& left, const Number& right) {
  if (op == BinaryOp::is_not) return !compare(BinaryOp::is, left, right);
  const Number difference = subtract(left, right);
  if (!ok()) return Proposition::constant(1);
  if (const auto known = difference.as_constant()) return Proposition::constant(holds(op, *known) ? 2 : 0);
  if (always_fits(left) && always_fits(right)) {
    if (auto exactly = window_of(op, difference)) return std::move(*exactly);
  }
  Number both = difference;
  both.denominators = std::max(left.denominators, right.denominators);
  const Column column = product_column(both);
  const bool up = op == BinaryOp::over || op == BinaryOp::at_least;
  const bool down = op == BinaryOp::under || op == BinaryOp::at_most;
  return Proposition::window(column, down ? -endless : 0, up ? endless : 0, about_[column].hangs_on);
}

// A sum against nothing: its columns against what is left. Counts are whole, so that "over" is "one more at least".
std::optional<Proposition> Tables::window_of(BinaryOp op, const Number& difference) {
  Number columns = difference;
  columns.parts.erase(std::remove_if(columns.parts.begin(), columns.parts.end(),
                                     [](const Number::Part& part) { return part.columns.empty(); }),
                      columns.parts.end());
  const std::int64_t parts = whole_parts(columns);
  if (parts == 0 || !counts_of(columns, parts)) return std::nullopt;
  const auto limit = stringline::negate(difference.constant_part());
  const auto below = limit ? floor_times(*limit, Ratio(parts)) : std::nullopt;
  const auto above = limit ? ceil_times(*limit, Ratio(parts)) : std::nullopt;
  if (!below || !above) return std::nullopt;
  const auto floor = static_cast<double>(*below);
  const auto ceil = static_cast<double>(*above);
  if (std::abs(floor) >= exact) return std::nullopt;
  const Column column = column_of(columns, parts);
  const auto window = [&](double lo, double hi) {
    return Proposition::window(column, lo, hi, about_[column].hangs_on);
  };
  switch (op) {
    case BinaryOp::over: return window(floor + 1, endless);
    case BinaryOp::at_least: return window(ceil, endless);
    case BinaryOp::under: return window(-endless, ceil - 1);
    case BinaryOp::at_most: return window(-endless, floor);
    default: return window(ceil, floor);
  }
}

Slot Tables::new_truth(std::size_t level) {
  if (plan_.truths + 1 >= no_slot) refuse("more conditions than a plan holds");
  level_of_truth_.push_back(static_cast<std::uint16_t>(level));
  return plan_.truths++;
}

Slot Tables::new_verdict(std::size_t level) {
  if (plan_.verdicts + 1 >= no_slot) refuse("more targets than a plan holds");
  level_of_verdict_.push_back(static_cast<std::uint16_t>(level));
  return plan_.verdicts++;
}

Slot Tables::truth(const Proposition& what) {
  if (!ok()) return 0;
  switch (what.form) {
    case Proposition::Form::constant: {
      const Slot slot = new_truth(0);
      plan_.constants.emplace_back(slot, what.value);
      return slot;
    }
    case Proposition::Form::window:
      return is_plain(what.column) ? fold(Proposition::count(1, 1, {what})) : derived_test(what);
    case Proposition::Form::verdict: return fold(Proposition::count(1, 1, {what}));
    case Proposition::Form::fold: return fold(what);
    case Proposition::Form::choice: {
      Choice choice;
      choice.condition = truth(what.parts[0]);
      choice.yes = truth(what.parts[1]);
      choice.no = truth(what.parts[2]);
      if (!ok()) return 0;
      choice.level = static_cast<std::uint16_t>(
          1 + std::max({level_of_truth_[choice.condition], level_of_truth_[choice.yes], level_of_truth_[choice.no]}));
      choice.out = new_truth(choice.level);
      plan_.choices.push_back(choice);
      return choice.out;
    }
  }
  return 0;
}

Slot Tables::derived_test(const Proposition& what) {
  DerivedTest test;
  test.column = what.column;
  test.near = about_[what.column].near;
  test.lo = what.lo;
  test.hi = what.hi;
  test.level = static_cast<std::uint16_t>(about_[what.column].level + 1);
  test.out = new_truth(test.level);
  plan_.derived_tests.push_back(test);
  return test.out;
}

// Parts that are all of one kind stand in that kind's table; others are truths of their own.
Slot Tables::fold(const Proposition& what) {
  using Form = Proposition::Form;
  const auto each = [&](auto is) {
    return !what.parts.empty() && std::all_of(what.parts.begin(), what.parts.end(), is);
  };
  Fold fold;
  fold.n = static_cast<std::int32_t>(what.parts.size());
  fold.least = what.least;
  fold.most = what.most;
  fold.fragile = what.fragile;
  std::vector<Fold>* into = &plan_.truth_folds;
  std::uint16_t highest = 0;
  if (each([&](const Proposition& part) { return part.form == Form::window && is_plain(part.column); })) {
    into = &plan_.window_folds;
    fold.first = static_cast<std::uint32_t>(plan_.windows.column.size());
    for (const Proposition& part : what.parts) {
      plan_.windows.column.push_back(part.column);
      plan_.windows.lo.push_back(part.lo);
      plan_.windows.hi.push_back(part.hi);
      highest = std::max(highest, about_[part.column].level);
    }
  } else if (each([](const Proposition& part) { return part.form == Form::verdict; })) {
    into = &plan_.mask_folds;
    fold.first = static_cast<std::uint32_t>(plan_.masks.verdict.size());
    for (const Proposition& part : what.parts) {
      plan_.masks.verdict.push_back(part.at);
      plan_.masks.mask.push_back(part.mask);
      highest = std::max(highest, level_of_verdict_[part.at]);
    }
  } else {
    std::vector<Slot> slots;
    for (const Proposition& part : what.parts) {
      slots.push_back(truth(part));
      if (!ok()) return 0;
      highest = std::max(highest, level_of_truth_[slots.back()]);
    }
    fold.first = static_cast<std::uint32_t>(plan_.parts.size());
    plan_.parts.insert(plan_.parts.end(), slots.begin(), slots.end());
  }
  fold.level = static_cast<std::uint16_t>(highest + 1);
  fold.out = new_truth(fold.level);
  into->push_back(fold);
  return fold.out;
}

// ---- verdicts

Slot Tables::verdict(const Number& value, const Limits& limits, const std::optional<Proposition>& when) {
  if (!ok()) return 0;
  Judged judged;
  if (when) {
    judged.when = truth(*when);
    if (!ok()) return 0;
    judged.level = level_of_truth_[judged.when];
  }
  judged.has_range = limits.lo || limits.hi;
  const std::int64_t parts = always_fits(value) ? whole_parts(value) : 0;
  if (parts != 0) {
    judged.column = column_of(value, parts);
    if (ok()) thresholds(judged, limits, parts);
  } else {
    judged.column = product_column(value);
    judged.near = true;
    if (limits.square != Ratio(0)) refuse("a product that is read to a step");
    if (limits.lo) judged.low = judged.from = limits.lo->to_double();
    if (limits.hi) judged.to = judged.high = limits.hi->to_double();
  }
  if (!ok()) return 0;
  judged.derived = !is_plain(judged.column);
  judged.level = static_cast<std::uint16_t>(1 + std::max(judged.level, about_[judged.column].level));
  judged.out = new_verdict(judged.level);
  plan_.judged.push_back(judged);
  return judged.out;
}

// Where the verdict changes, found by asking `judge_value` itself near the limits and the ends of the tool's doubt.
void Tables::thresholds(Judged& judged, const Limits& limits, std::int64_t parts) {
  const auto too_fine = [&](const std::optional<Ratio>& limit) {
    if (!limit) return false;
    const auto shared = static_cast<double>(std::gcd(limit->den(), parts));
    const double denominators = static_cast<double>(limit->den()) / shared * static_cast<double>(parts);
    const double largest = about_[judged.column].largest / static_cast<double>(parts);
    return (std::abs(limit->to_double()) + largest) * denominators >= fits;
  };
  const bool empty = limits.lo && limits.hi && *limits.lo > *limits.hi;
  if (too_fine(limits.lo) || too_fine(limits.hi) || empty) return refuse("a limit too fine for a plan");
  const auto is = [&](double count, const Tolerance& tolerance) {
    const auto value = Ratio::make(static_cast<std::int64_t>(count), parts);
    return judge_value(*value, tolerance, limits.square).value_or(Conformity::too_close);
  };
  const double doubt = std::sqrt(limits.square.to_double());
  const auto near = [&](double value, auto so) { return first_count(value * static_cast<double>(parts), so); };
  if (limits.lo) {
    const Tolerance only{limits.lo, std::nullopt};
    const double limit = limits.lo->to_double();
    judged.low = near(limit - doubt, [&](double count) { return is(count, only) != Conformity::low; }) - 1;
    judged.from = near(limit + doubt, [&](double count) { return is(count, only) == Conformity::within; });
  }
  if (limits.hi) {
    const Tolerance only{std::nullopt, limits.hi};
    const double limit = limits.hi->to_double();
    judged.to = near(limit - doubt, [&](double count) { return is(count, only) != Conformity::within; }) - 1;
    judged.high = near(limit + doubt, [&](double count) { return is(count, only) == Conformity::high; });
  }
}

void Tables::leave_unless(Slot truth) {
  if (ok()) plan_.left_unless.push_back(truth);
}

Plan Tables::finish() {
  using Kind = Plan::Step::Kind;
  std::vector<std::pair<int, Plan::Step>> steps;
  lay_out(plan_.sums, Kind::sums, steps);
  lay_out(plan_.judged, Kind::judged, steps);
  lay_out(plan_.window_folds, Kind::window_folds, steps);
  lay_out(plan_.mask_folds, Kind::mask_folds, steps);
  lay_out(plan_.truth_folds, Kind::truth_folds, steps);
  lay_out(plan_.product_sums, Kind::product_sums, steps);
  lay_out(plan_.derived, Kind::derived, steps);
  lay_out(plan_.derived_tests, Kind::derived_tests, steps);
  lay_out(plan_.choices, Kind::choices, steps);
  std::stable_sort(steps.begin(), steps.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (const auto& [level, step] : steps) plan_.steps.push_back(step);
  plan_.counts.resize(about_.size());
  plan_.lo.resize(about_.size());
  plan_.hi.resize(about_.size());
  plan_.truth.resize(plan_.truths);
  plan_.verdict.resize(plan_.verdicts);
  return std::move(plan_);
}

}  // namespace stringline::quick
