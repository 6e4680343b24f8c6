// The trials file: given readings, written as a visit writes them, and what must come out.
// Tested by tests/unit/read_trials_test.cc.
#include "engine/syntax/read_trials.h"

#include <algorithm>
#include <utility>

#include "engine/syntax/key_reader.h"
#include "engine/syntax/read_choice.h"
#include "engine/syntax/read_house.h"
#include "engine/syntax/read_path.h"
#include "engine/syntax/read_visit.h"

namespace stringline {
namespace {

bool never_a_leaf(const Node&) { return false; }

// {relief: low, action: {bass: high}}
std::vector<ExpectedVerdict> read_verdicts(const Node& map, Diagnostics& out) {
  std::vector<ExpectedVerdict> verdicts;
  const auto leaf = [&](const KeyPath& path, const Node& value) {
    if (value.is_scalar() && value.text == "fill_in") {
      out.report(Code::trial_expects_nothing, value.span,
                 "what must come out for '" + to_text(path) + "' is not filled in",
                 "write what the house would say: within, high, low, too_close, not_read, ..");
      return;
    }
    if (auto word = read_word(value, WordSet::verdict, out)) verdicts.push_back({path, std::move(*word)});
  };
  for_each_path(map, never_a_leaf, leaf, out);
  return verdicts;
}

// 0.1 mm, -2 cents, and the ends that 0 +- 2 cents stands for
bool is_in_numbers(const ExprPtr& expr) {
  if (const auto* unary = std::get_if<Unary>(&expr->node)) return is_in_numbers(unary->operand);
  if (const auto* binary = std::get_if<Binary>(&expr->node))
    return is_in_numbers(binary->left) && is_in_numbers(binary->right);
  return std::holds_alternative<Number>(expr->node);
}

// A limit with a name in it would follow the profile, mistakes and all, and notice nothing.
bool is_in_numbers(const RangeExpr& range, Diagnostics& out) {
  const bool is_middle = range.aim && range.aim->span.begin == range.span.begin;  // of 0 +- 2 cents
  if (range.aim && !is_middle) {
    out.report(Code::bad_form, range.aim->span, "limits have no aim", "write both ends alone: 0.10 .. 0.30 mm");
    return false;
  }
  for (const ExprPtr& end : {range.lo, range.hi}) {
    if (!end || is_in_numbers(end)) continue;
    out.report(Code::bad_form, end->span, "this limit is no number",
               "write what the house means, in numbers: at most 0.05 mm; a name would change with the profile");
    return false;
  }
  return true;
}

// {relief: 0.10 .. 0.30 mm, nut_gap: {wound: 0.38 .. 0.55 mm}}
std::vector<LimitsTree> read_limits(const Node& map, Diagnostics& out) {
  std::vector<LimitsTree> limits;
  const auto leaf = [&](const KeyPath& path, const Node& value) {
    if (value.is_scalar() && value.text == "fill_in") {
      out.report(Code::trial_expects_nothing, value.span, "the limits of '" + to_text(path) + "' are not filled in",
                 "write the range that the house means: 0.10 .. 0.30 mm, at least 1 mm, at most 0.05 mm");
      return;
    }
    auto range = read_range(value, out);
    if (range && is_in_numbers(*range, out)) limits.push_back({path, std::move(*range)});
  };
  for_each_path(map, never_a_leaf, leaf, out);
  return limits;
}

// {lower_bridge.bass: 0.40 mm down}
std::vector<ExpectedAmount> read_amounts(const Node& map, Diagnostics& out) {
  std::vector<ExpectedAmount> amounts;
  const auto leaf = [&](const KeyPath& path, const Node& value) {
    if (auto text = read_text(value, out)) amounts.push_back({path, std::move(*text)});
  };
  for_each_path(map, never_a_leaf, leaf, out);
  return amounts;
}

// One or a list of them; `none` alone says that there is none.
std::vector<Word> read_names_or_none(const Node& node, Diagnostics& out) {
  if (node.is_scalar() && node.text == "none") return {};
  if (node.is_scalar() && node.text == "fill_in") {
    out.report(Code::trial_expects_nothing, node.span, "what must come out is not filled in",
               "write its names, or none");
    return {};
  }
  return read_names(node, out);
}

void instrument_of(const Node& value, TrialTree& trial, ReadContext& in) {
  read_instrument(value, trial.instrument, in);
}
void player_of(const Node& value, TrialTree& trial, ReadContext& in) { read_player(value, trial.player, in); }

const KeyHandlers<TrialTree>& usual_keys() {
  static const KeyHandlers<TrialTree> keys{
      {"instrument", instrument_of},
      {"player", player_of},
      {"given", set<&TrialTree::given, read_readings>},
  };
  return keys;
}

const KeyHandlers<TrialTree>& trial_keys() {
  static const KeyHandlers<TrialTree> keys{
      {"about", set<&TrialTree::about, read_text>},
      {"instrument", instrument_of},
      {"player", player_of},
      {"package", set<&TrialTree::package, read_name_or_none>},
      {"methods", set<&TrialTree::methods, read_methods>},
      {"wants", set<&TrialTree::wants, read_wants>},
      {"last", set<&TrialTree::last, read_readings>},
      {"given", set<&TrialTree::given, read_readings>},
      {"log", set<&TrialTree::log, read_entries>},
      {"limits", set<&TrialTree::limits, read_limits>},
      {"verdicts", set<&TrialTree::verdicts, read_verdicts>},
      {"work", set<&TrialTree::work, read_names_or_none>},
      {"offers", set<&TrialTree::offers, read_names_or_none>},
      {"amounts", set<&TrialTree::amounts, read_amounts>},
      {"rules", set<&TrialTree::rules, read_names_or_none>},
      {"holds", set<&TrialTree::holds, read_names_or_none>},
      {"stops", set<&TrialTree::stops, read_names_or_none>},
      {"says", set<&TrialTree::says, read_texts>},
  };
  return keys;
}

const KeyHandlers<TrialsTree>& trials_keys() {
  static const KeyHandlers<TrialsTree> keys{
      {"trials", set_value<&TrialsTree::profile, read_name>},
      {"order", set<&TrialsTree::order, read_order>},
      {"usual",
       [](const Node& value, TrialsTree& trials, ReadContext& in) {
         read_map(value, KeyContext::usual, value.span, usual_keys(), trials.usual, in);
       }},
  };
  return keys;
}

bool expects_something(const Node& trial) {
  constexpr std::string_view expectations[] = {"limits", "verdicts", "work",  "offers", "amounts",
                                               "rules",  "holds",    "stops", "says"};
  return std::any_of(std::begin(expectations), std::end(expectations),
                     [&](std::string_view key) { return find_value(trial, key) != nullptr; });
}

// NAME: {given: .., work: ..}; false when it has a mistake.
bool read_trial(const MapEntry& entry, TrialTree& trial, ReadContext& in) {
  const std::size_t before = in.out.error_count();
  if (auto name = read_name(entry.key, in.out)) trial.name = std::move(*name);
  if (!want_part(entry, KeyContext::trial, Removal::no, in.out)) return false;
  read_map(entry.value, KeyContext::trial, entry.key.span, trial_keys(), trial, in);
  if (in.out.error_count() > before) return false;
  if (expects_something(entry.value)) return true;
  in.out.report(
      Code::trial_expects_nothing, entry.key.span, "the trial '" + trial.name.text + "' expects nothing",
      "say what must come out: limits:, verdicts:, work:, offers:, amounts:, rules:, holds:, stops: or says:");
  return false;
}

}  // namespace

std::optional<TrialsTree> read_trials(const Node& document, Diagnostics& out) {
  const std::size_t first = out.list().size();
  TrialsTree trials;
  trials.source = document.span.source;
  ReadContext in{out, std::nullopt};
  const auto trial = [&](const MapEntry& entry) {
    TrialTree tree;
    if (read_trial(entry, tree, in)) trials.trials.push_back(std::move(tree));
    return true;
  };
  const Span owner = document.is_map() && !document.entries.empty() ? document.entries.front().key.span : document.span;
  read_map(document, KeyContext::trials, owner, trials_keys(), trials, in, trial);
  trials.spoiled = spoiled_parts(document, out, first);
  if (trials.profile.text.empty()) return std::nullopt;
  return trials;
}

}  // namespace stringline
