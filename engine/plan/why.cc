// See why.h. Readings: why_reading.cc; jobs: why_job.cc; gates, stops and rules are told here.
#include "engine/plan/why.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/check/members.h"
#include "engine/diag/suggest.h"
#include "engine/plan/why_facts.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Needs that only say that a condition is undecided stand behind how it stands now.
void told(WhyFacts& facts, const TruthState& state, const char* yes, const char* no, const char* unknown) {
  facts.say("now", state.truth == Truth::yes ? yes : state.truth == Truth::no ? no : unknown);
  facts.needs(state.needs);
  if (state.failure) facts.say("error", state.failure->message);
}

Why why_gate(const WhyContext& context, std::size_t at) {
  WhyFacts facts(context);
  const GateInfo& gate = context.program.gates[at];
  facts.condition("open when", *gate.open_when);
  told(facts, context.judgement.gates[at], "open", "closed", "not known, so it counts as closed");
  if (gate.holds_visit) facts.say("holds", "the whole visit");
  if (!gate.voids.empty()) facts.say("voids", name_readings(context.program, gate.voids));
  if (!gate.holds.empty()) facts.say("holds", name_readings(context.program, gate.holds));
  facts.jobs("opened by", gate.jobs);
  if (!gate.charge.empty()) facts.say("charge", gate.charge);
  return {Why::Kind::gate, at, 0, fmt::format("the gate '{}'", gate.name), facts.take()};
}

Why why_stop(const WhyContext& context, std::size_t at) {
  WhyFacts facts(context);
  const StopInfo& stop = context.program.stops[at];
  facts.condition("when", *stop.when);
  told(facts, context.judgement.stops[at], "true: the work ends here", "false", "not ruled out");
  facts.jobs("does", stop.jobs);
  facts.jobs("offers", stop.offers);
  if (stop.refer) facts.say("refers to", facts.evaluator.text(*stop.refer));
  if (!stop.charge.empty()) facts.say("charge", stop.charge);
  return {Why::Kind::stop, at, 0, fmt::format("the stop '{}'", stop.name), facts.take()};
}

// "string 2, 5"
std::string fired_at(const Program& program, Axis axis, const std::vector<Hand>& fired) {
  std::string out;
  for (const Hand& hand : fired) {
    const auto member = static_cast<std::size_t>(hand[static_cast<std::size_t>(axis)]);
    out += (out.empty() ? "" : ", ") + program.axes[static_cast<std::size_t>(axis)][member].name;
  }
  static constexpr const char* names[] = {"side", "string", "fret", "pickup"};
  return fmt::format("{} {}", names[static_cast<std::size_t>(axis)], out);
}

Why why_rule(const WhyContext& context, std::size_t at) {
  WhyFacts facts(context);
  const RuleInfo& rule = context.program.rules[at];
  const RuleOutcome& outcome = context.judgement.rules[at];
  facts.condition("when", *rule.when);
  facts.say("now", to_text(outcome.state));
  if (rule.over && !outcome.fired.empty()) facts.say("at", fired_at(context.program, *rule.over, outcome.fired));
  facts.needs(outcome.needs);
  if (outcome.failure) facts.say("error", outcome.failure->message);
  for (const Hand& hand : outcome.fired) {
    if (rule.because) facts.say("because", facts.evaluator.text(*rule.because, hand));
  }
  facts.jobs("plans", rule.jobs);
  facts.jobs("offers", rule.offers);
  return {Why::Kind::rule, at, 0, fmt::format("the rule '{}'", rule.name), facts.take()};
}

std::string joined(const std::vector<std::string>& words, std::size_t from, std::size_t to) {
  std::string out;
  for (std::size_t i = from; i < to; ++i) out += (out.empty() ? "" : "_") + words[i];
  return out;
}

std::vector<std::string> split(const std::vector<std::string>& arguments) {
  std::vector<std::string> words;
  for (const std::string& argument : arguments) {
    for (std::size_t from = 0; from < argument.size();) {
      const std::size_t end = std::min(argument.find(' ', from), argument.size());
      if (end > from) words.push_back(argument.substr(from, end - from));
      from = end + 1;
    }
  }
  return words;
}

std::optional<JobId> find_job(const Program& program, const std::string& name) {
  for (JobId job = 0; job < program.jobs.size(); ++job) {
    std::string label = program.jobs[job].label;
    std::replace(label.begin(), label.end(), ' ', '_');
    if (program.jobs[job].name == name || label == name) return job;
  }
  return std::nullopt;
}

bool is_member(const Program& program, const PointInfo& point, Axis axis, const std::string& word) {
  const auto named = members_named(program, axis, word);
  const int at = point.at[static_cast<std::size_t>(axis)];
  return named && std::count(named->first.begin(), named->first.end(), at) > 0;
}

