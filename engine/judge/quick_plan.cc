// See quick_plan.h. Straight loops over tables, each row over all lanes, without a branch on a value.
#include "engine/judge/quick_plan.h"

#include <cstdint>

#include "engine/judge/quick_judge.h"

namespace stringline::quick {
namespace {

using Mask = std::int64_t __attribute__((vector_size(16)));  // of two lanes: all bits, or none

constexpr double no = 0;
constexpr double unknown = 1;
constexpr double yes = 2;
constexpr double fits = 4.6e18;  // 2^62: a fraction whose parts stay below never overflows

constexpr double code(Verdict verdict) { return static_cast<double>(verdict); }

Two both(double value) { return Two{value, value}; }
Two pick(Mask so, Two value, Two other) { return so ? value : other; }
// `value` where so, else 0.
Two where(Mask so, Two value) { return so ? value : Two{}; }
Two where(Mask so, double value) { return where(so, both(value)); }
Two size_of(Two value) { return pick(value < 0, -value, value); }

struct Ends {
  Lanes lo;
  Lanes hi;
};

class Run {
 public:
  Run(Plan& plan, const Lanes& parts) : plan_(plan), parts_(parts) {}

  void all() {
    for (const auto& [slot, value] : plan_.constants) plan_.truth[slot].fill(value);
    for (const Plan::Step& step : plan_.steps) one(step);
    for (const Slot wanted : plan_.left_unless) {
      const Lanes& truth = plan_.truth[wanted];
      in_all([&](std::size_t at) { doubt_.twos[at] += where(truth.twos[at] != yes, 1); });
    }
    plan_.doubt = doubt_;
  }

 private:
  template <class Each>
  static void in_all(Each each) {
    static_assert(lanes == 8);
    each(std::size_t{0});  // written out: what it works on then stays in registers
    each(std::size_t{1});
    each(std::size_t{2});
    each(std::size_t{3});
  }
  template <class Table, class Each>
  static void over(const Table& table, const Plan::Step& step, Each each) {
    for (std::uint32_t i = step.begin; i < step.end; ++i) each(table[i]);
  }

  void one(const Plan::Step& step) {
    using Kind = Plan::Step::Kind;
    switch (step.kind) {
      case Kind::judged: return over(plan_.judged, step, [this](const Judged& each) { judge(each); });
      case Kind::window_folds: return over(plan_.window_folds, step, [this](const Fold& each) { windows(each); });
      case Kind::mask_folds: return over(plan_.mask_folds, step, [this](const Fold& each) { masks(each); });
      case Kind::truth_folds: return over(plan_.truth_folds, step, [this](const Fold& each) { truths(each); });
      case Kind::sums: return over(plan_.sums, step, [this](const Sum& each) { sum(each); });
      case Kind::product_sums:
        return over(plan_.product_sums, step, [this](const ProductSum& each) { products(each); });
      case Kind::derived: return over(plan_.derived, step, [this](const Derived& each) { derive(each); });
      case Kind::derived_tests: return over(plan_.derived_tests, step, [this](const DerivedTest& each) { test(each); });
      case Kind::choices: return over(plan_.choices, step, [this](const Choice& each) { choose(each); });
    }
  }

  // Of the fold's parts `so` many are so, and `not_so` many are not.
  void settle(const Fold& fold, const Lanes& so, const Lanes& not_so) {
    const Two least = both(fold.least);
    const Two most = both(fold.most);
    const Two all = both(fold.n);
    const Two fragile = both(fold.fragile ? 1 : 0);
    Lanes& truth = plan_.truth[fold.out];
    in_all([&](std::size_t at) {
      const Two certain = so.twos[at];
      const Two possible = all - not_so.twos[at];
      const Two sure = where((certain >= least) & (possible <= most), 1);
      const Two never = where((possible < least) | (certain > most), 1);
      const Two found = 1 + sure - never;
      truth.twos[at] = found;
      doubt_.twos[at] += where(found == unknown, fragile);
    });
  }

  template <class Part>
  void count(const Fold& fold, Part part) {
    Lanes so;
    Lanes not_so;
    for (std::uint32_t i = fold.first, end = fold.first + static_cast<std::uint32_t>(fold.n); i < end; ++i)
      part(i, so, not_so);
    settle(fold, so, not_so);
  }

  void windows(const Fold& fold) {
    count(fold, [this](std::uint32_t i, Lanes& so, Lanes& not_so) {
      const Lanes& count = plan_.counts[plan_.windows.column[i]];
      const Two lo = both(plan_.windows.lo[i]);
      const Two hi = both(plan_.windows.hi[i]);
      in_all([&](std::size_t at) {
        const Two value = count.twos[at];
        so.twos[at] += where((value >= lo) & (value <= hi), 1);
        not_so.twos[at] += where((value < lo) | (value > hi), 1);
      });
    });
  }

