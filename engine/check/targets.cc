// Targets and wants by point: the narrowest key of the latest layer wins, leaf by leaf. See passes.h.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <type_traits>

#include "engine/check/calls.h"
#include "engine/check/evaluate.h"
#include "engine/check/passes.h"

namespace stringline {
namespace {

Scope point_scope(const Program& program, ReadingId reading) {
  Scope scope = scope_over(program.readings[reading].axes);
  scope.one_point = true;
  return scope;
}

// The keys of one layer that reach a point, widest first.
struct Claim {
  const TargetTree* tree;
  int exact;
  int groups;
};

std::map<PointId, std::vector<std::vector<Claim>>> claims(const LayeredProfile& profile, Binder& binder) {
  std::map<PointId, std::vector<std::vector<Claim>>> all;
  for (std::size_t at = 0; at < profile.targets.size(); ++at) {
    for (const TargetTree* tree : profile.targets[at]) {
      const auto reach = binder.reach(tree->key);
      if (!reach) continue;
      for (const PointId point : reach->points) {
        auto& layers = all[point];
        layers.resize(profile.targets.size());
        layers[at].push_back({tree, reach->exact, reach->groups});
      }
    }
  }
  for (auto& [point, layers] : all) {
    for (auto& layer : layers) {
      std::stable_sort(layer.begin(), layer.end(), [](const Claim& a, const Claim& b) {
        return std::pair(a.exact, a.groups) < std::pair(b.exact, b.groups);
      });
    }
  }
  return all;
}

void merge(TargetTree& into, const TargetTree& from, Origin& origin) {
  take(into.phase, from.phase);
  if (from.when) into.when = from.when;
  if (from.range && origin.span.end > 0) origin.overrode.insert(origin.overrode.begin(), origin.span);
  if (from.range) origin.span = from.range->span;
  take(into.range, from.range);
  take(into.gap, from.gap);
  take(into.low, from.low);
  take(into.high, from.high);
  take(into.floor, from.floor);
  into.key = from.key;
}

bool alike(const ExprPtr& a, const ExprPtr& b) { return a && b ? same(*a, *b) : a == b; }
bool alike(const Word& a, const Word& b) { return a.text == b.text; }
bool alike(const RangeExpr& a, const RangeExpr& b) {
  return alike(a.lo, b.lo) && alike(a.hi, b.hi) && alike(a.aim, b.aim);
}
bool alike(const GapTree& a, const GapTree& b) {
  const auto each = [](const Word& x, const Word& y) { return alike(x, y); };
  if (!alike(a.at, b.at) || a.held.has_value() != b.held.has_value()) return false;
  return !a.held || std::equal(a.held->begin(), a.held->end(), b.held->begin(), b.held->end(), each);
}
template <class Leaf>
bool alike(const Choice<Leaf>& a, const Choice<Leaf>& b) {
  if (a.node.index() != b.node.index()) return false;
  if (const Leaf* leaf = std::get_if<Leaf>(&a.node)) return alike(*leaf, std::get<Leaf>(b.node));
  const TableOf<Leaf>& x = *std::get<1>(a.node);
  const TableOf<Leaf>& y = *std::get<1>(b.node);
  const auto row = [](const TableRow<Leaf>& p, const TableRow<Leaf>& q) {
    return p.key.kind == q.key.kind && p.key.member == q.key.member && alike(p.key.lo, q.key.lo) &&
           alike(p.key.hi, q.key.hi) && alike(p.value, q.value);
  };
  return alike(x.selector, y.selector) && std::equal(x.rows.begin(), x.rows.end(), y.rows.begin(), y.rows.end(), row);
}

// Two keys of one width that both reach a point and say different things of it. A narrower key that says the same thing too
// settles it, since it wins over both.
template <class Leaf>
bool clash(const std::vector<Claim>& layer, std::size_t at, Leaf TargetTree::*leaf) {
  const Claim& a = layer[at];
  const Claim& b = layer[at + 1];
  if (a.exact != b.exact || a.groups != b.groups || !(a.tree->*leaf) || !(b.tree->*leaf)) return false;
  for (std::size_t i = at + 2; i < layer.size(); ++i) {
    const bool narrower = layer[i].exact != b.exact || layer[i].groups != b.groups;
    if (narrower && layer[i].tree->*leaf) return false;
  }
  if constexpr (std::is_same_v<Leaf, ExprPtr>) {
    return !alike(a.tree->*leaf, b.tree->*leaf);
  } else {
    return !alike(*(a.tree->*leaf), *(b.tree->*leaf));
  }
}

void report_clash(const std::vector<Claim>& layer, Binder& binder) {
  for (std::size_t i = 0; i + 1 < layer.size(); ++i) {
    const char* what = clash(layer, i, &TargetTree::range)   ? "range"
                       : clash(layer, i, &TargetTree::low)   ? "low: job"
                       : clash(layer, i, &TargetTree::high)  ? "high: job"
                       : clash(layer, i, &TargetTree::floor) ? "floor"
                       : clash(layer, i, &TargetTree::phase) ? "phase"
                       : clash(layer, i, &TargetTree::when)  ? "when:"
                       : clash(layer, i, &TargetTree::gap)   ? "gap:"
                                                             : nullptr;
    if (what == nullptr) continue;
    binder.out().report(Code::groups_differ, layer[i + 1].tree->key.span,
                        fmt::format("two keys of this file give the same member a different {}", what),
                        "write a key for each member that both reach", {{layer[i].tree->key.span, "the other key"}});
  }
}

}  // namespace

// A range without readings in it is known at check: its ends must not cross and its aim must lie inside.
void check_ends(const TypedRange& range, Binder& binder) {
  const Program& program = binder.program();
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  const auto value = [&](const TypedPtr& end) -> std::optional<Ratio> {
    if (!end) return std::nullopt;
    const Result result = evaluator.evaluate(*end);
    return !result.failure && result.value.number.is_exact() ? result.value.number.lo : std::nullopt;
  };
  const auto lo = value(range.lo);
  const auto hi = value(range.hi);
  const auto aim = value(range.aim);
  if (lo && hi && *lo > *hi) {
    binder.out().report(Code::contradictory_range, range.span, "this range ends before it begins",
                        "write the smaller limit first");
  } else if (aim && ((lo && *aim < *lo) || (hi && *aim > *hi))) {
    binder.out().report(Code::contradictory_range, range.aim->span, "this aim lies outside its range");
  }
}

void declare_targets(const LayeredProfile& profile, Binder& binder) {
  Program& program = binder.program();
  for (const auto& [point, layers] : claims(profile, binder)) {
    program.target_of[point] = static_cast<int>(program.targets.size());
    TargetInfo target;
    target.point = point;
    program.targets.push_back(target);
  }
}

void bind_targets(const LayeredProfile& profile, Names& names, Binder& binder) {
  Program& program = binder.program();
  for (const auto& [point, layers] : claims(profile, binder)) {
    TargetInfo& target = program.targets[static_cast<std::size_t>(program.target_of[point])];
    TargetTree tree;
    for (const auto& layer : layers) {
      report_clash(layer, binder);
      for (const Claim& claim : layer) {
        if (claim.tree->removed)
          tree = TargetTree{};
        else
          merge(tree, *claim.tree, target.range_origin);
      }
    }
    const ReadingInfo& reading = program.reading_of(point);
    if (reading.wrong) continue;
    const Scope scope = point_scope(program, program.points[point].reading);
    target.span = tree.key.span;
    if (tree.phase) target.phase = names.phase(*tree.phase, binder.out()).value_or(-1);
    if (tree.when) target.when = binder.bind_truth(tree.when, scope, "when:");
    if (tree.gap && reading.source != ReadingInfo::Source::gap) {
      binder.out().report(Code::method_without_gap, tree.gap->span,
                          fmt::format("'{}' is no gap under the string, so it is read in one way only", reading.name),
                          "leave out gap:", {{reading.span, "the reading"}});
    } else if (tree.gap) {
      target.gap = bind_gap(*tree.gap, profile, binder);
    }
    if (tree.low) target.low = bind_job_choice(*tree.low, scope, names, binder);
    if (tree.high) target.high = bind_job_choice(*tree.high, scope, names, binder);
    const std::string what = fmt::format("'{}'", reading.name);
    if (tree.range) {
      target.range = binder.bind_choice<RangeExpr, TypedRange>(*tree.range, scope, [&](const RangeExpr& range) {
        return binder.bind_range(range, reading.type, scope, what);
      });
      if (target.range) {
        for_each_leaf(*target.range, [&](const TypedRange& range, Span) { check_ends(range, binder); });
      }
    }
    if (tree.floor) {
      target.floor = binder.bind_choice<ExprPtr, TypedPtr>(
          *tree.floor, scope, [&](const ExprPtr& leaf) -> std::optional<TypedPtr> {
            TypedPtr bound = binder.bind_as(leaf, reading.type, scope, "the floor of " + what);
            return bound ? std::optional(bound) : std::nullopt;
          });
    }
  }
}

namespace {

bool alike(const WantTree& a, const WantTree& b) {
  if (a.value.index() != b.value.index()) return false;
  if (const auto* range = std::get_if<RangeExpr>(&a.value)) return alike(*range, std::get<RangeExpr>(b.value));
  const auto* value = std::get_if<ExprPtr>(&a.value);
  return value == nullptr || alike(*value, std::get<ExprPtr>(b.value));
}

void wished_is_plausible(const TypedPtr& wish, const ReadingInfo& reading, Binder& binder) {
  if (!wish) return;
  const Nothing nothing(binder.program());
  const Result value = Evaluator(binder.program(), nothing).evaluate(*wish);
  if (!value.failure) (void)is_plausible(reading, value.value.number, value.value.unit, wish->span, binder);
}

// Which wish each point has: of two that reach it the narrower; two of one width that differ are a mistake.
class Wishes {
 public:
  explicit Wishes(Diagnostics& out) : out_(out) {}

