// See json_visit.h.
#include "engine/paper/json_visit.h"

#include <fmt/format.h>

#include "engine/diag/render.h"

namespace stringline {
namespace {

const char* form_of(PlanLine::Form form) {
  switch (form) {
    case PlanLine::Form::read_first: return "read_first";
    case PlanLine::Form::read_again: return "read_again";
    case PlanLine::Form::job: return "job";
    case PlanLine::Form::offer: return "offer";
  }
  return "";
}

const char* status_of(PointState::Status status) {
  switch (status) {
    case PointState::Status::not_read: return "not_read";
    case PointState::Status::read: return "read";
    case PointState::Status::stale: return "stale";
    case PointState::Status::not_measurable: return "not_measurable";
  }
  return "";
}

constexpr const char* rule_states[] = {"fired", "clear", "unknown", "not_applicable", "error"};

Json truth_of(Truth truth) { return truth == Truth::unknown ? Json(nullptr) : Json(truth == Truth::yes); }
Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

}  // namespace

VisitJson::VisitJson(const JsonContext& context)
    : program_(context.program),
      judgement_(context.judgement),
      plan_(context.plan),
      sources_(context.sources),
      scene_(program_, judgement_),
      evaluator_(program_, scene_) {}

Json VisitJson::readings_named(const std::vector<PointId>& points) const {
  Json names = Json::array();
  for (const PointId point : points) names.push_back(program_.points[point].name);
  return names;
}

Json VisitJson::jobs_named(const std::vector<JobId>& jobs) const {
  Json names = Json::array();
  for (const JobId job : jobs) names.push_back(program_.jobs[job].name);
  return names;
}

Json VisitJson::needs(const std::vector<Need>& needs) const {
  Json names = Json::array();
  for (const Need& need : needs)
    names.push_back(need.fact ? program_.facts[need.id].name : program_.points[need.id].name);
  return names;
}

Json VisitJson::job_name(const std::optional<JobId>& job) const {
  return job ? Json(program_.jobs[*job].name) : Json(nullptr);
}

Json VisitJson::quantity(const std::optional<Ratio>& value, Unit unit, bool difference) const {
  if (!value) return nullptr;
  const auto written = in_unit(*value, unit, difference);
  return {{"text", to_text(*value, unit, std::nullopt, difference)},
          {"decimal", written ? Json(to_decimal(*written)) : Json(nullptr)},
          {"unit", std::string(info(unit).written)},
          {"base", value->to_double()}};
}

Json VisitJson::lines() const {
  Json all = Json::array();
  for (std::size_t i = 0; i < plan_.lines.size(); ++i) all.push_back(line(i));
  return all;
}

Json VisitJson::line(std::size_t at) const {
  const PlanLine& line = plan_.lines[at];
  Json out{{"number", at + 1}, {"form", form_of(line.form)}};
  out["job"] = job_name(line.job);
  if (line.job) out["label"] = program_.jobs[*line.job].label;
  out["readings"] = readings_named(line.points);
  out["amounts"] = Json::array();
  for (const Amount& amount : line.amounts)
    out["amounts"].push_back({{"reading", program_.points[amount.point].name},
                              {"travel_mm", amount.travel ? Json(*amount.travel) : Json(nullptr)},
                              {"text", amount.text}});
  out["because"] = line.because;
  out["here"] = line.why_here;
  out["warnings"] = line.warnings;
  out["expected"] = Json::array();
  for (const Predicted& each : line.expected)
    out["expected"].push_back({{"reading", program_.points[each.point].name},
                               {"lo", each.value.lo},
                               {"hi", each.value.hi},
                               {"verdict", each.verdict ? Json(to_text(*each.verdict)) : Json(nullptr)}});
  out["read_after"] = readings_named(line.read_after);
  out["if_low"] = job_name(line.if_low);
  out["if_high"] = job_name(line.if_high);
  out["may_follow"] = Json::array();
  for (const JobId job : line.may_follow) out["may_follow"].push_back(program_.jobs[job].name);
  out["branches"] = Json::array();
  for (const Branch& branch : line.branches) {
    Json each{{"if", to_text(branch.verdict)}, {"likely", branch.likely}};
    each["job"] = job_name(branch.job);
    each["needs_yes"] = branch.needs_yes;
    each["declined"] = branch.declined;
    each["may"] = Json::array();
    for (const JobId job : branch.may) each["may"].push_back(program_.jobs[job].name);
    out["branches"].push_back(std::move(each));
  }
  if (line.job) about_job(out, line);
  return out;
}

Json VisitJson::texts(const std::vector<TypedText>& from) const {
  Json list = Json::array();
  for (const TypedText& text : from) list.push_back(evaluator_.text(text));
  return list;
}

void VisitJson::about_job(Json& out, const PlanLine& line) const {
  const JobInfo& job = program_.jobs[*line.job];
  out["covered"] = job.covered && !plan_.ended_early;
  out["waits_for_yes"] = line.waits_for_yes;
  out["minutes"] = job.minutes ? Json(job.minutes->value.to_double()) : Json(nullptr);
  const auto hours = job.wait ? divide(job.wait->second.value, info(Unit::hour).factor) : std::nullopt;
  out["wait_h"] = hours ? Json(hours->to_double()) : Json(nullptr);
  out["steps"] = texts(job.steps);
  out["cautions"] = texts(job.cautions);
}

Json VisitJson::left() const {
  Json all = Json::array();
  for (const LeftAlone& left : plan_.left)
    all.push_back({{"what", left.what},
                   {"job", job_name(left.job)},
                   {"readings", readings_named(left.points)},
                   {"why", left.why},
                   {"open", left.open}});
  return all;
}

Json VisitJson::conflicts() const {
  Json all = Json::array();
  for (const Conflict& each : plan_.conflicts)
    all.push_back(
        {{"jobs", jobs_named({each.one, each.other})}, {"readings", readings_named(each.points)}, {"why", each.why}});
  return all;
}

Json VisitJson::reading(PointId point) const {
  const PointState& state = judgement_.points[point];
  const ReadingInfo& info = program_.reading_of(point);
  Json out{{"name", program_.points[point].name}, {"status", status_of(state.status)}};
  const bool computed = info.source == ReadingInfo::Source::computed && state.status == PointState::Status::not_read;
  const Result result = scene_.reading(point);
  const Value& value = computed ? result.value : state.value;
  const bool known = state.status == PointState::Status::read || state.status == PointState::Status::stale ||
                     (computed && !result.failure && result.needs.empty());
  out["text"] = !known ? Json(nullptr) : Json(state.contact ? "contact" : to_text(value));
  if (known && value.kind == Kind::number) {
    out["lo"] = quantity(value.number.lo, value.unit, value.difference);
    out["hi"] = quantity(value.number.hi, value.unit, value.difference);
  }
  if (state.entry > 0) {
    out["entry"] = state.entry;
    out["date"] = to_text(program_.log[static_cast<std::size_t>(state.entry) - 1].date);
    out["at"] = place(state.span, sources_);
  }
  if (!state.stale_by.empty()) out["stale_by"] = state.stale_by;
  if (state.expected) out["expected"] = {{"lo", state.expected->lo}, {"hi", state.expected->hi}};
  out["assumed"] = state.assumed;
  if (computed) out["computed_at"] = place(info.formula->span, sources_);
  if (state.method) out["method"] = state.method->text;
  if (program_.target_of[point] >= 0) out["target"] = target(static_cast<std::size_t>(program_.target_of[point]));
  return out;
}

Json VisitJson::target(std::size_t at) const {
  const TargetInfo& target = program_.targets[at];
  const TargetState& state = judgement_.targets[at];
  const Unit written = judgement_.points[target.point].value.unit;
  const Unit unit = written == Unit::none ? program_.reading_of(target.point).unit : written;
  const bool difference = program_.reading_of(target.point).type.difference;
  Json out{{"lo", quantity(state.lo, unit, difference)},
           {"hi", quantity(state.hi, unit, difference)},
           {"aim", quantity(state.aim, unit, difference)}};
  if (target.range) {
    out["at"] = place(target.range_origin.span, sources_);
    out["overrode"] = Json::array();
    for (const Span& span : target.range_origin.overrode) out["overrode"].push_back(place(span, sources_));
  }
  out["wish_at"] = target.want ? Json(place(target.want->span, sources_)) : Json(nullptr);
  out["phase"] = target.phase >= 0 ? Json(program_.phases[static_cast<std::size_t>(target.phase)].name) : Json(nullptr);
  out["verdict"] = to_text(state.verdict);
  out["probability"] = state.probability ? Json(*state.probability) : Json(nullptr);
  out["needs"] = needs(state.needs);
  if (state.converted)
    out["converted"] = {{"lo", quantity(state.converted->lo, unit)}, {"hi", quantity(state.converted->hi, unit)}};
  if (state.possible) out["possible"] = {{"lo", state.possible->lo}, {"hi", state.possible->hi}};
  return out;
}

Json VisitJson::gate(std::size_t at) const {
  const GateInfo& gate = program_.gates[at];
  const TruthState& state = judgement_.gates[at];
  return {{"name", gate.name},
          {"open", truth_of(state.truth)},
          {"needs", needs(state.needs)},
          {"error", text_or_null(state.failure ? state.failure->message : "")},
          {"at", place(gate.open_when->span, sources_)}};
}

Json VisitJson::stop(std::size_t at) const {
  const StopInfo& stop = program_.stops[at];
  const TruthState& state = judgement_.stops[at];
  return {{"name", stop.name},
          {"true", truth_of(state.truth)},
          {"needs", needs(state.needs)},
          {"error", text_or_null(state.failure ? state.failure->message : "")},
          {"at", place(stop.when->span, sources_)}};
}

Json VisitJson::rule(std::size_t at) const {
  const RuleInfo& rule = program_.rules[at];
  const RuleOutcome& outcome = judgement_.rules[at];
  return {{"name", rule.name},
          {"state", rule_states[static_cast<std::size_t>(outcome.state)]},
          {"instances_fired", outcome.fired.size()},
          {"needs", needs(outcome.needs)},
          {"error", text_or_null(outcome.failure ? outcome.failure->message : "")},
          {"at", place(rule.when->span, sources_)}};
}

Json VisitJson::rules() const {
  Json out{{"count", program_.rules.size()}};
  for (std::size_t i = 0; i < judgement_.ledger.size(); ++i) out[rule_states[i]] = judgement_.ledger[i];
  out["list"] = Json::array();
  for (std::size_t i = 0; i < program_.rules.size(); ++i) out["list"].push_back(rule(i));
  return out;
}

}  // namespace stringline