  void masks(const Fold& fold) {
    count(fold, [this](std::uint32_t i, Lanes& so, Lanes& not_so) {
      const Lanes& verdict = plan_.verdict[plan_.masks.verdict[i]];
      const unsigned mask = plan_.masks.mask[i];
      for (const Verdict each : {Verdict::within, Verdict::high, Verdict::low, Verdict::not_applicable}) {
        Lanes& here = ((mask >> static_cast<unsigned>(each)) & 1U) != 0 ? so : not_so;
        in_all([&](std::size_t at) { here.twos[at] += where(verdict.twos[at] == code(each), 1); });
      }
    });
  }

  void truths(const Fold& fold) {
    count(fold, [this](std::uint32_t i, Lanes& so, Lanes& not_so) {
      const Lanes& truth = plan_.truth[plan_.parts[i]];
      in_all([&](std::size_t at) {
        so.twos[at] += where(truth.twos[at] == yes, 1);
        not_so.twos[at] += where(truth.twos[at] == no, 1);
      });
    });
  }

  void sum(const Sum& each) {
    Lanes value;
    value.fill(each.constant);
    for (std::uint32_t i = each.first; i < each.first + each.n; ++i) {
      const Lanes& count = plan_.counts[plan_.terms[i].column];
      const double factor = plan_.terms[i].factor;
      in_all([&](std::size_t at) { value.twos[at] += factor * count.twos[at]; });
    }
    plan_.counts[each.out] = value;
  }

  // The rounding of n products and their sum is below (n + degree + 2) units in the last place of the sum of magnitudes.
  void products(const ProductSum& each) {
    constexpr double unit = 1.0 / static_cast<double>(counts_per_unit);
    Lanes value;
    Lanes size;
    Lanes met;
    Lanes zero;
    value.fill(each.constant);
    size.fill(each.constant < 0 ? -each.constant : each.constant);
    for (std::uint32_t i = each.first; i < each.first + each.n; ++i) {
      const Product& term = plan_.products[i];
      Lanes product;
      Lanes bound;
      product.fill(term.factor);
      bound.fill(term.weight);
      for (std::int32_t factor = 0; factor < term.degree; ++factor) {
        const Lanes& count = plan_.counts[term.columns[static_cast<std::size_t>(factor)]];
        in_all([&](std::size_t at) {
          const Two base = size_of(count.twos[at]) * unit;
          product.twos[at] *= count.twos[at];
          bound.twos[at] *= pick(base > 1, base, both(1));
          zero.twos[at] += where(base == 0, 1);
        });
      }
      in_all([&](std::size_t at) {
        value.twos[at] += product.twos[at];
        size.twos[at] += size_of(product.twos[at]);
        met.twos[at] += bound.twos[at];
      });
    }
    Lanes denominators;
    denominators.fill(each.denominators);
    for (std::int32_t factor = 0; factor < each.degree; ++factor)
      in_all([&](std::size_t at) { denominators.twos[at] *= parts_.twos[at]; });
    const double rounding = (static_cast<double>(each.n) + 8.0) * 0x1p-51;
    in_all([&](std::size_t at) {
      const Two found = value.twos[at];
      const Two error = size.twos[at] * rounding;
      const Mask read = found == found;
      doubt_.twos[at] += where(~read, zero.twos[at]);  // nothing times what was not read is nothing
      doubt_.twos[at] += where(met.twos[at] * denominators.twos[at] > fits, 1);
      plan_.lo[each.out].twos[at] = pick(read, found - error, both(-endless));
      plan_.hi[each.out].twos[at] = pick(read, found + error, both(endless));
    });
  }

  void test(const DerivedTest& each) {
    const Ends value = ends(each.column);
    const Two near = both(each.near ? 1 : 0);
    in_all([&](std::size_t at) {
      const Two sure = where((value.lo.twos[at] >= each.lo) & (value.hi.twos[at] <= each.hi), 1);
      const Two never = where((value.hi.twos[at] < each.lo) | (value.lo.twos[at] > each.hi), 1);
      const Two found = 1 + sure - never;
      plan_.truth[each.out].twos[at] = found;
      doubt_.twos[at] += where((found == unknown) & (value.lo.twos[at] > -endless), near);
    });
  }

  Ends ends(Column column) const {
    if (plan_.plain[column] == 0) return {plan_.lo[column], plan_.hi[column]};
    const Lanes& count = plan_.counts[column];
    Ends value;
    in_all([&](std::size_t at) {
      const Mask read = count.twos[at] == count.twos[at];
      value.lo.twos[at] = pick(read, count.twos[at], both(-endless));
      value.hi.twos[at] = pick(read, count.twos[at], both(endless));
    });
    return value;
  }