  [[nodiscard]] bool take(PointId point, const WantTree& tree, const Binder::Reach& reach) {
    const auto rank = std::pair(reach.exact, reach.groups);
    auto& now = taken_[point];
    if (now.tree != nullptr && now.rank == rank && !alike(*now.tree, tree) && told_.insert(&tree).second) {
      out_.report(Code::groups_differ, tree.reading.span, "two wishes differ about the same member",
                  "write a key for each member that both reach", {{now.tree->reading.span, "the other wish"}});
    }
    if (now.tree != nullptr && now.rank > rank) return false;
    now = {&tree, rank};
    return true;
  }

 private:
  struct Taken {
    const WantTree* tree = nullptr;
    std::pair<int, int> rank;
  };
  Diagnostics& out_;
  std::map<PointId, Taken> taken_;
  std::set<const WantTree*> told_;
};

}  // namespace

void bind_wants(const VisitTree& visit, Names&, Binder& binder) {
  Program& program = binder.program();
  Wishes wishes(binder.out());
  for (const WantTree& tree : visit.wants) {
    const auto reach = binder.reach(tree.reading);
    if (!reach) continue;
    const ReadingInfo& reading = program.readings[reach->reading];
    Want want;
    want.span = tree.span;
    const std::string what = fmt::format("'{}'", reading.name);
    if (std::holds_alternative<WantTree::Leave>(tree.value)) {
      want.form = Want::Form::leave;
    } else if (const auto* range = std::get_if<RangeExpr>(&tree.value)) {
      want.form = Want::Form::range;
      const auto bound = binder.bind_range(*range, reading.type, {}, what);
      if (!bound) continue;
      check_ends(*bound, binder);
      for (const TypedPtr& end : {bound->lo, bound->hi, bound->aim}) wished_is_plausible(end, reading, binder);
      want.range = *bound;
    } else {
      want.aim = binder.bind_as(std::get<ExprPtr>(tree.value), reading.type, {}, what);
      if (!want.aim) continue;
      wished_is_plausible(want.aim, reading, binder);
    }
    for (const PointId point : reach->points) {
      if (program.target_of[point] < 0) {
        binder.out().report(Code::no_target, tree.span, fmt::format("{} has no target to wish for", what));
        break;
      }
      if (wishes.take(point, tree, *reach))
        program.targets[static_cast<std::size_t>(program.target_of[point])].want = want;
    }
  }
}

}  // namespace stringline
