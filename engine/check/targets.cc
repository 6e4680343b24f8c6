// Targets and wants by point: the narrowest key of the latest layer wins, leaf by leaf. See passes.h.
#include <fmt/format.h>

#include <algorithm>

#include "engine/check/calls.h"
#include "engine/check/evaluate.h"
#include "engine/check/passes.h"

namespace stringline {
namespace {

Scope point_scope(const Program& program, ReadingId reading) { return scope_over(program.readings[reading].axes); }

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

void report_clash(const std::vector<Claim>& layer, const std::string& point, Binder& binder) {
  for (std::size_t i = 0; i + 1 < layer.size(); ++i) {
    const Claim& a = layer[i];
    const Claim& b = layer[i + 1];
    if (a.exact != b.exact || a.groups != b.groups || !a.tree->range || !b.tree->range) continue;
    binder.out().report(
        Code::groups_differ, b.tree->key.span, fmt::format("two groups of this file give '{}' a range", point),
        fmt::format("write a key for the member itself: {}", point), {{a.tree->key.span, "the other group"}});
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
      report_clash(layer, program.points[point].name, binder);
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
    if (tree.gap) target.gap = bind_gap(*tree.gap, profile, binder);
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

void bind_wants(const VisitTree& visit, Names&, Binder& binder) {
  Program& program = binder.program();
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
      want.range = *bound;
    } else {
      want.aim = binder.bind_as(std::get<ExprPtr>(tree.value), reading.type, {}, what);
      if (!want.aim) continue;
    }
    for (const PointId point : reach->points) {
      if (program.target_of[point] < 0) {
        binder.out().report(Code::no_target, tree.span, fmt::format("{} has no target to wish for", what));
        break;
      }
      program.targets[static_cast<std::size_t>(program.target_of[point])].want = want;
    }
  }
}

}  // namespace stringline
