// See schema.h.
#include "engine/paper/schema.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "engine/paper/output_schema.h"
#include "engine/syntax/keys.h"

namespace stringline {
namespace {

using Json = nlohmann::ordered_json;
using Context = KeyContext;

Json refer(const std::string& name) { return {{"$ref", "#/$defs/" + name}}; }
Json any_of(std::vector<Json> all) { return {{"anyOf", std::move(all)}}; }
Json list_of(Json item) { return {{"type", "array"}, {"items", std::move(item)}}; }

// Which maps stand under a key: one, one for each name of the author's, a list of them, or one beside a scalar.
enum class Form { one, named, named_or_none, entries };
struct Nested {
  Context in;
  const char* key;
  Context what;
  Form form;
};
constexpr Nested nested[] = {
    {Context::house, "show", Context::show, Form::one},
    {Context::house, "bench", Context::bench, Form::one},
    {Context::house, "packages", Context::package, Form::named},
    {Context::house, "prices", Context::price, Form::named},
    {Context::house, "parts", Context::part, Form::named},
    {Context::house, "tax", Context::tax, Form::one},
    {Context::house, "storage", Context::storage, Form::one},
    {Context::house, "estimate", Context::estimate, Form::one},
    {Context::house, "handover", Context::handover, Form::one},
    {Context::profile, "readings", Context::reading, Form::named_or_none},
    {Context::profile, "targets", Context::target, Form::named_or_none},
    {Context::profile, "gates", Context::gate, Form::named_or_none},
    {Context::profile, "stops", Context::stop, Form::named_or_none},
    {Context::profile, "rules", Context::rule, Form::named_or_none},
    {Context::profile, "jobs", Context::job, Form::named_or_none},
    {Context::reading, "gap", Context::gap, Form::one},
    {Context::target, "gap", Context::gap, Form::one},
    {Context::job, "minutes", Context::minutes, Form::one},
    {Context::trials, "usual", Context::usual, Form::one},
    {Context::usual, "instrument", Context::instrument, Form::one},
    {Context::usual, "player", Context::player, Form::one},
    {Context::trial, "instrument", Context::instrument, Form::one},
    {Context::trial, "player", Context::player, Form::one},
    {Context::trial, "log", Context::entry, Form::entries},
    {Context::visit, "owner", Context::owner, Form::one},
    {Context::visit, "instrument", Context::instrument, Form::one},
    {Context::visit, "player", Context::player, Form::one},
    {Context::visit, "log", Context::entry, Form::entries},
    {Context::entry, "did", Context::did, Form::one},
    {Context::entry, "agreed", Context::consent, Form::one},
    {Context::entry, "declined", Context::consent, Form::one},
    {Context::entry, "asked", Context::consent, Form::one},
    {Context::entry, "waiting", Context::waiting, Form::one},
    {Context::entry, "strike", Context::strike, Form::one},
};

// Keys whose words are one of a fixed set.
struct Fixed {
  Context in;
  const char* key;
  WordSet set;
};
constexpr Fixed fixed[] = {
    {Context::house, "decide", WordSet::decide}, {Context::house, "rounding", WordSet::rounding},
    {Context::show, "date", WordSet::date_form}, {Context::estimate, "kind", WordSet::paper_kind},
    {Context::reading, "per", WordSet::axis},    {Context::reading, "follows", WordSet::control},
    {Context::rule, "for", WordSet::axis},       {Context::job, "moves", WordSet::control},
};

const char* name_of(Context context) {
  static constexpr const char* names[] = {
#define STRINGLINE_CONTEXT(context, words, keys) #context,
#include "engine/syntax/keys.def"
  };
  return names[static_cast<std::size_t>(context)];
}

// A scalar of YAML in any of its types: `12`, `true` and `12 mm` are texts to us.
Json scalar() { return {{"type", {"string", "number", "boolean"}}}; }

// by E: {row: value}
Json table() {
  return {{"type", "object"},
          {"description", "a table: by EXPRESSION: {MEMBER or BAND: VALUE, .., otherwise: VALUE}"},
          {"minProperties", 1},
          {"maxProperties", 1},
          {"additionalProperties", false},
          {"patternProperties",
           {{"^by .", {{"type", "object"}, {"minProperties", 1}, {"additionalProperties", refer("choice")}}}}}};
}

class Writer {
 public:
  Json file(Context root) {
    Json schema{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                {"title", "Stringline: " + std::string(describe(root))},
                {"$ref", std::string("#/$defs/") + name_of(root)}};
    want(root);
    Json definitions = Json::object();
    while (!wanted_.empty()) {
      const Context next = *wanted_.begin();
      wanted_.erase(wanted_.begin());
      written_.insert(next);
      definitions[name_of(next)] = map_of(next);
    }
    definitions["scalar"] = scalar();
    definitions["table"] = table();
    definitions["choice"] = any_of({refer("scalar"), refer("table")});
    definitions["scalars"] = any_of({refer("scalar"), list_of(refer("scalar"))});
    schema["$defs"] = std::move(definitions);
    return schema;
  }

