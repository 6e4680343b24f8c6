// See why_facts.h.
#include "engine/plan/why_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/mentions.h"
#include "engine/diag/render.h"
#include "engine/plan/words.h"

namespace stringline {

const char* to_text(RuleState state) {
  switch (state) {
    case RuleState::fired: return "fired";
    case RuleState::clear: return "clear";
    case RuleState::unknown: return "not known";
    case RuleState::not_applicable: return "not applicable";
    case RuleState::error: return "in error";
  }
  return "";
}

WhyFacts::WhyFacts(const WhyContext& context)
    : program(context.program),
      judgement(context.judgement),
      plan(context.plan),
      sources(context.sources),
      scene(program, judgement),
      evaluator(program, scene) {}

std::string WhyFacts::written(Span span) const {
  std::string out;
  for (const char c : sources.text(span.source).substr(span.begin, span.end - span.begin)) {
    const bool space = c == '\n' || c == '\r' || c == ' ';
    if (!space) out += c;
    if (space && !out.empty() && out.back() != ' ') out += ' ';
  }
  return out;
}

std::string WhyFacts::source_of(const PointState& state) const {
  if (state.assumed) return "assumed, nobody wrote it";
  const Entry& entry = program.log[static_cast<std::size_t>(state.entry) - 1];
  return fmt::format("entry {} of {}, {}", state.entry, to_text(entry.date), place(state.span, sources));
}

std::string WhyFacts::value_of(PointId point) const {
  const PointState& state = judgement.points[point];
  switch (state.status) {
    case PointState::Status::not_measurable: return "can not be measured";
    case PointState::Status::stale: return fmt::format("stale since: {}", state.stale_by);
    case PointState::Status::read: return state.contact ? "contact" : to_text(state.value);
    case PointState::Status::not_read: break;
  }
  if (program.reading_of(point).source != ReadingInfo::Source::computed) return "not read";
  const Result result = scene.reading(point);
  const Interval& number = result.value.number;
  if (result.failure) return "not known: " + result.failure->message;
  const bool open = !result.needs.empty() && (result.value.kind != Kind::number || (!number.lo && !number.hi));
  return open ? "not known" : to_text(result.value);
}

void WhyFacts::needs(const std::vector<Need>& needs) {
  std::vector<PointId> points;
  std::string facts;
  for (const Need& need : needs) {
    if (need.fact)
      facts += (facts.empty() ? "" : ", ") + program.facts[need.id].name;
    else
      points.push_back(need.id);
  }
  if (!points.empty()) say("needs", name_readings(program, points));
  if (!facts.empty()) say("not said", facts + "; write it under instrument: or player:");
}

std::optional<std::string> WhyFacts::arithmetic(const Typed& expr, const Hand& hand) const {
  const auto* binary = std::get_if<typed::Binary>(&expr.node);
  if (binary == nullptr) {
    const Result value = evaluator.evaluate(expr, hand);
    const bool plain = std::holds_alternative<typed::Reading>(expr.node) ||
                       std::holds_alternative<typed::Fact>(expr.node) ||
                       std::holds_alternative<typed::Constant>(expr.node);
    return plain && !value.failure ? std::optional(to_text(value.value)) : std::nullopt;
  }
  static const std::map<BinaryOp, const char*> signs{
      {BinaryOp::add, "+"}, {BinaryOp::subtract, "-"}, {BinaryOp::multiply, "*"}, {BinaryOp::divide, "/"}};
  const auto sign = signs.find(binary->op);
  if (sign == signs.end()) return std::nullopt;
  const auto left = arithmetic(*binary->left, hand);
  auto right = arithmetic(*binary->right, hand);
  if (!left || !right) return std::nullopt;
  if (std::holds_alternative<typed::Binary>(binary->right->node)) right = fmt::format("({})", *right);
  return fmt::format("{} {} {}", *left, sign->second, *right);
}

void WhyFacts::condition(const char* word, const Typed& expr, const Hand& hand) {
  say(word, written(expr.span));
  if (const auto sum = arithmetic(expr, hand); sum && std::holds_alternative<typed::Binary>(expr.node))
    say("with", *sum);
  say("written", place(expr.span, sources));
  for (const FactId id : facts_in(expr)) {
    const FactInfo& fact = program.facts[id];
    const std::string value = fact.value ? to_text(evaluator.evaluate(*fact.value).value) : "nobody said";
    say("hangs on", fmt::format("the fact {}: {} ({})", fact.name, value, place(fact.origin.span, sources)));
  }
  constexpr std::size_t most = 12;  // of one fret each, the unread ones would hide the rest
  std::size_t silent = 0;
  const auto points = mentioned_in(program, expr, hand);
  std::set<ReadingId> told;  // computed ones, in one line
  for (const PointId point : points) {
    const PointState& state = judgement.points[point];
    const ReadingId id = program.points[point].reading;
    const ReadingInfo& info = program.readings[id];
    if (points.size() > most && info.source == ReadingInfo::Source::computed && info.type.kind == Kind::number) {
      if (told.insert(id).second) say("hangs on", least_and_most(id));
    } else if (points.size() > most && (state.status == PointState::Status::not_read || state.assumed))
      ++silent;
    else
      say("hangs on", reading(point));
  }
  if (silent > 0) say("hangs on", fmt::format("{} more that nobody read", silent));
}

// "fret left: 0.99 mm to 1.19 mm".
std::string WhyFacts::least_and_most(ReadingId id) const {
  const ReadingInfo& info = program.readings[id];
  std::string plain = info.name;
  std::replace(plain.begin(), plain.end(), '_', ' ');
  std::optional<Ratio> least;
  std::optional<Ratio> most;
  for (PointId point = info.first; point < info.first + info.count; ++point) {
    const Interval& number = scene.reading(point).value.number;
    if (!number.lo || !number.hi) return plain + ": not all known";
    if (!least || *number.lo < *least) least = number.lo;
    if (!most || *number.hi > *most) most = number.hi;
  }
  return fmt::format("{}: {} to {}", plain, to_text(*least, info.unit), to_text(*most, info.unit));
}

std::string WhyFacts::reading(PointId point) const {
  const PointState& state = judgement.points[point];
  std::string text = fmt::format("{}: {}", name_points(program, {point}), value_of(point));
  if (program.target(point) != nullptr) {
    const auto target = static_cast<std::size_t>(program.target_of[point]);
    const Verdict verdict = judgement.targets[target].verdict;
    const bool said = verdict == Verdict::not_read || verdict == Verdict::stale;  // by the value's own words
    if (!said) text += fmt::format(", {}", to_text(verdict));
  }
  if (state.status == PointState::Status::read) text += fmt::format(" ({})", source_of(state));
  return text;
}

std::string WhyFacts::job(JobId id) const {
  std::string out = program.jobs[id].label;
  for (std::size_t i = 0; i < plan.lines.size(); ++i) {
    const PlanLine& line = plan.lines[i];
    if (line.job == id) return fmt::format("{} (line {} of the plan)", out, i + 1);
    if (may_follow(line, id)) return fmt::format("{} (line {}, if the reading is out)", out, i + 1);
  }
  return out + " (not in the plan)";
}

void WhyFacts::jobs(const char* word, const std::vector<JobChoice>& choices) {
  for (const JobChoice& choice : choices) {
    for (const JobId id : jobs_in(choice)) say(word, job(id));
  }
}

bool may_follow(const PlanLine& line, JobId job) {
  return line.if_low == job || line.if_high == job ||
         std::count(line.may_follow.begin(), line.may_follow.end(), job) > 0;
}

}  // namespace stringline
