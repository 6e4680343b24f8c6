// Which thing a name means: a fact, a reading at some members, the member at hand. See bind.h.
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "engine/check/bind.h"
#include "engine/check/members.h"
#include "engine/check/steps.h"
#include "engine/diag/suggest.h"

namespace stringline {
namespace {

std::uint64_t fact_steps(const FactInfo& fact) { return fact.value ? steps_of(*fact.value) : 0; }
std::uint64_t reading_steps(const ReadingInfo& reading) { return reading.formula ? reading.formula->steps : 0; }

std::vector<std::uint16_t> where(std::size_t size, const std::function<bool(std::size_t)>& chosen) {
  std::vector<std::uint16_t> members;
  for (std::size_t i = 0; i < size; ++i) {
    if (chosen(i)) members.push_back(static_cast<std::uint16_t>(i));
  }
  return members;
}

// With what is read and the states it may have: bridge_lean is the bridge_stance that may be leaning.
Known known_reading(const ReadingTree& tree) {
  Known known{tree.name.text, "", tree.of ? tree.of->text : ""};
  const auto* states = tree.is ? std::get_if<StatesTree>(&*tree.is) : nullptr;
  for (const Word& state : states == nullptr ? std::vector<Word>() : states->states) known.about += " " + state.text;
  return known;
}

const char* unknown_or_second(const Program& program, const ReadingInfo& reading, const std::string& word) {
  const auto known = [&](Axis axis) { return members_named(program, axis, word).has_value(); };
  return std::any_of(reading.axes.begin(), reading.axes.end(), known) ? "one member too many:" : "unknown member";
}

// "; did you mean 'bass'?", or what there is. A word of one or two letters is near to every other.
std::string members_of(const Program& program, const ReadingInfo& reading, const std::string& word) {
  std::vector<std::string> names;
  for (const Axis axis : reading.axes) {
    for (const AxisMember& member : program.axes[static_cast<std::size_t>(axis)]) names.push_back(member.name);
  }
  if (names.empty()) return fmt::format("; '{}' has no members", reading.name);
  for (const Axis axis : reading.axes) {
    if (members_named(program, axis, word)) return fmt::format("; its {} is named already", to_text(axis));
  }
  const auto near = word.size() > 2 ? nearest(word, names) : std::nullopt;
  if (near) return fmt::format("; did you mean '{}'?", *near);
  return "; known: " + known_members(program, reading.axes);
}

}  // namespace

const char* to_text(Axis axis) {
  switch (axis) {
    case Axis::side: return "side";
    case Axis::string: return "string";
    case Axis::fret: return "fret";
    case Axis::pickup: return "pickup";
  }
  return "";
}

std::optional<Axis> find_axis(const std::string& word) {
  for (const Axis axis : {Axis::side, Axis::string, Axis::fret, Axis::pickup}) {
    if (word == to_text(axis)) return axis;
  }
  return std::nullopt;
}

Binder::Binder(const LayeredProfile& profile, Program& program, Diagnostics& out)
    : profile_(profile), program_(program), out_(out) {}

void Binder::declare() {
  for (const auto& [name, choice] : profile_.choices) {
    state_set_ids_[name] = static_cast<StateSetId>(program_.state_sets.size());
    StateSet set{name, {}};
    for (const Word& state : choice.tree.states) set.states.push_back(state.text);
    program_.state_sets.push_back(std::move(set));
  }
  std::set<std::string> facts;
  for (const auto& [name, fact] : profile_.facts) facts.insert(name);
  for (const auto& [name, choice] : profile_.choices) facts.insert(name);
  for (const std::string& name : facts) {
    fact_ids_[name] = static_cast<FactId>(program_.facts.size());
    program_.facts.push_back({name, {}, {}, {}, false});
  }
  for (std::size_t i = 0; i < program_.readings.size(); ++i) {
    reading_ids_[program_.readings[i].name] = static_cast<ReadingId>(i);
  }
}

std::vector<std::string> Binder::known_names(const Scope& scope) const {
  std::vector<std::string> names;
  for (const auto& [name, id] : fact_ids_) names.push_back(name);
  for (const auto& [name, id] : reading_ids_) names.push_back(name);
  for (const Axis axis : {Axis::side, Axis::string, Axis::fret, Axis::pickup}) {
    if (scope.at_hand[static_cast<std::size_t>(axis)] || scope.loops != nullptr) names.emplace_back(to_text(axis));
  }
  if (scope.at_hand[static_cast<std::size_t>(Axis::string)] || scope.loops != nullptr) {
    names.insert(names.end(), {"gauge", "slot"});
  }
  if (scope.travel) names.emplace_back("travel");
  if (scope.total) names.emplace_back("total");
  return names;
}

namespace {

void add_loop(std::vector<typed::Loop>& loops, Axis axis, std::size_t size) {
  for (const typed::Loop& loop : loops) {
    if (loop.axis == axis) return;
  }
  loops.push_back({axis, where(size, [](std::size_t) { return true; })});
}

// One loop an axis: a bare name beside a group runs over the group. False where two groups differ.
bool add_group(std::vector<typed::Loop>& loops, typed::Loop group, std::size_t size) {
  for (typed::Loop& loop : loops) {
    if (loop.axis != group.axis) continue;
    const bool same = loop.members == group.members;
    const bool narrower = loop.members.size() == size;
    if (narrower) loop.members = std::move(group.members);
    return same || narrower || group.members.size() == size;
  }
  loops.push_back(std::move(group));
  return true;
}

}  // namespace

TypedPtr Binder::plain_name(const Expr& expr, const Name& node, const Scope& scope) {
  const auto size = [&](Axis axis) { return program_.axes[static_cast<std::size_t>(axis)].size(); };
  const auto reachable = [&](Axis axis) {
    if (scope.at_hand[static_cast<std::size_t>(axis)]) return true;
    if (scope.loops == nullptr || size(axis) == 0) return false;
    add_loop(*scope.loops, axis, size(axis));
    return true;
  };
  if (node.name == "travel" && scope.travel) {
    return make_typed(expr.span, {Kind::number, dimension::length, false, 0}, typed::Travel{});
  }
  if (node.name == "total" && scope.total) {
    return make_typed(expr.span, {Kind::number, dimension::money, false, 0}, typed::Total{});
  }
  if ((node.name == "gauge" || node.name == "slot") && reachable(Axis::string)) {
    return make_typed(expr.span, {Kind::number, dimension::length, false, 0}, typed::StringSize{node.name == "slot"});
  }
  const auto axis = find_axis(node.name);
  if (!axis || !reachable(*axis)) return nullptr;
  if (*axis == Axis::fret || *axis == Axis::string) {
    return make_typed(expr.span, {Kind::number, dimension::number, false, 0}, typed::AtHand{*axis});
  }
  const std::string set = std::string("a ") + to_text(*axis);
  auto found = state_set_ids_.find(set);
  if (found == state_set_ids_.end()) {
    StateSet members{set, {}};
    for (const AxisMember& member : program_.axes[static_cast<std::size_t>(*axis)])
      members.states.push_back(member.name);
    found = state_set_ids_.emplace(set, static_cast<StateSetId>(program_.state_sets.size())).first;
    program_.state_sets.push_back(std::move(members));
  }
  return make_typed(expr.span, {Kind::state, {}, false, found->second}, typed::AtHand{*axis});
}

TypedPtr Binder::fact_name(const Expr& expr, const Name& node) {
  if (!node.members.empty()) {
    out_.report(Code::unknown_member, node.member_spans.front(),
                fmt::format("the fact '{}' has no members", node.name));
    return nullptr;
  }
  const Type* type = fact_type(node.name);
  if (type == nullptr) return nullptr;
  use_fact(node.name);
  return make_typed(expr.span, *type, typed::Fact{fact_ids_.at(node.name)},
                    fact_steps(program_.facts[fact_ids_.at(node.name)]));
}

TypedPtr Binder::name(const Expr& expr, const Name& node, const Scope& scope) {
  if (fact_ids_.count(node.name) > 0) return fact_name(expr, node);
  if (reading_ids_.count(node.name) > 0) {
    const auto ref = reference(expr, node, scope);
    const Type* type = reading_type(node.name);
    if (!ref || type == nullptr) return nullptr;
    return make_typed(expr.span, *type, typed::Reading{*ref}, reading_steps(program_.readings[ref->reading]));
  }
  if (node.members.empty()) {
    if (TypedPtr found = plain_name(expr, node, scope)) return found;
  }
  const Span span = node.member_spans.empty()
                        ? expr.span
                        : Span{expr.span.source, expr.span.begin, node.member_spans.front().begin - 1};
  std::string hint;
  if (find_axis(node.name))
    hint = fmt::format("'{}' has a value only where something runs over it: for: {}, count(..)", node.name, node.name);
  if (node.name == "travel")
    hint = "'travel' is how far a job moves its control; only tell: of a job with moves: has it";
  if (node.name == "total") hint = "'total' is the bill before tax; it stands in deposit: of the house";
  for (const StateSet& set : program_.state_sets) {
    if (std::count(set.states.begin(), set.states.end(), node.name) > 0) {
      hint = fmt::format("'{}' is a state of '{}': write '{} is {}'", node.name, set.name, set.name, node.name);
    }
  }
  std::vector<Known> known;
  const std::vector<std::string> names = known_names(scope);
  for (const std::string& each : names) {
    if (names.size() > most_candidates) break;
    const bool reading = reading_ids_.count(each) > 0;
    known.push_back(reading ? known_reading(profile_.readings.at(each).tree) : Known{each, "", ""});
  }
  const std::string meant = hint.empty() ? did_you_mean_one_of(node.name, known) : std::string();
  out_.report(Code::unknown_name, span, fmt::format("unknown name '{}'{}", node.name, meant), hint);
  return nullptr;
}

std::optional<ReadingRef> Binder::reference(const Expr& expr, const Name& node, const Scope& scope) {
  const ReadingInfo& reading = program_.readings[reading_ids_.at(node.name)];
  if (reading.wrong) return std::nullopt;
  ReadingRef ref{reading_ids_.at(node.name), {}};
  std::vector<bool> taken(node.members.size(), false);
  for (const Axis axis : reading.axes) {
    AxisPick pick{axis, false, {}};
    bool bare = true;
    bool group = false;  // of however many members, none too
    for (std::size_t i = 0; i < node.members.size() && bare; ++i) {
      if (taken[i]) continue;
      if (const auto members = members_named(program_, axis, node.members[i])) {
        pick.members = members->first;
        group = !members->second && (members->first.size() != 1 || !names_one_course(axis, node.members[i]));
        taken[i] = true;
        bare = false;
      }
    }
    const auto at = static_cast<std::size_t>(axis);
    if (bare && scope.at_hand[at]) {
      pick.at_hand = true;
    } else if ((bare || group) && scope.loops != nullptr) {
      if (bare) {
        add_loop(*scope.loops, axis, program_.axes[at].size());
      } else if (!add_group(*scope.loops, {axis, pick.members}, program_.axes[at].size())) {
        out_.report(Code::wrong_arguments, expr.span,
                    fmt::format("one built-in can not run over two different groups of the axis '{}'", to_text(axis)),
                    "run over each of them by a built-in of its own");
        return std::nullopt;
      }
      pick = {axis, true, {}};
    } else if (bare || group) {
      std::vector<std::string> names;
      for (const AxisMember& member : program_.axes[at]) names.push_back(member.name);
      if (std::count(taken.begin(), taken.end(), false) > 0) break;  // reported below as an unknown member
      out_.report(Code::needs_member, expr.span,
                  fmt::format("'{}' is read for each {}; which one is meant?", node.name, to_text(axis)),
                  fmt::format("name one ({}.{}), or put any, all, min, max, count or worst round it", node.name,
                              names.empty() ? "1" : names.front()));
      return std::nullopt;
    }
    ref.picks.push_back(std::move(pick));
  }
  for (std::size_t i = 0; i < taken.size(); ++i) {
    if (taken[i]) continue;
    out_.report(Code::unknown_member, node.member_spans[i],
                fmt::format("{} '{}' of '{}'{}", unknown_or_second(program_, reading, node.members[i]), node.members[i],
                            node.name, members_of(program_, reading, node.members[i])));
    return std::nullopt;
  }
  if (reading.source == ReadingInfo::Source::computed && reading_type(node.name) == nullptr) return std::nullopt;
  return ref;
}

std::optional<ReadingId> Binder::find_reading(const Word& name) {
  const auto found = reading_ids_.find(name.text);
  if (found != reading_ids_.end()) return found->second;
  if (out_.is_full()) return std::nullopt;  // nothing more would be told
  std::vector<Known> known;
  for (const auto& [each, id] : reading_ids_) known.push_back(known_reading(profile_.readings.at(each).tree));
  const std::string meant = did_you_mean_one_of(name.text, known);
  out_.report(Code::unknown_reading, name.span, fmt::format("unknown reading '{}'{}", name.text, meant),
              meant.empty() ? fmt::format("'stringline sheet {}' lists what there is to read", profile_.name) : "");
  return std::nullopt;
}

std::optional<Binder::Reach> Binder::reach(const KeyPath& key) {
  const auto id = find_reading(key.name);
  if (!id) return std::nullopt;
  const ReadingInfo& reading = program_.readings[*id];
  if (reading.wrong) return std::nullopt;
  Reach reach{*id, {0}, 0, 0};
  std::vector<bool> taken(key.members.size(), false);
  for (const Axis axis : reading.axes) {
    const auto size = program_.axes[static_cast<std::size_t>(axis)].size();
    std::vector<std::uint16_t> members = where(size, [](std::size_t) { return true; });
    for (std::size_t i = 0; i < key.members.size(); ++i) {
      if (taken[i]) continue;
      const auto named = members_named(program_, axis, key.members[i].text);
      if (!named) continue;
      members = named->first;
      // Of two mates that can not be told apart yet the first speaks for the course.
      if (names_unwritten_mate(program_, axis, key.members[i].text) && key.members[i].text.back() != 'a')
        members.clear();
      taken[i] = true;
      if (named->second)
        ++reach.exact;
      else if (key.members[i].text != "all")
        ++reach.groups;
      break;
    }
    std::vector<PointId> next;
    for (const PointId base : reach.points) {
      for (const std::uint16_t member : members) next.push_back(base * static_cast<PointId>(size) + member);
    }
    reach.points = std::move(next);
  }
  for (std::size_t i = 0; i < taken.size(); ++i) {
    if (taken[i]) continue;
    out_.report(Code::unknown_member, key.members[i].span,
                fmt::format("{} '{}' of '{}'{}", unknown_or_second(program_, reading, key.members[i].text),
                            key.members[i].text, key.name.text, members_of(program_, reading, key.members[i].text)));
    return std::nullopt;
  }
  for (PointId& point : reach.points) point += reading.first;
  return reach;
}

void Binder::report_cycle(const std::string& name, Span span) {
  const auto start = std::find(path_.begin(), path_.end(), name);
  std::string chain;
  for (auto at = start; at != path_.end(); ++at) chain += *at + " -> ";
  std::vector<Related> related;
  for (auto at = start; at != path_.end(); ++at) {
    const auto fact = profile_.facts.find(*at);
    const auto reading = profile_.readings.find(*at);
    const Span place = fact != profile_.facts.end()         ? fact->second.tree.name.span
                       : reading != profile_.readings.end() ? reading->second.tree.name.span
                                                            : span;
    if (!(place == span)) related.push_back({place, fmt::format("'{}' is said here", *at)});
    progress_[*at] = Progress::wrong;
  }
  out_.report(Code::cycle, span, fmt::format("'{}' depends on itself: {}{}", name, chain, name),
              "one of them must be given by something else", std::move(related));
}

const Type* Binder::fact_type(const std::string& name) {
  Progress& progress = progress_[name];
  const FactId id = fact_ids_.at(name);
  if (progress == Progress::busy) {
    const auto found = profile_.facts.find(name);
    report_cycle(name, found->second.tree.name.span);
    return nullptr;
  }
  if (progress == Progress::waiting) {
    progress = Progress::busy;
    path_.push_back(name);
    bind_fact(name);
    path_.pop_back();
  }
  return progress_[name] == Progress::done ? &program_.facts[id].type : nullptr;
}

void Binder::bind_fact(const std::string& name) {
  const auto finish = [&](bool good) {
    if (progress_[name] == Progress::busy) progress_[name] = good ? Progress::done : Progress::wrong;
  };
  const FactId id = fact_ids_.at(name);
  const auto set = state_set_ids_.find(name);
  const auto layered = profile_.facts.find(name);
  Type type;
  if (set != state_set_ids_.end() && profile_.choices.count(name) > 0) type = {Kind::state, {}, false, set->second};
  if (layered == profile_.facts.end()) {  // a choice nobody made yet
    program_.facts[id].type = type;
    finish(true);
    return;
  }
  const FactTree& tree = layered->second.tree;
  program_.facts[id].origin = layered->second.origin;
  if (name == "frets" && program_.wrong_axes[static_cast<std::size_t>(Axis::fret)]) {  // told already
    program_.facts[id].type = {Kind::number, dimension::number, false, 0};
    finish(true);
    return;
  }
  if (const auto* list = std::get_if<std::vector<ExprPtr>>(&tree.value)) {
    Value value;
    value.kind = Kind::tuning;
    value.pitches.emplace();
    for (const ExprPtr& item : *list) {
      if (const auto* pitch = std::get_if<PitchLiteral>(&item->node)) value.pitches->push_back(pitch->pitch);
    }
    const bool tuning = value.pitches->size() == list->size();
    if (tuning) {
      const Type kind{Kind::tuning, {}, false, 0};
      program_.facts[id].type = kind;
      program_.facts[id].value =
          TypedChoice<TypedPtr>{tree.name.span, make_typed(tree.name.span, kind, typed::Constant{std::move(value)})};
    } else if (name != "pickups") {
      out_.report(Code::wrong_type, tree.name.span, fmt::format("the fact '{}' is a list that is no tuning", name),
                  "a list is a tuning [E4, B3, ..] or the names of the pickups");
    }
    finish(tuning);
    return;
  }
  const auto* choice = std::get_if<ExprChoice>(&tree.value);
  if (choice == nullptr) {
    if (name != "starts") {
      out_.report(Code::wrong_type, tree.name.span, fmt::format("the fact '{}' is a map without 'by'", name),
                  "write a value, a list, or a table 'by E:'");
    }
    finish(false);
    return;
  }
  std::optional<Type> first;
  if (type.kind == Kind::state) first = type;
  auto bound = bind_choice<ExprPtr, TypedPtr>(*choice, {}, [&](const ExprPtr& leaf) -> std::optional<TypedPtr> {
    TypedPtr value = first ? bind_as(leaf, *first, {}, fmt::format("the fact '{}'", name)) : bind(leaf);
    if (!value) return std::nullopt;
    if (!first) first = value->type;
    return value;
  });
  if (bound) {
    program_.facts[id].type = *first;
    program_.facts[id].value = std::move(bound);
  }
  finish(program_.facts[id].value.has_value());
}

const Type* Binder::reading_type(const std::string& name) {
  ReadingInfo& reading = program_.readings[reading_ids_.at(name)];
  if (reading.wrong) return nullptr;
  if (reading.source != ReadingInfo::Source::computed) return &reading.type;
  Progress& progress = progress_[name];
  if (progress == Progress::busy) {
    report_cycle(name, profile_.readings.at(name).tree.name.span);
    return nullptr;
  }
  if (progress == Progress::waiting) {
    progress = Progress::busy;
    path_.push_back(name);
    bind_formula(name);
    path_.pop_back();
  }
  return progress_[name] == Progress::done ? &reading.type : nullptr;
}

void Binder::bind_formula(const std::string& name) {
  const ReadingTree& tree = profile_.readings.at(name).tree;
  const ReadingId id = reading_ids_.at(name);
  TypedPtr formula = bind(std::get<ExprPtr>(*tree.is), scope_over(program_.readings[id].axes));
  if (progress_[name] != Progress::busy) return;
  progress_[name] = formula ? Progress::done : Progress::wrong;
  if (!formula) return;
  program_.readings[id].type = formula->type;
  program_.readings[id].formula = std::move(formula);
}

}  // namespace stringline
