// See facts.h.
#include "engine/check/facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

#include "engine/diag/suggest.h"

namespace stringline {
namespace {

// What a written value is, in words; nothing for what only binding can tell (a name, a calculation).
std::optional<std::string> kind_of(const Expr& expr) {
  if (const auto* number = std::get_if<Number>(&expr.node)) return describe(info(number->quantity.unit).dimension);
  if (std::holds_alternative<PitchLiteral>(expr.node)) return "a pitch";
  if (std::holds_alternative<TruthLiteral>(expr.node)) return "true or false";
  if (const auto* unary = std::get_if<Unary>(&expr.node)) {
    return unary->op == UnaryOp::negate ? kind_of(*unary->operand) : std::optional<std::string>("true or false");
  }
  return std::nullopt;
}

std::optional<std::string> kind_of(const ExprChoice& choice) {
  if (const auto* leaf = std::get_if<ExprPtr>(&choice.node)) return *leaf ? kind_of(**leaf) : std::nullopt;
  for (const auto& row : std::get<std::shared_ptr<const TableOf<ExprPtr>>>(choice.node)->rows) {
    if (auto kind = kind_of(row.value)) return kind;
  }
  return std::nullopt;
}

std::optional<std::string> kind_of(const FactTree& fact) {
  if (std::holds_alternative<std::vector<ExprPtr>>(fact.value)) return "a list";
  if (std::holds_alternative<std::vector<FactTree::MapItem>>(fact.value)) return "a map";
  return kind_of(std::get<ExprChoice>(fact.value));
}

Span value_of(const FactTree& fact) {
  const auto* choice = std::get_if<ExprChoice>(&fact.value);
  return choice != nullptr ? choice->span : fact.name.span;
}

}  // namespace

void state_facts(const std::vector<FactTree>& facts, LayeredProfile& profile, Diagnostics& out) {
  for (const FactTree& fact : facts) {
    const std::string& name = fact.name.text;
    const auto known = profile.facts.find(name);
    const auto& meant = facts_with_meaning();  // need not be declared
    if (known == profile.facts.end() && profile.choices.count(name) == 0 &&
        std::find(meant.begin(), meant.end(), name) == meant.end()) {
      if (out.is_full()) return;  // nothing more would be told
      std::vector<std::string> names;
      for (const auto& [each, tree] : profile.facts) names.push_back(each);
      for (const auto& [each, tree] : profile.choices) names.push_back(each);
      out.report(Code::unknown_fact, fact.name.span,
                 fmt::format("the profile has no fact '{}'{}", name, did_you_mean(name, names)),
                 "declare it under facts: or choices: of the profile");
      continue;
    }
    Origin origin{fact.name.span, {}};
    if (known != profile.facts.end()) origin.overrode.push_back(known->second.origin.span);
    profile.facts[name] = {fact, origin};
    profile.said[name].push_back(fact);
  }
}

void check_free_names(const LayeredProfile& profile, Diagnostics& out) {
  static const std::set<std::string> taken{"string", "fret",   "side",  "pickup", "gauge",
                                           "slot",   "travel", "total", "profile"};
  const auto look = [&](const std::string& name, Span span, const char* what) {
    if (taken.count(name) == 0) return;
    out.report(Code::reserved_name, span, fmt::format("a {} can not be called '{}'", what, name),
               fmt::format("expressions and tables have a meaning of their own for '{}'", name));
  };
  for (const auto& [name, fact] : profile.facts) look(name, fact.tree.name.span, "fact");
  for (const auto& [name, choice] : profile.choices) {
    if (profile.facts.count(name) == 0) look(name, choice.tree.name.span, "fact");
  }
  for (const auto& [name, reading] : profile.readings) look(name, reading.tree.name.span, "reading");
}

void check_fact_kinds(LayeredProfile& profile, Diagnostics& out) {
  for (auto& [name, said] : profile.said) {
    for (std::size_t at = 1; at < said.size(); ++at) {
      const auto below = kind_of(said[at - 1]);
      const auto above = kind_of(said[at]);
      if (!below || !above || *below == *above) continue;
      out.report(Code::fact_of_other_kind, value_of(said[at]),
                 fmt::format("the fact '{}' is {}, this is {}", name, *below, *above),
                 *above == "a plain number" ? "write the unit after the number" : "",
                 {{value_of(said[at - 1]), "the value it replaces"}});
      profile.facts.at(name).tree = said[at - 1];
      said.resize(at);
    }
  }
}

const std::vector<std::string>& facts_with_meaning() {
  static const std::vector<std::string> names{
      "scale",     "frets",        "body_joint", "tuning",      "pickups",         "starts",          "scales",
      "zero_fret", "clean_margin", "post_span",  "string_span", "string_material", "neck_shape_from", "neck_shape_to"};
  return names;
}

std::set<std::string> check_fact_names(const LayeredProfile& profile, const std::set<std::string>& used,
                                       Diagnostics& out) {
  std::set<std::string> idle;
  const std::vector<std::string>& meant = facts_with_meaning();
  std::map<SourceId, std::vector<std::string>>
      named_outside;  // of a file: the facts of all others, and those with a meaning
  for (const auto& [name, said] : profile.said) {
    const Span span = said.front().name.span;
    if (used.count(name) > 0 || profile.choices.count(name) > 0) continue;
    if (std::find(meant.begin(), meant.end(), name) != meant.end()) continue;
    const auto [others, fresh] = named_outside.emplace(span.source, meant);
    for (auto their = profile.said.begin(); fresh && their != profile.said.end(); ++their) {
      if (their->second.front().name.span.source != span.source) others->second.push_back(their->first);
    }
    const bool many = profile.said.size() > most_candidates;
    if (const auto near = many ? std::nullopt : nearest(name, others->second))
      out.report(Code::fact_nearly_named, span,
                 fmt::format("nothing uses the fact '{}'; did you mean '{}'?", name, *near));
    else
      idle.insert(name);
  }
  return idle;
}

}  // namespace stringline
