// The profile file: one table of keys for each map.
// Tested by tests/unit/read_profile_test.cc.
#include "engine/syntax/read_profile.h"

#include <algorithm>
#include <string>
#include <utility>

#include "engine/diag/suggest.h"
#include "engine/syntax/key_reader.h"
#include "engine/syntax/read_choice.h"
#include "engine/syntax/read_number.h"
#include "engine/syntax/read_path.h"

namespace stringline {
namespace {

using ReadingIs = std::variant<Word, StatesTree, ExprPtr>;

// length | [sound, opens] | fret_height - groove
std::optional<ReadingIs> read_kind(const Node& node, Diagnostics& out) {
  if (node.is_list()) return StatesTree{read_states(node, out)};
  if (!want_scalar(node, "a kind, a list of states, or an expression", out)) return std::nullopt;
  // A single word is far more often a kind with a slip in it than the name of another reading.
  if (is_identifier(node.text) && nearest(node.text, words_of(WordSet::reading_kind))) {
    const auto kind = read_word(node, WordSet::reading_kind, out);
    return kind ? std::optional<ReadingIs>(*kind) : std::nullopt;
  }
  auto expression = read_expression(node, out);
  return expression ? std::optional<ReadingIs>(std::move(expression)) : std::nullopt;
}

const KeyHandlers<ReadingTree>& reading_keys() {
  static const KeyHandlers<ReadingTree> keys{
      {"per", set<&ReadingTree::per, read_axes>},
      {"gap", set<&ReadingTree::gap, read_gap>},
      {"is", set<&ReadingTree::is, read_kind>},
      {"of", set<&ReadingTree::of, read_text>},
      {"with", set<&ReadingTree::with, read_text>},
      {"read_to",
       [](const Node& value, ReadingTree& reading, ReadContext& in) {
         reading.read_to = read_positive(value, in.out);
         reading.read_to_span = value.span;
       }},
      {"repeat", set<&ReadingTree::repeat, read_not_negative>},
      {"plausible", set<&ReadingTree::plausible, read_range>},
      {"good_for", set<&ReadingTree::good_for, read_time>},
      {"follows", set<&ReadingTree::follows, read_word_of<WordSet::control>>},
      {"assume", set<&ReadingTree::assume, read_expression>},
      {"for_owner", set<&ReadingTree::for_owner, read_text>},
  };
  return keys;
}

const KeyHandlers<TargetTree>& target_keys() {
  static const KeyHandlers<TargetTree> keys{
      {"phase", set<&TargetTree::phase, read_name>},
      {"when", set<&TargetTree::when, read_expression>},
      {"range", set<&TargetTree::range, read_range_choice>},
      {"gap", set<&TargetTree::gap, read_gap>},
      {"low", set<&TargetTree::low, read_job>},
      {"high", set<&TargetTree::high, read_job>},
      {"floor", set<&TargetTree::floor, read_expression_choice>},
  };
  return keys;
}

const KeyHandlers<GateTree>& gate_keys() {
  static const KeyHandlers<GateTree> keys{
      {"open_when", set<&GateTree::open_when, read_expression>},
      {"do", set<&GateTree::jobs, read_jobs>},
      {"voids", set<&GateTree::voids, read_paths>},
      {"holds", set<&GateTree::holds, read_paths>},
      {"charge", set<&GateTree::charge, read_name>},
      {"say", set<&GateTree::say, read_said>},
      {"for_owner", set<&GateTree::for_owner, read_said>},
  };
  return keys;
}

const KeyHandlers<StopTree>& stop_keys() {
  static const KeyHandlers<StopTree> keys{
      {"when", set<&StopTree::when, read_expression>},     {"do", set<&StopTree::jobs, read_jobs>},
      {"offer", set<&StopTree::offers, read_jobs>},        {"charge", set<&StopTree::charge, read_name>},
      {"refer", set<&StopTree::refer, read_said>},         {"say", set<&StopTree::say, read_said>},
      {"for_owner", set<&StopTree::for_owner, read_said>},
  };
  return keys;
}

const KeyHandlers<RuleTree>& rule_keys() {
  static const KeyHandlers<RuleTree> keys{
      {"for", set<&RuleTree::over_axis, read_word_of<WordSet::axis>>},
      {"when", set<&RuleTree::when, read_expression>},
      {"do", set<&RuleTree::jobs, read_jobs>},
      {"offer", set<&RuleTree::offers, read_jobs>},
      {"because", set<&RuleTree::because, read_said>},
      {"say", set<&RuleTree::say, read_said>},
      {"for_owner", set<&RuleTree::for_owner, read_said>},
      {"choose", set<&RuleTree::choose, read_said_list>},
  };
  return keys;
}

bool never_a_leaf(const Node&) { return false; }

// action | [relief, action] | {strung: slack, groove: 0 mm, relief: aim}
std::vector<SetTree> read_settings(const Node& node, Diagnostics& out) {
  std::vector<SetTree> settings;
  if (!node.is_map()) {
    for (KeyPath& path : read_paths(node, out)) settings.push_back(SetTree{std::move(path), nullptr});
    return settings;
  }
  for_each_path(
      node, never_a_leaf,
      [&](const KeyPath& path, const Node& value) {
        const bool to_aim = value.is_scalar() && value.text == "aim";
        ExprPtr left_at = to_aim ? nullptr : read_expression(value, out);
        if (to_aim || left_at) settings.push_back(SetTree{path, std::move(left_at)});
      },
      out);
  return settings;
}

std::vector<TellTree> read_tells(const Node& map, Diagnostics& out) {
  std::vector<TellTree> tells;
  if (map.entries.empty()) out.report(Code::nothing_inside, map.span, "an empty map", "leave the key out instead");
  for (const MapEntry& entry : map.entries) {
    const auto name = read_name(entry.key, out);
    auto value = read_expression_choice(entry.value, out);
    if (name && value) tells.push_back(TellTree{*name, std::move(*value)});
  }
  return tells;
}

const KeyHandlers<JobTree>& job_keys() {
  static const KeyHandlers<JobTree> keys{
      {"label", set<&JobTree::label, read_text>},
      {"phase", set<&JobTree::phase, read_name>},
      {"routine", set<&JobTree::routine, read_truth>},
      {"moves", set<&JobTree::moves, read_word_of<WordSet::control>>},
      {"by", set<&JobTree::by, read_expression_choice>},
      {"sets", set<&JobTree::sets, read_settings>},
      {"disturbs", set<&JobTree::disturbs, read_paths>},
      {"tell", set<&JobTree::tell, read_tells>},
      {"work_to", set<&JobTree::work_to, read_positive>},
      {"removes", set<&JobTree::removes, read_truth>},
      {"uses", set<&JobTree::uses, read_name>},
      {"minutes", set<&JobTree::minutes, read_minutes>},
      {"wait", set<&JobTree::wait, read_wait>},
      {"steps", set<&JobTree::steps, read_said_list>},
      {"cautions", set<&JobTree::cautions, read_said_list>},
      {"needs_yes", set<&JobTree::needs_yes, read_truth>},
      {"for_owner", set<&JobTree::for_owner, read_said>},
      {"aftercare", set<&JobTree::aftercare, read_said_list>},
      {"if_left", set<&JobTree::if_left, read_said>},
  };
  return keys;
}

// Targets ---------------------------------------------------------------------------

struct TargetWalk {
  std::vector<TargetTree>& targets;
  ReadContext& in;
};

// `bass: {range: ..}` inside a target is a member; `rnage: {by style: ..}` is a key with a slip in it.
bool is_nested_member(const MapEntry& entry) {
  if (!entry.value.is_map()) return false;
  return std::any_of(entry.value.entries.begin(), entry.value.entries.end(), [](const MapEntry& inner) {
    return find_key(KeyContext::target, inner.key.text) != nullptr || is_nested_member(inner);
  });
}

void add_target(TargetTree target, TargetWalk& walk) {
  const auto first = std::find_if(walk.targets.begin(), walk.targets.end(),
                                  [&](const TargetTree& each) { return to_text(each.key) == to_text(target.key); });
  if (first == walk.targets.end()) {
    walk.targets.push_back(std::move(target));
    return;
  }
  walk.in.out.report(Code::written_twice, target.key.span, "'" + to_text(target.key) + "' is written twice", {},
                     {{first->key.span, "first written here"}});
}

void read_target(const KeyPath& key, const MapEntry& entry, TargetWalk& walk) {
  if (!want_part(entry, KeyContext::target, Removal::by_none, walk.in.out)) return;
  TargetTree target;
  target.key = key;
  target.removed = is_none(entry.value);
  bool nested = false;
  bool own = !entry.value.is_map() || entry.value.entries.empty();
  const auto member = [&](const MapEntry& inner) {
    if (!is_nested_member(inner)) return false;
    nested = true;
    if (const auto path = extend(key, inner.key, walk.in.out)) read_target(*path, inner, walk);
    return true;
  };
  if (entry.value.is_map()) {
    read_map(entry.value, KeyContext::target, entry.key.span, target_keys(), target, walk.in, member);
    own = own || std::any_of(entry.value.entries.begin(), entry.value.entries.end(), [](const MapEntry& inner) {
            return find_key(KeyContext::target, inner.key.text) != nullptr;
          });
  }
  if (own || !nested) add_target(std::move(target), walk);
}

void read_targets(const Node& map, ProfileTree& profile, ReadContext& in) {
  TargetWalk walk{profile.targets, in};
  for (const MapEntry& entry : map.entries) {
    const auto path = read_path(entry.key, in.out);
    // Under a bad name the rest is read for its mistakes; the tree is not used after one.
    read_target(path.value_or(KeyPath{{entry.key.text, entry.key.span}, {}, entry.key.span}), entry, walk);
  }
}

// The file ---------------------------------------------------------------------------

void read_facts(const Node& map, ProfileTree& profile, ReadContext& in) {
  for (const MapEntry& entry : map.entries) {
    if (auto fact = read_fact(entry, in.out)) profile.facts.push_back(std::move(*fact));
  }
}

void read_choices(const Node& map, ProfileTree& profile, ReadContext& in) {
  for (const MapEntry& entry : map.entries) {
    const auto name = read_name(entry.key, in.out);
    if (!entry.value.is_list()) {
      in.out.report(Code::wrong_shape, entry.value.span,
                    "'" + entry.key.text + "' takes a list of states, not " + std::string(describe(entry.value.kind)),
                    "write [a, b]");
      continue;
    }
    auto states = read_states(entry.value, in.out);
    if (name) profile.choices.push_back(ChoiceTree{*name, std::move(states)});
  }
}

template <auto member, auto keys, KeyContext context>
void set_parts(const Node& map, ProfileTree& profile, ReadContext& in) {
  read_parts(map, context, keys(), profile.*member, in);
}

const KeyHandlers<ProfileTree>& profile_keys() {
  static const KeyHandlers<ProfileTree> keys{
      {"profile", set_value<&ProfileTree::name, read_name>},
      {"based_on", set<&ProfileTree::based_on, read_name>},
      {"label", set<&ProfileTree::label, read_text>},
      {"facts", read_facts},
      {"choices", read_choices},
      {"readings", set_parts<&ProfileTree::readings, reading_keys, KeyContext::reading>},
      {"targets", read_targets},
      {"gates", set_parts<&ProfileTree::gates, gate_keys, KeyContext::gate>},
      {"stops", set_parts<&ProfileTree::stops, stop_keys, KeyContext::stop>},
      {"rules", set_parts<&ProfileTree::rules, rule_keys, KeyContext::rule>},
      {"jobs", set_parts<&ProfileTree::jobs, job_keys, KeyContext::job>},
  };
  return keys;
}

template <class Part>
void leave_out(const Spoiled& spoiled, std::vector<Part>& parts) {
  const auto is_spoiled = [&](const Part& part) {
    if constexpr (requires { part.key; })
      return spoiled.holds(part.key.span);
    else
      return spoiled.holds(part.name.span);
  };
  parts.erase(std::remove_if(parts.begin(), parts.end(), is_spoiled), parts.end());
}

void leave_out(const Spoiled& spoiled, ProfileTree& profile) {
  leave_out(spoiled, profile.facts);
  leave_out(spoiled, profile.choices);
  leave_out(spoiled, profile.readings);
  leave_out(spoiled, profile.targets);
  leave_out(spoiled, profile.gates);
  leave_out(spoiled, profile.stops);
  leave_out(spoiled, profile.rules);
  leave_out(spoiled, profile.jobs);
}

void one_way_to_read(const ProfileTree& profile, Diagnostics& out) {
  for (const ReadingTree& reading : profile.readings) {
    if (!reading.gap || !reading.is) continue;
    out.report(Code::bad_form, reading.name.span, "'" + reading.name.text + "' says both 'gap' and 'is'",
               "a gap under the string is a length already; leave out is:");
  }
}

}  // namespace

std::optional<ProfileTree> read_profile(const Node& document, Diagnostics& out) {
  const std::size_t first = out.list().size();
  ProfileTree profile;
  profile.source = document.span.source;
  ReadContext in{out, std::nullopt};
  const Span owner = document.is_map() && !document.entries.empty() ? document.entries.front().key.span : document.span;
  read_map(document, KeyContext::profile, owner, profile_keys(), profile, in);
  one_way_to_read(profile, out);
  profile.spoiled = spoiled_parts(document, out, first);
  if (profile.name.text.empty()) return std::nullopt;
  leave_out(profile.spoiled, profile);
  return profile;
}

}  // namespace stringline