// nut_gap.wound, action, pickup_gap.neck: each word after a dot picks on one axis of the reading.
std::vector<PointId> find_points(const Program& program, const std::string& name) {
  const std::size_t dot = std::min(name.find('.'), name.size());
  std::vector<std::string> members;
  for (std::size_t from = dot; from < name.size();) {
    std::size_t end = std::min(name.find('.', from + 1), name.size());
    if (end + 1 < name.size() && name[end + 1] == '.') end = std::min(name.find('.', end + 2), name.size());  // 1..4
    members.push_back(name.substr(from + 1, end - from - 1));
    from = end;
  }
  std::vector<PointId> points;
  for (PointId id = 0; id < program.points.size(); ++id) {
    const ReadingInfo& reading = program.reading_of(id);
    if (reading.name != name.substr(0, dot)) continue;
    const bool picked = std::all_of(members.begin(), members.end(), [&](const std::string& member) {
      return std::any_of(reading.axes.begin(), reading.axes.end(),
                         [&](Axis axis) { return is_member(program, program.points[id], axis, member); });
    });
    if (picked) points.push_back(id);
  }
  return points;
}

std::vector<Known> known_jobs(const Program& program) {
  std::vector<Known> known;
  for (const JobInfo& job : program.jobs) {
    known.push_back({job.name, job.label, ""});
    for (const TypedText& step : job.steps) {
      for (const auto& piece : step.pieces) known.back().about += piece.text + " ";
    }
  }
  return known;
}

std::vector<Known> all_known(const Program& program) {
  std::vector<Known> known = known_jobs(program);
  for (const ReadingInfo& reading : program.readings) known.push_back({reading.name, "", reading.of});
  for (const GateInfo& gate : program.gates) known.push_back({gate.name, "", ""});
  for (const StopInfo& stop : program.stops) known.push_back({stop.name, "", ""});
  for (const RuleInfo& rule : program.rules) known.push_back({rule.name, "", ""});
  known.push_back({"strings", "", ""});
  return known;
}

// nut_gap.7: a reading's member that it has not, or a slip in the name of a point.
std::string meant_point(const Program& program, const std::string& name) {
  const std::string head = name.substr(0, name.find('.'));
  const auto reading = std::find_if(program.readings.begin(), program.readings.end(),
                                    [&](const ReadingInfo& each) { return each.name == head; });
  if (reading != program.readings.end()) {
    const std::string members = known_members(program, reading->axes);
    return members.empty() ? fmt::format("; '{}' has no members", head)
                           : fmt::format("; the members of '{}' are {}", head, members);
  }
  std::vector<std::string> points;
  for (const PointInfo& point : program.points) points.push_back(point.name);
  const auto near = nearest(name, points);
  return near ? fmt::format("; did you mean '{}'?", *near) : std::string();
}

std::string meant(const Program& program, const std::string& name) {
  if (name.find('.') != std::string::npos) {
    const std::string point = meant_point(program, name);
    if (!point.empty()) return point;
  }
  const std::string found = did_you_mean_one_of(name, all_known(program));
  return found.empty() ? fmt::format("; 'stringline sheet {}' lists the readings", program.profile) : found;
}

WhyAnswers before(const WhyContext& context, const std::string& first, const std::string& second) {
  const auto a = find_job(context.program, first);
  const auto b = find_job(context.program, second);
  if (a && b) return {{why_before(context, *a, *b)}, ""};
  const std::string& unknown = a ? second : first;
  return {{}, fmt::format("no job '{}'{}", unknown, did_you_mean_one_of(unknown, known_jobs(context.program)))};
}

}  // namespace

WhyAnswers why(const WhyContext& context, const std::vector<std::string>& arguments) {
  const std::vector<std::string> words = split(arguments);
  const auto middle = std::find(words.begin(), words.end(), "before");
  const auto at = static_cast<std::size_t>(middle - words.begin());
  if (at > 0 && at + 1 < words.size())
    return before(context, joined(words, 0, at), joined(words, at + 1, words.size()));

  const Program& program = context.program;
  const std::string name = joined(words, 0, words.size());
  WhyAnswers answers;
  for (const PointId point : find_points(program, name)) answers.all.push_back(why_reading(context, point));
  const auto named = [&](const auto& list, auto tell) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (list[i].name == name) answers.all.push_back(tell(context, i));
    }
  };
  named(program.gates, why_gate);
  named(program.stops, why_stop);
  named(program.rules, why_rule);
  if (name == "strings") answers.all.push_back(why_strings(context));
  if (const auto job = find_job(program, name)) answers.all.push_back(why_job(context, *job));
  if (answers.all.empty())
    answers.unknown = fmt::format("nothing in this visit is called '{}'{}", name, meant(program, name));
  return answers;
}

}  // namespace stringline
