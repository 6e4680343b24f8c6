// Gates, stops, rules and jobs. See passes.h.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "engine/check/mentions.h"
#include "engine/check/passes.h"
#include "engine/diag/suggest.h"

namespace stringline {
namespace {

template <class Map>
std::vector<std::string> keys_of(const Map& map) {
  std::vector<std::string> names;
  for (const auto& [name, value] : map) names.push_back(name);
  return names;
}

std::optional<TypedText> bind_optional_text(const std::optional<TextExpr>& text, const Scope& scope, Binder& binder) {
  if (!text) return std::nullopt;
  return binder.bind_text(*text, scope);
}

std::string fee(const std::optional<Word>& charge, Names& names, Binder& binder) {
  if (!charge) return {};
  if (names.house != nullptr) {
    const auto& prices = names.house->prices;
    const auto is_it = [&](const PriceTree& price) { return price.name.text == charge->text; };
    if (std::none_of(prices.begin(), prices.end(), is_it) && names.told.insert("fee " + charge->text).second) {
      std::vector<std::string> known;
      for (const PriceTree& price : prices) known.push_back(price.name.text);
      binder.out().report(Code::unknown_fee, charge->span,
                          fmt::format("the house has no price '{}'{}", charge->text, did_you_mean(charge->text, known)),
                          "add it under prices: in house.yaml");
    }
  }
  return charge->text;
}

std::string in_lower_case(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

// `strings` stands for whatever set the instrument wears.
std::string part(const std::optional<Word>& uses, const Names& names, Binder& binder) {
  if (!uses) return {};
  if (uses->text != "strings" && names.house != nullptr) names.part(*uses, binder.out());
  return uses->text;
}

std::vector<TypedText> bind_texts(const std::optional<std::vector<TextExpr>>& texts, Binder& binder) {
  std::vector<TypedText> bound;
  if (!texts) return bound;
  for (const TextExpr& text : *texts) bound.push_back(binder.bind_text(text, {}));
  return bound;
}

// The reader has refused every other word.
std::optional<Control> find_control(const Word& word) {
  static const std::map<std::string, Control> controls{
      {"neck_bend", Control::neck_bend},         {"nut_height", Control::nut_height},
      {"saddle_height", Control::saddle_height}, {"saddle_place", Control::saddle_place},
      {"pickup_height", Control::pickup_height}, {"fret_plane", Control::fret_plane}};
  const auto found = controls.find(word.text);
  return found == controls.end() ? std::nullopt : std::optional(found->second);
}

}  // namespace

std::optional<int> Names::phase(const Word& word, Diagnostics& out) {
  const auto found = phases.find(word.text);
  if (found != phases.end()) return found->second;
  if (!told.insert("phase " + word.text).second) return std::nullopt;
  const char* whose = house != nullptr ? "the house's" : "this";
  const char* where = house != nullptr ? "in house.yaml" : "of the trials";
  out.report(Code::unknown_phase, word.span,
             fmt::format("{} order has no phase '{}'{}", whose, word.text, did_you_mean(word.text, keys_of(phases))),
             fmt::format("add it to order: {}, where its work comes", where),
             house != nullptr ? std::vector<Related>{{house->name.span, "the house"}} : std::vector<Related>());
  return std::nullopt;
}

std::optional<JobId> Names::job(const Word& word, Diagnostics& out) const {
  const auto found = jobs.find(word.text);
  if (found != jobs.end()) return found->second;
  if (out.is_full()) return std::nullopt;  // nothing more would be told
  out.report(Code::unknown_job, word.span,
             fmt::format("unknown job '{}'{}", word.text, did_you_mean_one_of(word.text, known_jobs)));
  return std::nullopt;
}

std::vector<std::string> Names::jobs_called(const std::string& label) const {
  const auto found = by_label.find(in_lower_case(label));
  return found == by_label.end() ? std::vector<std::string>() : found->second;
}

std::optional<JobId> Names::find_logged_job(const std::string& text) const {
  if (const auto named = jobs.find(text); named != jobs.end()) return named->second;
  const std::vector<std::string> called = jobs_called(text);
  return called.size() == 1 ? std::optional(jobs.at(called.front())) : std::nullopt;
}

std::optional<JobId> Names::logged_job(const Word& word, const char* of_package, Diagnostics& out) const {
  if (const auto found = find_logged_job(word.text)) return found;
  const std::vector<std::string> called = jobs_called(word.text);
  if (called.size() > 1) {
    out.report(Code::unknown_job, word.span,
               fmt::format("several jobs are called '{}': {}", word.text, fmt::join(called, ", ")),
               "write the name of the one that is meant");
    return std::nullopt;
  }
  for (const PackageTree& package : house != nullptr ? house->packages : std::vector<PackageTree>()) {
    const std::string label = package.label ? package.label->text : package.name.text;
    if (word.text != package.name.text && in_lower_case(word.text) != in_lower_case(label)) continue;
    out.report(Code::unknown_job, word.span, fmt::format("'{}' is a package, not a job", word.text), of_package);
    return std::nullopt;
  }
  return job(word, out);
}

void Names::part(const Word& word, Diagnostics& out) const {
  std::vector<std::string> known;
  for (const PartTree& part : house->parts) known.push_back(part.name.text);
  if (std::count(known.begin(), known.end(), word.text) > 0) return;
  out.report(Code::unknown_part, word.span,
             fmt::format("the house has no part '{}'{}", word.text, did_you_mean(word.text, known)),
             "add it under parts: in house.yaml, with its price");
}

namespace {

// The literal parts of what is said of it: its steps.
Known known_job(const JobTree& tree) {
  Known known{tree.name.text, tree.label ? tree.label->text : "", ""};
  for (const TextExpr& step : tree.steps.value_or(std::vector<TextExpr>())) {
    for (const TextPiece& piece : step.pieces) known.about += piece.text + " ";
  }
  return known;
}

}  // namespace

Names declare_names(const LayeredProfile& profile, const Book& book, Program& program, Diagnostics& out) {
  const HouseTree* house = book.house;
  Names names;
  names.house = house;
  names.order = house != nullptr ? &house->order : book.order;
  if (names.order != nullptr && names.order->empty()) names.order = nullptr;
  for (const auto& [name, job] : profile.jobs) {
    names.jobs[name] = static_cast<JobId>(program.jobs.size());
    JobInfo info;
    info.name = name;
    info.span = job.tree.name.span;
    program.jobs.push_back(std::move(info));
    names.known_jobs.push_back(known_job(job.tree));
    const std::string& label = names.known_jobs.back().label;
    if (!label.empty()) names.by_label[in_lower_case(label)].push_back(name);
  }
  std::vector<std::pair<std::string, Span>> phases;
  if (house != nullptr && house->order.empty()) {
    out.report(Code::no_order, house->name.span, "the house has no order: of phases, so no job has its turn",
               "list the phases in the order of work: order: [structure, rod, nut, bridge_height, final_check]");
  }
  if (names.order != nullptr) {
    for (const PhaseTree& phase : *names.order) phases.emplace_back(phase.name.text, phase.name.span);
  } else {  // a profile alone: its own phases, in the order of their names
    std::map<std::string, Span> own;
    for (const auto& [name, job] : profile.jobs) {
      if (job.tree.phase) own.emplace(job.tree.phase->text, job.tree.phase->span);
    }
    for (const auto& layer : profile.targets) {
      for (const TargetTree* target : layer) {
        if (target->phase) own.emplace(target->phase->text, target->phase->span);
      }
    }
    phases.assign(own.begin(), own.end());
  }
  for (auto& [name, span] : phases) {
    names.phases.emplace(name, static_cast<int>(program.phases.size()));
    program.phases.push_back({std::move(name), span});
  }
  return names;
}

std::optional<JobChoice> bind_job_choice(const NameChoice& choice, const Scope& scope, Names& names, Binder& binder) {
  return binder.bind_choice<Word, std::optional<JobId>>(choice, scope,
                                                        [&](const Word& word) -> std::optional<std::optional<JobId>> {
                                                          if (word.text == "none") return std::optional<JobId>();
                                                          const auto job = names.job(word, binder.out());
                                                          return job ? std::optional(job) : std::nullopt;
                                                        });
}

std::vector<JobChoice> bind_job_choices(const JobChoices& choices, const Scope& scope, Names& names, Binder& binder) {
  std::vector<JobChoice> bound;
  if (!choices) return bound;
  for (const NameChoice& choice : *choices) {
    if (auto one = bind_job_choice(choice, scope, names, binder)) bound.push_back(std::move(*one));
  }
  return bound;
}

std::vector<PointId> bind_points(const std::vector<KeyPath>& keys, Binder& binder) {
  const Program& program = binder.program();
  std::vector<PointId> points;
  for (const KeyPath& key : keys) {
    if (key.name.text == "gaps" || key.name.text == "all") {
      for (PointId point = 0; point < program.points.size(); ++point) {
        const ReadingInfo& reading = program.reading_of(point);
        const bool gap = reading.source == ReadingInfo::Source::gap;
        if (gap || (key.name.text == "all" && reading.source == ReadingInfo::Source::measured)) points.push_back(point);
      }
      continue;
    }
    if (const auto reach = binder.reach(key)) points.insert(points.end(), reach->points.begin(), reach->points.end());
  }
  std::sort(points.begin(), points.end());
  points.erase(std::unique(points.begin(), points.end()), points.end());
  return points;
}

void bind_gates(const LayeredProfile& profile, Names& names, Binder& binder) {
  for (const auto& [name, layered] : profile.gates) {
    const GateTree& tree = layered.tree;
    GateInfo gate;
    gate.name = name;
    gate.span = tree.name.span;
    if (tree.open_when)
      gate.open_when = binder.bind_truth(tree.open_when, {}, "open_when:");
    else
      binder.out().report(Code::missing_fact, tree.name.span, fmt::format("the gate '{}' has no open_when:", name),
                          "say what must be so for readings to count: open_when: strung is at_pitch");
    gate.jobs = bind_job_choices(tree.jobs, {}, names, binder);
    if (tree.voids) gate.voids = bind_points(*tree.voids, binder);
    if (tree.holds) {
      std::vector<KeyPath> held;
      for (const KeyPath& key : *tree.holds) {
        if (key.name.text == "visit")
          gate.holds_visit = true;
        else
          held.push_back(key);
      }
      gate.holds = bind_points(held, binder);
    }
    gate.charge = fee(tree.charge, names, binder);
    gate.say = bind_optional_text(tree.say, {}, binder);
    gate.for_owner = bind_optional_text(tree.for_owner, {}, binder);
    binder.program().gates.push_back(std::move(gate));
  }
}

void bind_stops(const LayeredProfile& profile, Names& names, Binder& binder) {
  for (const auto& [name, layered] : profile.stops) {
    const StopTree& tree = layered.tree;
    StopInfo stop;
    stop.name = name;
    stop.span = tree.name.span;
    if (tree.when)
      stop.when = binder.bind_truth(tree.when, {}, "when:");
    else
      binder.out().report(Code::missing_fact, tree.name.span, fmt::format("the stop '{}' has no when:", name),
                          "say what ends the work: when: structure is opens");
    stop.jobs = bind_job_choices(tree.jobs, {}, names, binder);
    stop.offers = bind_job_choices(tree.offers, {}, names, binder);
    stop.charge = fee(tree.charge, names, binder);
    stop.refer = bind_optional_text(tree.refer, {}, binder);
    stop.say = bind_optional_text(tree.say, {}, binder);
    stop.for_owner = bind_optional_text(tree.for_owner, {}, binder);
    binder.program().stops.push_back(std::move(stop));
  }
}

namespace {

std::optional<Axis> rule_axis(const Word& word, Binder& binder) {
  const auto axis = find_axis(word.text);
  if (!axis) {
    binder.out().report(
        Code::bad_axis, word.span,
        fmt::format("unknown axis '{}'{}", word.text, did_you_mean(word.text, {"side", "string", "fret", "pickup"})));
  }
  return axis;
}

}  // namespace

void bind_rules(const LayeredProfile& profile, Names& names, Binder& binder) {
  for (const auto& [name, layered] : profile.rules) {
    const RuleTree& tree = layered.tree;
    RuleInfo rule;
    rule.name = name;
    rule.span = tree.name.span;
    Scope scope;
    if (tree.over_axis) {
      rule.over = rule_axis(*tree.over_axis, binder);
      if (!rule.over) continue;  // what it says of a member at hand would be told as mistakes too
      scope = scope_over({*rule.over});
    }
    if (tree.when)
      rule.when = binder.bind_truth(tree.when, scope, "when:");
    else
      binder.out().report(Code::missing_fact, tree.name.span, fmt::format("the rule '{}' has no when:", name),
                          "say on what condition it speaks: when: relief over 0.3 mm");
    rule.jobs = bind_job_choices(tree.jobs, scope, names, binder);
    rule.offers = bind_job_choices(tree.offers, scope, names, binder);
    rule.because = bind_optional_text(tree.because, scope, binder);
    rule.say = bind_optional_text(tree.say, scope, binder);
    rule.for_owner = bind_optional_text(tree.for_owner, scope, binder);
    rule.choose = bind_texts(tree.choose, binder);
    if (!tree.jobs && !tree.offers && !tree.say && !tree.for_owner && !tree.choose) {
      binder.out().report(Code::rule_says_nothing, tree.name.span,
                          fmt::format("the rule '{}' has neither do:, offer:, say: nor for_owner:", name),
                          "say what follows from it; because: alone goes with a job");
    }
    binder.program().rules.push_back(std::move(rule));
  }
}

namespace {

bool alike(const SetTree& a, const SetTree& b) {
  return a.value && b.value ? same(*a.value, *b.value) : a.value == b.value;
}

// Which setting of a job has each member: of two that reach it the narrower; two of one width that differ are a mistake.
class Settings {
 public:
  void add(const SetTree& tree, const Binder::Reach& reach, std::size_t at, Diagnostics& out) {
    const std::pair rank(reach.exact, reach.groups);
    bool told = false;
    for (const PointId point : reach.points) {
      const auto [found, fresh] = claims_.emplace(point, Claim{&tree, rank, at});
      Claim& now = found->second;
      if (!fresh && !told && now.rank == rank && !alike(*now.tree, tree)) {
        told = true;
        out.report(Code::groups_differ, tree.reading.span, "two keys of this job set the same member differently",
                   "write a key for each member that both reach", {{now.tree->reading.span, "the other key"}});
      }
      if (now.rank < rank) now = {&tree, rank, at};
    }
  }