  void derive(const Derived& each) {
    const Term* terms = &plan_.terms[each.first];
    Ends found = each.form == Derived::Form::sum ? Ends() : ends(terms[0].column);
    switch (each.form) {
      case Derived::Form::largest:
        for (std::uint32_t i = 1; i < each.n; ++i) larger(found, ends(terms[i].column));
        break;
      case Derived::Form::smallest:
        for (std::uint32_t i = 1; i < each.n; ++i) smaller(found, ends(terms[i].column));
        break;
      case Derived::Form::distance: away(found); break;
      case Derived::Form::sum:
        found.lo.fill(each.constant);
        found.hi.fill(each.constant);
        for (std::uint32_t i = 0; i < each.n; ++i) add(found, ends(terms[i].column), terms[i].factor);
        break;
      case Derived::Form::chosen: {
        const Lanes& is = plan_.truth[each.condition];
        const Ends other = ends(terms[1].column);
        in_all([&](std::size_t at) {
          doubt_.twos[at] += where(is.twos[at] == unknown, 1);
          found.lo.twos[at] = pick(is.twos[at] == no, other.lo.twos[at], found.lo.twos[at]);
          found.hi.twos[at] = pick(is.twos[at] == no, other.hi.twos[at], found.hi.twos[at]);
        });
        break;
      }
    }
    plan_.lo[each.out] = found.lo;
    plan_.hi[each.out] = found.hi;
  }

  static Two greater_of(Two a, Two b) { return pick(a > b, a, b); }
  static Two less_of(Two a, Two b) { return pick(a < b, a, b); }

  static void larger(Ends& found, const Ends& next) {
    in_all([&](std::size_t at) {
      found.lo.twos[at] = greater_of(found.lo.twos[at], next.lo.twos[at]);
      found.hi.twos[at] = greater_of(found.hi.twos[at], next.hi.twos[at]);
    });
  }

  static void smaller(Ends& found, const Ends& next) {
    in_all([&](std::size_t at) {
      found.lo.twos[at] = less_of(found.lo.twos[at], next.lo.twos[at]);
      found.hi.twos[at] = less_of(found.hi.twos[at], next.hi.twos[at]);
    });
  }

  static void away(Ends& found) {
    in_all([&](std::size_t at) {
      const Two lo = found.lo.twos[at];
      const Two hi = found.hi.twos[at];
      found.lo.twos[at] = pick(hi <= 0, -hi, pick(lo < 0, both(0), lo));
      found.hi.twos[at] = greater_of(hi, -lo);
    });
  }

  static void add(Ends& sum, const Ends& next, double factor) {
    in_all([&](std::size_t at) {
      const Two lo = next.lo.twos[at];
      const Two hi = next.hi.twos[at];
      const Two open = where(lo != hi, endless);
      sum.lo.twos[at] += factor > 0 ? factor * lo : factor < 0 ? factor * hi : -open;
      sum.hi.twos[at] += factor > 0 ? factor * hi : factor < 0 ? factor * lo : open;
    });
  }

  void choose(const Choice& each) {
    const Lanes& is = plan_.truth[each.condition];
    in_all([&](std::size_t at) {
      doubt_.twos[at] += where(is.twos[at] == unknown, 1);
      plan_.truth[each.out].twos[at] =
          pick(is.twos[at] == yes, plan_.truth[each.yes].twos[at], plan_.truth[each.no].twos[at]);
    });
  }

  static Two verdict_of(const Judged& each, Two value) {
    Two verdict =
        pick((value >= each.from) & (value <= each.to), both(code(Verdict::within)), both(code(Verdict::too_close)));
    verdict = pick(value <= each.low, both(code(Verdict::low)), verdict);
    verdict = pick(value >= each.high, both(code(Verdict::high)), verdict);
    return each.has_range ? verdict : both(code(Verdict::target_unknown));
  }

  void judge(const Judged& each) {
    Lanes& verdict = plan_.verdict[each.out];
    if (each.derived) {
      judge_ends(each, verdict);
    } else {
      const Lanes& count = plan_.counts[each.column];
      in_all([&](std::size_t at) {
        const Two value = count.twos[at];
        verdict.twos[at] = pick(value == value, verdict_of(each, value), both(code(Verdict::not_read)));
      });
    }
    if (each.when == no_slot) return;
    const Lanes& when = plan_.truth[each.when];
    in_all([&](std::size_t at) {
      verdict.twos[at] = pick(when.twos[at] == no, both(code(Verdict::not_applicable)), verdict.twos[at]);
    });
  }

  // In doubt where the ends differ in verdict, or one alone is open.
  void judge_ends(const Judged& each, Lanes& verdict) {
    const Ends value = ends(each.column);
    in_all([&](std::size_t at) {
      const Two lo = value.lo.twos[at];
      const Two hi = value.hi.twos[at];
      const Mask nothing = (lo == -endless) & (hi == endless);
      const Two found = verdict_of(each, lo);
      const Mask apart = each.near ? found != verdict_of(each, hi) : lo != hi;
      doubt_.twos[at] += where(apart & ~nothing, 1);
      verdict.twos[at] = pick(nothing, both(code(Verdict::not_read)), found);
    });
  }

  Plan& plan_;
  const Lanes& parts_;
  Lanes doubt_;
};

}  // namespace

void Plan::run(const std::array<const double*, lanes>& records, const Lanes& parts_of_a_unit) {
  for (Column column = 0; column < columns; ++column) {
    for (std::size_t lane = 0; lane < lanes; lane += 2)
      counts[column].twos[lane / 2] = Two{records[lane][column], records[lane + 1][column]};
  }
  Run(*this, parts_of_a_unit).all();
}

}  // namespace stringline::quick