 private:
  void want(Context context) {
    if (written_.count(context) == 0) wanted_.insert(context);
  }

  Json map_of(Context context) {
    Json properties = Json::object();
    Json required = Json::array();
    for (const KeyInfo& key : all_keys()) {
      if (key.context != context) continue;
      Json value = value_of(key);
      value["description"] = std::string(key.help);
      properties[std::string(key.key)] = std::move(value);
      if (key.required) required.push_back(std::string(key.key));
    }
    Json map{{"type", "object"}, {"properties", std::move(properties)}};
    if (!required.empty()) map["required"] = std::move(required);
    if (context == Context::target)  // members nest: action: {bass: {range: ..}}
      map["additionalProperties"] = any_of({refer("target"), Json{{"const", "none"}}});
    else if (context == Context::trials)  // every other key is the name of a trial
      map["additionalProperties"] = under({Context::trials, "", Context::trial, Form::one});
    else if (!is_open(context))
      map["additionalProperties"] = false;
    else
      map["additionalProperties"] = any_of({refer("choice"), list_of(refer("scalar")), Json{{"type", "object"}}});
    return map;
  }

  Json value_of(const KeyInfo& key) {
    const auto words = words_for(key);
    std::vector<Json> ways;
    for (const Nested& each : nested) {
      if (each.in == key.context && each.key == key.key) ways.push_back(under(each));
    }
    const bool has_map = !ways.empty();
    const bool lists_are_entries = key.shape == KeyShape::entries;
    if (allows(key.shape, NodeKind::scalar)) ways.push_back(words ? *words : refer("scalar"));
    if (allows(key.shape, NodeKind::list) && !lists_are_entries) ways.push_back(list_for(key, words));
    if (allows(key.shape, NodeKind::map) && takes_table(key.shape)) ways.push_back(refer("table"));
    if (allows(key.shape, NodeKind::map) && !has_map && !takes_table(key.shape)) ways.push_back({{"type", "object"}});
    return ways.size() == 1 ? std::move(ways.front()) : any_of(std::move(ways));
  }

  Json under(const Nested& each) {
    want(each.what);
    const std::string name = name_of(each.what);
    switch (each.form) {
      case Form::one: return refer(name);
      case Form::named: return {{"type", "object"}, {"additionalProperties", part(each)}};
      case Form::named_or_none:
        return {{"type", "object"}, {"additionalProperties", any_of({refer(name), Json{{"const", "none"}}})}};
      case Form::entries: return list_of(refer(name));
    }
    return {};
  }

  // What stands under a name: a map, and for prices and parts an amount or a table as well.
  static Json part(const Nested& each) {
    const Json map = refer(name_of(each.what));
    const bool short_form = each.what == Context::price || each.what == Context::part;
    return short_form ? any_of({map, refer("choice")}) : map;
  }

  static bool takes_table(KeyShape shape) { return describe(shape).find("table") != std::string_view::npos; }

  // Phases may name their jobs: fretwork: [refret, level].
  static Json list_for(const KeyInfo& key, const std::optional<Json>& words) {
    if (words) return list_of(*words);
    const bool of_maps = key.shape == KeyShape::phases || key.shape == KeyShape::jobs || key.shape == KeyShape::done;
    return list_of(of_maps ? any_of({refer("scalar"), Json{{"type", "object"}}}) : refer("scalar"));
  }

  static std::optional<Json> words_for(const KeyInfo& key) {
    for (const Fixed& each : fixed) {
      if (each.in != key.context || each.key != key.key) continue;
      Json all = Json::array();
      for (const std::string& word : words_of(each.set)) all.push_back(word);
      return Json{{"enum", std::move(all)}};
    }
    return std::nullopt;
  }

  std::set<Context> wanted_;
  std::set<Context> written_;
};

}  // namespace

const std::vector<std::string>& schema_kinds() {
  static const std::vector<std::string> kinds{"house", "profile", "trials", "visit", "output"};
  return kinds;
}

nlohmann::ordered_json schema_of(const std::string& kind) {
  if (kind == "house") return Writer().file(Context::house);
  if (kind == "profile") return Writer().file(Context::profile);
  if (kind == "output") return output_schema();
  if (kind == "trials") return Writer().file(Context::trials);
  return Writer().file(Context::visit);
}

}  // namespace stringline