  // Leaves each member with its own setting alone.
  void settle(std::vector<JobInfo::Set>& sets) const {
    for (std::size_t at = 0; at < sets.size(); ++at) {
      std::vector<PointId>& points = sets[at].points;
      const auto is_others = [&](PointId point) { return claims_.at(point).at != at; };
      points.erase(std::remove_if(points.begin(), points.end(), is_others), points.end());
    }
    const auto is_empty = [](const JobInfo::Set& set) { return set.points.empty(); };
    if (sets.size() > 1) sets.erase(std::remove_if(sets.begin(), sets.end(), is_empty), sets.end());
  }

 private:
  struct Claim {
    const SetTree* tree;
    std::pair<int, int> rank;
    std::size_t at;
  };
  std::map<PointId, Claim> claims_;
};

void bind_sets(const JobTree& tree, JobInfo& job, Binder& binder) {
  if (!tree.sets) return;
  Settings settings;
  for (const SetTree& set : *tree.sets) {
    const auto reach = binder.reach(set.reading);
    if (!reach) continue;
    JobInfo::Set bound{reach->points, nullptr};
    const Type* type = binder.reading_type(set.reading.name.text);
    if (set.value && type != nullptr) {
      bound.value = type->kind == Kind::state || type->kind == Kind::number
                        ? binder.bind_as(set.value, *type, {}, fmt::format("'{}'", set.reading.name.text))
                        : binder.bind(set.value);
      if (!bound.value) continue;
    }
    settings.add(set, *reach, job.sets.size(), binder.out());
    job.sets.push_back(std::move(bound));
  }
  settings.settle(job.sets);
}

// Covered by the visit's package; a job that stands outside needs the owner's yes unless it says otherwise.
void cover(JobInfo& job, const JobTree& tree, Names& names, const VisitTree* visit, Program& program) {
  const bool own = tree.needs_yes.value_or(names.house != nullptr);  // without a house nobody is asked
  job.needs_yes = own;
  if (names.house == nullptr) return;
  const auto& packages = names.house->packages;
  std::string wanted = packages.empty() ? "none" : packages.front().name.text;
  if (visit != nullptr && visit->package) wanted = visit->package->text;
  for (const PackageTree& package : packages) {
    if (package.name.text != wanted) continue;
    program.package = package.label ? package.label->text : package.name.text;
    const auto listed = [](const std::vector<Word>& words, const std::string& name) {
      return std::any_of(words.begin(), words.end(), [&](const Word& word) { return word.text == name; });
    };
    std::vector<std::string> phases;
    for (const int phase : phases_of(program, names.jobs.at(job.name)))
      phases.push_back(program.phases[static_cast<std::size_t>(phase)].name);
    job.covered = listed(package.covers, job.name) ||
                  std::any_of(phases.begin(), phases.end(),
                              [&](const std::string& phase) { return listed(package.covers, phase); });
    if (listed(package.except, job.name)) job.covered = false;
  }
  if (job.covered) job.needs_yes = false;
}

}  // namespace

namespace {

// A control goes some length, or some turns of a screw.
void right_step(const JobTree& tree, const JobInfo& job, Binder& binder) {
  if (!job.moves || !job.work_to) return;
  const Dimension dimension = info(job.work_to->unit).dimension;
  if (dimension == dimension::length || dimension == dimension::number) return;
  binder.out().report(
      Code::wrong_unit, tree.name.span,
      fmt::format("'{}' moves a control by a length, its work_to: is {}", job.name, describe(dimension)),
      "such as 0.05 mm or 1/8 turns");
}

void rank_jobs(Names& names, Program& program) {
  if (names.order == nullptr) return;
  for (std::size_t phase = 0; phase < names.order->size(); ++phase) {
    int rank = 0;
    for (const Word& word : (*names.order)[phase].jobs) {
      const auto found = names.jobs.find(word.text);
      if (found != names.jobs.end()) program.jobs[found->second].ranks.emplace(static_cast<int>(phase), rank);
      ++rank;
    }
  }
}

}  // namespace

void bind_jobs(const LayeredProfile& profile, Names& names, const VisitTree* visit, Binder& binder) {
  Program& program = binder.program();
  for (const auto& [name, layered] : profile.jobs) {
    const JobTree& tree = layered.tree;
    JobInfo& job = program.jobs[names.jobs.at(name)];
    job.label = tree.label ? tree.label->text : name;
    if (tree.phase) job.phase = names.phase(*tree.phase, binder.out()).value_or(-1);
    job.routine = tree.routine.value_or(false);
    if (tree.moves) job.moves = find_control(*tree.moves);
    bind_sets(tree, job, binder);
    if (tree.disturbs) job.disturbs = bind_points(*tree.disturbs, binder);
    Scope scope;
    if (!job.sets.empty() && !job.sets.front().points.empty()) {
      scope = scope_over(program.reading_of(job.sets.front().points.front()).axes);
    }
    if (tree.by) {
      job.by =
          binder.bind_choice<ExprPtr, TypedPtr>(*tree.by, scope, [&](const ExprPtr& leaf) -> std::optional<TypedPtr> {
            TypedPtr bound = binder.bind_as(leaf, {Kind::number, dimension::length, false, 0}, scope, "by:");
            return bound ? std::optional(bound) : std::nullopt;
          });
    }
    scope.travel = tree.moves.has_value();
    for (const TellTree& tell : tree.tell.value_or(std::vector<TellTree>())) {
      auto value =
          binder.bind_choice<ExprPtr, TypedPtr>(tell.value, scope, [&](const ExprPtr& leaf) -> std::optional<TypedPtr> {
            TypedPtr bound = binder.bind(leaf, scope);
            return bound ? std::optional(bound) : std::nullopt;
          });
      if (value) job.tell.push_back({tell.name.text, std::move(*value)});
    }
    if (tree.work_to) job.work_to = tree.work_to->quantity;
    right_step(tree, job, binder);
    job.removes = tree.removes.value_or(false);
    job.uses = part(tree.uses, names, binder);
    if (tree.minutes) {
      job.minutes = tree.minutes->typical.quantity;
      job.minutes_span = {tree.minutes->low.quantity, tree.minutes->high.quantity};
    }
    if (tree.wait) job.wait = {tree.wait->low.quantity, tree.wait->high.quantity};
    job.steps = bind_texts(tree.steps, binder);
    job.cautions = bind_texts(tree.cautions, binder);
    job.if_left = bind_optional_text(tree.if_left, {}, binder);
    job.for_owner = bind_optional_text(tree.for_owner, {}, binder);
    job.aftercare = bind_texts(tree.aftercare, binder);
  }
  rank_jobs(names, program);
  for (const auto& [name, layered] : profile.jobs)
    cover(program.jobs[names.jobs.at(name)], layered.tree, names, visit, program);
}

}  // namespace stringline
