// See trial.h.
#include "engine/paper/trial.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "engine/diag/render.h"
#include "engine/paper/lines.h"

namespace stringline {
namespace {

constexpr std::array kinds{Part::Kind::row, Part::Kind::rule, Part::Kind::gate, Part::Kind::stop, Part::Kind::job};

bool came_out(const std::vector<Unexpected>& unexpected) { return unexpected.empty(); }

std::size_t good_ones(const TrialPaper& paper) {
  return static_cast<std::size_t>(std::count_if(paper.unexpected.begin(), paper.unexpected.end(), came_out));
}

// "42 trials, all as expected", "1 trial, 0 as expected"
std::string count_text(const TrialPaper& paper) {
  const std::size_t all = paper.unexpected.size();
  const std::size_t good = good_ones(paper);
  return fmt::format("{} {}, {} as expected", all, all == 1 ? "trial" : "trials",
                     good == all ? std::string("all") : std::to_string(good));
}

std::string specs_text(const OpenTrials& open) {
  const HouseTree* house = open.specs.house;
  if (house == nullptr) return "by the profile alone";
  return "by the specs of " + (house->label ? house->label->text : house->name.text);
}

struct Count {
  std::size_t all = 0;
  std::size_t exercised = 0;
};
Count count_of(const Coverage& coverage, Part::Kind kind) {
  Count count;
  for (const Part& part : coverage.parts) {
    if (part.kind != kind) continue;
    ++count.all;
    if (!part.by.empty()) ++count.exercised;
  }
  return count;
}

// How many conditions were seen with one value, of those that can have it.
Count seen(const Coverage& coverage, bool Condition::*value) {
  Count count;
  for (const Condition& each : coverage.conditions) {
    if (value == &Condition::seen_unknown && !each.can_be_unknown) continue;
    ++count.all;
    if (each.*value) ++count.exercised;
  }
  return count;
}

std::string text(Count count) { return fmt::format("{} of {}", count.exercised, count.all); }

std::vector<std::string> values_missing(const Condition& condition) {
  std::vector<std::string> missing;
  if (!condition.seen_true) missing.emplace_back("true");
  if (!condition.seen_false) missing.emplace_back("false");
  if (!condition.seen_unknown && condition.can_be_unknown) missing.emplace_back("unknown");
  return missing;
}

void unexpected_text(const std::vector<Unexpected>& all, std::string& out) {
  for (const Unexpected& each : all) {
    entry(out, "expected", fmt::format("{}: {}", each.what, each.expected));
    entry(out, "got", each.got);
  }
}

void coverage_text(const Coverage& coverage, std::string& out) {
  std::vector<std::vector<std::string>> rows;
  for (const Part::Kind kind : kinds)
    rows.push_back({fmt::format("{}s", to_text(kind)), text(count_of(coverage, kind))});
  rows.push_back(
      {"conditions",
       fmt::format("seen true {}, false {}, unknown {} that can be", text(seen(coverage, &Condition::seen_true)),
                   text(seen(coverage, &Condition::seen_false)), text(seen(coverage, &Condition::seen_unknown)))});
  out += "\nexercised\n";
  table(out, rows, 2);
}

constexpr std::size_t rows_shown = 12;  // unless all are asked for

void missing_text(const Coverage& coverage, const Sources& sources, bool all, std::string& out) {
  std::vector<std::vector<std::string>> rows;
  for (const Part& part : coverage.parts) {
    if (part.by.empty()) rows.push_back({to_text(part.kind), part.name, place(part.place, sources)});
  }
  for (const Condition& each : coverage.conditions) {
    const auto missing = values_missing(each);
    if (!missing.empty())
      rows.push_back(
          {"condition", fmt::format("{}: never {}", each.name, fmt::join(missing, ", ")), place(each.place, sources)});
  }
  if (rows.empty()) return;
  out += "\nno trial would miss\n";
  const std::size_t shown = all ? rows.size() : std::min(rows.size(), rows_shown);
  const std::size_t more = rows.size() - shown;
  rows.resize(shown);
  table(out, rows, 2);
  if (more > 0) out += fmt::format("  and {} more; --all lists them\n", more);
}

void by_text(const Coverage& coverage, std::string& out) {
  std::vector<std::vector<std::string>> rows;
  for (const Part& part : coverage.parts) {
    if (!part.by.empty()) rows.push_back({to_text(part.kind), part.name, part.by});
  }
  if (rows.empty()) return;
  out += "\nexercised by\n";
  table(out, rows, 2);
}

Json coverage_json(const Coverage& coverage, const Sources& sources) {
  Json json = Json::object();
  for (const Part::Kind kind : kinds) {
    const Count count = count_of(coverage, kind);
    json[fmt::format("{}s", to_text(kind))] = {{"count", count.all}, {"exercised", count.exercised}};
  }
  json["parts"] = Json::array();
  for (const Part& part : coverage.parts) {
    json["parts"].push_back({{"kind", to_text(part.kind)},
                             {"name", part.name},
                             {"at", place(part.place, sources)},
                             {"by", part.by.empty() ? Json(nullptr) : Json(part.by)}});
  }
  json["conditions"] = Json::array();
  for (const Condition& each : coverage.conditions) {
    json["conditions"].push_back({{"name", each.name},
                                  {"at", place(each.place, sources)},
                                  {"seen_true", each.seen_true},
                                  {"seen_false", each.seen_false},
                                  {"seen_unknown", each.seen_unknown},
                                  {"can_be_unknown", each.can_be_unknown}});
  }
  json["complete"] = coverage.is_complete();
  json["runs"] = coverage.runs;
  return json;
}

}  // namespace

std::string trial_text(const TrialPaper& paper, const Sources& sources, bool all) {
  const auto& trials = paper.open.trials;
  std::string out = fmt::format("trials of {}, {}: {}\n", paper.open.tree->profile.text, folded(specs_text(paper.open)),
                                count_text(paper));
  for (std::size_t i = 0; i < trials.size(); ++i) {
    const TrialTree& tree = *trials[i].tree;
    const bool good = came_out(paper.unexpected[i]);
    if (good && !all) continue;
    out += fmt::format("\n  {}: {} ({})\n", folded(tree.name.text), good ? "as expected" : "not as expected",
                       place(tree.name.span, sources));
    if (tree.about) entry(out, "about", tree.about->text);
    unexpected_text(paper.unexpected[i], out);
  }
  coverage_text(paper.coverage, out);
  missing_text(paper.coverage, sources, all, out);
  if (all) by_text(paper.coverage, out);
  return printable(out);
}

void add_trials(Json& document, const TrialPaper& paper, const Sources& sources) {
  document["profile"] = paper.open.tree->profile.text;
  const HouseTree* house = paper.open.specs.house;
  document["house"] = house == nullptr ? Json(nullptr) : Json(house->label ? house->label->text : house->name.text);
  document["count"] = paper.unexpected.size();
  document["as_expected"] = good_ones(paper);
  document["trials"] = Json::array();
  for (std::size_t i = 0; i < paper.open.trials.size(); ++i) {
    const TrialTree& tree = *paper.open.trials[i].tree;
    Json trial{{"name", tree.name.text},
               {"at", place(tree.name.span, sources)},
               {"as_expected", came_out(paper.unexpected[i])},
               {"unexpected", Json::array()}};
    for (const Unexpected& each : paper.unexpected[i])
      trial["unexpected"].push_back({{"what", each.what}, {"expected", each.expected}, {"got", each.got}});
    document["trials"].push_back(std::move(trial));
  }
  document["coverage"] = coverage_json(paper.coverage, sources);
}

}  // namespace stringline
