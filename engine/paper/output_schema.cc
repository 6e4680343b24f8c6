// See output_schema.h.
#include "engine/paper/output_schema.h"

#include <algorithm>
#include <cassert>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "engine/book/board.h"
#include "engine/book/coverage.h"
#include "engine/book/drift.h"
#include "engine/check/typed.h"
#include "engine/paper/json.h"
#include "engine/syntax/keys.h"
#include "engine/value/quantity.h"

namespace stringline {
namespace {

using Text = std::string_view;

struct Document {
  Text shape;
  Text commands;  // with a space between two; empty: not known which
  Text help;
};
constexpr Document documents[] = {
#define STRINGLINE_DOCUMENT(shape, commands, help) {#shape, commands, help},
#include "engine/paper/output.def"
};

struct Shape {
  Text name;
  Text help;
};
constexpr Shape shapes[] = {
#define STRINGLINE_SHAPE(shape, help) {#shape, help},
#include "engine/paper/output.def"
};

struct Key {
  Text shape;
  Text key;  // empty: those of the shape that `type` names
  Text type;
  bool required;
  Text help;
};
constexpr bool always = true;
constexpr bool maybe = false;
constexpr Key keys[] = {
#define STRINGLINE_ALSO(shape, other) {#shape, "", #other, maybe, ""},
#define STRINGLINE_KEY(shape, key, type, need, help) {#shape, key, type, need, help},
#include "engine/paper/output.def"
};

struct Words {
  Text set;
  std::vector<std::string> words;
};

template <typename Word>
std::vector<std::string> in_words(std::size_t count) {
  std::vector<std::string> all;
  for (std::size_t i = 0; i < count; ++i) all.emplace_back(to_text(static_cast<Word>(i)));
  return all;
}

std::vector<std::string> units() {
  return {
#define STRINGLINE_UNIT(name, written, dimension, num, den, offset_num, offset_den) written,
#include "engine/value/units.def"
  };
}

// Those of the tables and enumerations that the words are printed from, and of output.def.
const std::vector<Words>& all_words_written() {
  static const std::vector<Words> all{
      {"verdict", in_words<Verdict>(static_cast<std::size_t>(Verdict::not_applicable) + 1)},
      {"paper_kind", words_of(WordSet::paper_kind)},
      {"unit", units()},
      {"moved", in_words<Moved>(static_cast<std::size_t>(Moved::can_not_tell) + 1)},
      {"visit_state", in_words<VisitState>(visit_states)},
      {"part_kind", in_words<Part::Kind>(part_kinds)},
#define STRINGLINE_WORDS(set, ...) {#set, {__VA_ARGS__}},
#include "engine/paper/output.def"
  };
  return all;
}

Json one_of_words(const Words& words) { return {{"type", "string"}, {"enum", words.words}}; }

// Texts and numbers; null for what has a definition of its own.
Json plain(Text type) {
  if (type == "text") return {{"type", "string"}};
  if (type == "truth") return {{"type", "boolean"}};
  if (type == "number") return {{"type", "number"}};
  if (type == "whole") return {{"type", "integer"}};
  return nullptr;
}

// Texts and numbers that are written in a way of their own; null for what is none of them.
Json form_of(Text type) {
  if (type == "date")
    return {{"description", "a day: 2026-08-12"}, {"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}};
  if (type == "place")
    return {{"description", "file:line:column, both from 1; shipped:NAME.yaml is a shipped profile"},
            {"type", "string"},
            {"pattern", "^.+:[0-9]+:[0-9]+$"}};
  if (type == "decimal")
    return {{"description", "an exact number; a/b where no decimal is exact"},
            {"type", "string"},
            {"pattern", "^-?[0-9]+([.][0-9]+|/[0-9]+)?$"}};
  if (type == "minor") return {{"description", "money, in whole minor units of the currency"}, {"type", "integer"}};
  return nullptr;
}

// How many open visits stand where: one key for each state.
Json count_of_states() {
  Json properties = Json::object();
  Json required = Json::array();
  for (std::size_t i = 0; i < visit_states; ++i) {
    const std::string state = to_text(static_cast<VisitState>(i));
    properties[state] = {{"type", "integer"}, {"description", "visits that are: " + state}};
    required.push_back(state);
  }
  return {{"description", "how many open visits stand where"},
          {"type", "object"},
          {"properties", properties},
          {"required", required},
          {"additionalProperties", false}};
}

class Writer {
 public:
  Json schema() {
    Json all{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
             {"title", "Stringline: what --json prints"},
             {"description", "one document, by its command; when something went wrong: `mistakes` or `failure`"},
             {"oneOf", Json::array()}};
    Json definitions = Json::object();
    for (const Document& each : documents) {
      all["oneOf"].push_back({{"$ref", "#/$defs/" + std::string(each.shape)}});
      definitions[std::string(each.shape)] = document(each);
    }
    for (std::size_t i = 0; i < wanted_.size(); ++i) {  // grows while it is read
      const std::string name = wanted_[i];
      definitions[name] = definition(name);
    }
    all["$defs"] = std::move(definitions);
    return all;
  }

 private:
  struct Map {
    Json properties = Json::object();
    Json required = Json::array();
  };

  static Json closed(Text help, Map map) {
    return {{"description", std::string(help)},
            {"type", "object"},
            {"properties", std::move(map.properties)},
            {"required", std::move(map.required)},
            {"additionalProperties", false}};
  }

  static Json commands_of(Text commands) {
    if (commands.empty()) return {{"const", nullptr}, {"description", "not known"}};
    Json all = Json::array();
    for (std::size_t begin = 0; begin < commands.size();) {
      const std::size_t end = std::min(commands.find(' ', begin), commands.size());
      all.push_back(std::string(commands.substr(begin, end - begin)));
      begin = end + 1;
    }
    Json command = all.size() == 1 ? Json{{"const", all.front()}} : Json{{"enum", std::move(all)}};
    command["description"] = "the command that wrote it";
    return command;
  }

  Json document(const Document& what) {
    Map head;
    head.properties["shape"] = {
        {"const", json_shape},
        {"description", "keys keep their meaning; new keys may come, a changed meaning is a new shape"}};
    head.properties["command"] = commands_of(what.commands);
    head.required = {"shape", "command"};
    Map map;
    map.properties["stringline"] = closed("what document this is", std::move(head));
    map.properties["diagnostics"] = type_of("[diagnostic]");
    map.properties["diagnostics"]["description"] = "what is to be told about the files";
    map.required = {"stringline", "diagnostics"};
    add_keys(map, what.shape);
    return closed(what.help, std::move(map));
  }

  void add_keys(Map& map, Text shape) {
    for (const Key& each : keys) {
      if (each.shape != shape) continue;
      if (each.key.empty()) {
        add_keys(map, each.type);
        continue;
      }
      Json& value = map.properties[std::string(each.key)];
      assert(value.is_null() && "a key twice in one shape");
      value = type_of(each.type);
      value["description"] = std::string(each.help);
      if (each.required) map.required.push_back(std::string(each.key));
    }
  }

  // "[row?]": a list of rows, some of them null.
  Json type_of(Text type) {
    if (type.front() == '[') return {{"type", "array"}, {"items", type_of(type.substr(1, type.size() - 2))}};
    const bool or_null = type.back() == '?';
    if (or_null) type.remove_suffix(1);
    Json plainly = plain(type);
    if (!plainly.is_null()) {
      if (or_null) plainly["type"] = {plainly["type"], "null"};
      return plainly;
    }
    const std::string name(type);
    if (std::find(wanted_.begin(), wanted_.end(), name) == wanted_.end()) wanted_.push_back(name);
    const Json reference{{"$ref", "#/$defs/" + name}};
    return or_null ? Json{{"anyOf", {reference, {{"type", "null"}}}}} : reference;
  }

  Json definition(const std::string& name) {
    if (name == "count") return count_of_states();
    const Json form = form_of(name);
    if (!form.is_null()) return form;
    for (const Words& each : all_words_written()) {
      if (each.set == name) return one_of_words(each);
    }
    for (const Shape& each : shapes) {
      if (each.name != name) continue;
      Map map;
      add_keys(map, name);
      return closed(each.help, std::move(map));
    }
    assert(false && "output.def uses a type that it does not say");
    return {};
  }

  std::vector<std::string> wanted_;
};

}  // namespace

Json output_schema() { return Writer().schema(); }

}  // namespace stringline
