#include "engine/check/layer.h"

namespace stringline {
namespace {

void overlay(FactTree& base, const FactTree& over) {
  auto* below = std::get_if<ExprChoice>(&base.value);
  const auto* above = std::get_if<ExprChoice>(&over.value);
  if (below != nullptr && above != nullptr)
    *below = overlaid(*below, *above);
  else
    base.value = over.value;
  base.name = over.name;
}
void overlay(ChoiceTree& base, const ChoiceTree& over) { base = over; }
void overlay(ReadingTree& base, const ReadingTree& over) {
  base.name = over.name;
  take(base.per, over.per);
  if (over.gap) base.is.reset();
  if (over.is) base.gap.reset();
  take(base.gap, over.gap);
  take(base.is, over.is);
  take(base.of, over.of);
  take(base.with, over.with);
  if (over.read_to) base.read_to_span = over.read_to_span;
  take(base.read_to, over.read_to);
  take(base.repeat, over.repeat);
  take(base.plausible, over.plausible);
  take(base.good_for, over.good_for);
  take(base.follows, over.follows);
  take(base.assume, over.assume);
  take(base.for_owner, over.for_owner);
}
void overlay(GateTree& base, const GateTree& over) {
  base.name = over.name;
  take(base.open_when, over.open_when);
  take(base.jobs, over.jobs);
  take(base.voids, over.voids);
  take(base.holds, over.holds);
  take(base.charge, over.charge);
  take(base.say, over.say);
  take(base.for_owner, over.for_owner);
}
void overlay(StopTree& base, const StopTree& over) {
  base.name = over.name;
  take(base.when, over.when);
  take(base.jobs, over.jobs);
  take(base.offers, over.offers);
  take(base.charge, over.charge);
  take(base.refer, over.refer);
  take(base.say, over.say);
  take(base.for_owner, over.for_owner);
}
void overlay(RuleTree& base, const RuleTree& over) {
  base.name = over.name;
  take(base.over_axis, over.over_axis);
  take(base.when, over.when);
  take(base.jobs, over.jobs);
  take(base.offers, over.offers);
  take(base.because, over.because);
  take(base.say, over.say);
  take(base.for_owner, over.for_owner);
  take(base.choose, over.choose);
}
void overlay(JobTree& base, const JobTree& over) {
  base.name = over.name;
  take(base.label, over.label);
  take(base.phase, over.phase);
  take(base.routine, over.routine);
  take(base.moves, over.moves);
  take(base.by, over.by);
  take(base.sets, over.sets);
  take(base.disturbs, over.disturbs);
  take(base.tell, over.tell);
  take(base.work_to, over.work_to);
  take(base.removes, over.removes);
  take(base.uses, over.uses);
  take(base.minutes, over.minutes);
  take(base.wait, over.wait);
  take(base.steps, over.steps);
  take(base.cautions, over.cautions);
  take(base.needs_yes, over.needs_yes);
  take(base.if_left, over.if_left);
  take(base.for_owner, over.for_owner);
  take(base.aftercare, over.aftercare);
}

template <class Tree>
void put(std::map<std::string, Layered<Tree>>& into, const std::vector<Tree>& trees) {
  for (const Tree& tree : trees) {
    const auto found = into.find(tree.name.text);
    if constexpr (requires { tree.removed; }) {
      if (tree.removed) {
        into.erase(tree.name.text);
        continue;
      }
    }
    if (found == into.end()) {
      into.emplace(tree.name.text, Layered<Tree>{tree, {tree.name.span, {}}});
      continue;
    }
    overlay(found->second.tree, tree);
    auto& overrode = found->second.origin.overrode;
    overrode.insert(overrode.begin(), found->second.origin.span);
    found->second.origin.span = tree.name.span;
  }
}

}  // namespace

LayeredProfile layer(const std::vector<const ProfileTree*>& layers) {
  LayeredProfile all;
  for (const ProfileTree* tree : layers) {
    all.name = tree->name.text;
    if (tree->label) all.label = tree->label->text;
    put(all.facts, tree->facts);
    for (const FactTree& fact : tree->facts) all.said[fact.name.text].push_back(fact);
    put(all.choices, tree->choices);
    put(all.readings, tree->readings);
    put(all.gates, tree->gates);
    put(all.stops, tree->stops);
    put(all.rules, tree->rules);
    put(all.jobs, tree->jobs);
    std::vector<const TargetTree*> targets;
    for (const TargetTree& target : tree->targets) targets.push_back(&target);
    all.targets.push_back(std::move(targets));
  }
  if (all.label.empty()) all.label = all.name;
  return all;
}

}  // namespace stringline
