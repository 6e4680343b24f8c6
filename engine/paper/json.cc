// See json.h.
#include "engine/paper/json.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "engine/diag/render.h"
#include "engine/judge/pull.h"
#include "engine/paper/json_visit.h"

namespace stringline {
namespace {

Json chord_of(const Program& program, const SourChord& chord) {
  Json out{{"chord", chord.written},
           {"spread_cents", chord.spread},
           {"heard", chord.heard},
           {"missing", chord.missing},
           {"assumed", chord.assumed}};
  out["notes"] = Json::array();
  for (const SourNote& note : chord.notes) {
    Json causes = Json::array();
    for (const SourCause& cause : note.causes) causes.push_back({{"what", cause.what}, {"cents", cause.cents}});
    const auto& member = program.axes[static_cast<std::size_t>(Axis::string)][static_cast<std::size_t>(note.string)];
    out["notes"].push_back({{"string", member.name}, {"fret", note.fret}, {"cents", note.cents}, {"causes", causes}});
  }
  return out;
}

Json side_of(const Program& program, const CleanSide& side) {
  Json stopped = Json::array();
  for (const model::StoppedNote& note : side.stopped)
    stopped.push_back({{"fret", note.fretted}, {"touches", note.stopped_at}, {"clearance_mm", note.clearance}});
  const auto number = [](const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); };
  return {{"reading", program.points[side.point].name},
          {"aim_mm", side.aim},
          {"stopped", stopped},
          {"lowest_clean_mm", number(side.lowest_now)},
          {"lowest_clean_levelled_mm", number(side.lowest_levelled)}};
}

Json visit_head(const Program& program, const VisitTree& tree) {
  const auto word = [](const std::optional<Word>& text) { return text ? Json(text->text) : Json(nullptr); };
  return {{"visit", program.visit},
          {"profile", program.profile},
          {"house", program.house},
          {"owner", word(tree.owner)},
          {"instrument", {{"id", word(tree.instrument.id)}, {"label", word(tree.instrument.label)}}},
          {"due", tree.due ? Json(to_text(*tree.due)) : Json(nullptr)}};
}

void add_log(Json& out, const JsonContext& context, const VisitJson& parts) {
  const Judgement& judgement = context.judgement;
  out["assumed"] = Json::array();
  for (PointId point = 0; point < context.program.points.size(); ++point) {
    if (judgement.points[point].assumed) out["assumed"].push_back(context.program.points[point].name);
  }
  out["spare_readings"] = judgement.spare_readings;
  out["contradicted"] = Json::array();
  for (const Contradicted& each : judgement.contradicted)
    out["contradicted"].push_back(
        {{"reading", context.program.points[each.point].name}, {"residual_mm", each.residual}, {"u_mm", each.u}});
  out["done"] = parts.jobs_named(judgement.done);
  out["agreed"] = parts.jobs_named(judgement.agreed);
  out["declined"] = parts.jobs_named(judgement.declined);
  out["asked"] = parts.jobs_named(judgement.asked);
  out["closed"] = judgement.closed;
  out["last_visit"] = judgement.last != nullptr ? Json(judgement.last->visit) : Json(nullptr);
}

Json facts_of(const Why& answer) {
  Json facts = Json::array();
  for (const WhyFact& fact : answer.facts) facts.push_back({{"word", fact.word}, {"text", fact.text}});
  return facts;
}

Json pull_json(const Pull& pull) {
  const auto newton = [](const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); };
  Json strings = Json::array();
  for (const StringPull& each : pull.strings)
    strings.push_back({{"string", each.string}, {"what", each.what}, {"newton", newton(each.newton)}});
  return {{"strings", strings},
          {"newton", newton(pull.all)},
          {"newton_of_the_slots", newton(pull.of_the_slots)},
          {"assumed", pull.assumed}};
}

// What the answer is about, as `work` has it.
void add_subject(Json& out, const Why& answer, const JsonContext& context, const VisitJson& parts) {
  const Program& program = context.program;
  const auto job = [&](std::size_t at) { return program.jobs[at].name; };
  switch (answer.kind) {
    case Why::Kind::reading: out["reading"] = parts.reading(static_cast<PointId>(answer.at)); return;
    case Why::Kind::gate: out["gate"] = parts.gate(answer.at); return;
    case Why::Kind::stop: out["stop"] = parts.stop(answer.at); return;
    case Why::Kind::rule: out["rule"] = parts.rule(answer.at); return;
    case Why::Kind::order: out["order"] = {job(answer.at), job(answer.other)}; return;
    case Why::Kind::strings: out["strings"] = pull_json(pull_of(program)); return;
    case Why::Kind::job: break;
  }
  Json lines = Json::array();
  for (std::size_t i = 0; i < context.plan.lines.size(); ++i) {
    if (context.plan.lines[i].job == static_cast<JobId>(answer.at)) lines.push_back(parts.line(i));
  }
  out["job"] = {{"name", job(answer.at)}, {"lines", lines}};
}

}  // namespace

Json json_head(const std::string& command, const Diagnostics& diagnostics, const Sources& sources) {
  Json document{{"stringline", {{"shape", json_shape}, {"command", command}}}};
  document["diagnostics"] = Json::parse(render_json(diagnostics, sources));
  return document;
}

Json json_error(const std::string& message) {
  return {{"stringline", {{"shape", json_shape}, {"command", nullptr}}},
          {"diagnostics", Json::array()},
          {"error", message}};
}

void add_work(Json& document, const JsonContext& context, const VisitTree& tree, const std::vector<SourChord>& chords,
              const std::vector<CleanSide>& clean) {
  const VisitJson parts(context);
  const Program& program = context.program;
  const Plan& plan = context.plan;
  document.update(visit_head(program, tree));
  document["ended_early"] = plan.ended_early;
  document["charge"] = plan.charge.empty() ? Json(nullptr) : Json(plan.charge);
  document["told"] = plan.told;
  document["lines"] = parts.lines();
  document["left"] = parts.left();
  document["conflicts"] = parts.conflicts();
  document["readings"] = Json::array();
  for (PointId point = 0; point < program.points.size(); ++point) document["readings"].push_back(parts.reading(point));
  document["gates"] = Json::array();
  for (std::size_t i = 0; i < program.gates.size(); ++i) document["gates"].push_back(parts.gate(i));
  document["stops"] = Json::array();
  for (std::size_t i = 0; i < program.stops.size(); ++i) document["stops"].push_back(parts.stop(i));
  document["rules"] = parts.rules();
  add_log(document, context, parts);
  document["chords"] = Json::array();
  for (const SourChord& chord : chords) document["chords"].push_back(chord_of(program, chord));
  document["clean"] = Json::array();
  for (const CleanSide& side : clean) document["clean"].push_back(side_of(program, side));
}

void add_learnt(Json& document, const std::vector<Learnt>& all) {
  document["learnt"] = Json::array();
  for (const Learnt& each : all) {
    Json out{{"profile", each.profile}, {"visits", each.visits}, {"jobs", each.jobs}, {"pairs", each.pairs}};
    out["phi"] = each.phi ? Json(each.phi->phi) : Json(nullptr);
    if (each.phi) out.update({{"u", each.phi->u}, {"from", each.phi->range.lo}, {"to", each.phi->range.hi}});
    document["learnt"].push_back(std::move(out));
  }
}

namespace {

Json number_of(const std::optional<Ratio>& value) { return value ? Json(value->to_double()) : Json(nullptr); }

Json value_of(const DriftValue& value) {
  Json out{{"text", value.text}};
  if (value.value.kind == Kind::number) {
    out["unit"] = std::string(info(value.value.unit).written);
    out["lo"] = number_of(value.value.number.lo);
    out["hi"] = number_of(value.value.number.hi);
  }
  if (!value.converted_from.empty()) out["converted_from"] = value.converted_from;
  out["verdict"] = value.verdict ? Json(to_text(*value.verdict)) : Json(nullptr);
  return out;
}

Json moved_of(const std::optional<Moved>& moved) { return moved ? Json(to_text(*moved)) : Json(nullptr); }

Json row_of(const DriftRow& row) {
  Json out{{"reading", row.name}};
  if (!row.method.empty()) out["method"] = row.method;
  out["then"] = row.then ? value_of(*row.then) : Json(nullptr);
  out["now"] = row.now ? value_of(*row.now) : Json(nullptr);
  out["moved"] = moved_of(row.moved);
  if (row.change) out["change"] = {{"lo", number_of(row.change->lo)}, {"hi", number_of(row.change->hi)}};
  if (row.limit) out["limit"] = *row.limit;
  if (!row.why_not.empty()) out["why_not"] = row.why_not;
  return out;
}

void add_head(Json& document, const DriftHead& head, const std::vector<WorkDone>& work) {
  document["instrument"] = head.instrument;
  document["house"] = head.house;
  document["left_out"] = head.left_out;
  document["visits"] = Json::array();
  const auto day = [](const Program& visit, bool first) {
    if (visit.log.empty()) return Json(nullptr);
    return Json(to_text(first ? visit.log.front().date : visit.log.back().date));
  };
  for (const Program* visit : head.shown)
    document["visits"].push_back({{"visit", visit->visit}, {"from", day(*visit, true)}, {"to", day(*visit, false)}});
  document["work"] = Json::array();
  for (const WorkDone& done : work)
    document["work"].push_back({{"visit", done.visit}, {"date", to_text(done.date)}, {"job", done.text}});
}

}  // namespace

void add_drift(Json& document, const DriftHead& head, const Drift& drift) {
  add_head(document, head, drift.work);
  document["climate"] = Json::array();
  for (const DriftRow& row : drift.climate) document["climate"].push_back(row_of(row));
  document["circumstances"] = Json::array();
  for (const Circumstance& each : drift.circumstances)
    document["circumstances"].push_back({{"what", each.word}, {"then", each.then}, {"now", each.now}});
  document["rows"] = Json::array();
  for (const DriftRow& row : drift.rows) document["rows"].push_back(row_of(row));
}

void add_history(Json& document, const DriftHead& head, const History& history) {
  add_head(document, head, history.work);
  document["history"] = Json::array();
  for (const HistoryRow& row : history.rows) {
    Json values = Json::array();
    for (const HistoryCell& cell : row.cells) {
      values.push_back(cell.value ? value_of(*cell.value) : Json(nullptr));
      if (cell.value) values.back().update({{"comparable", cell.comparable}, {"moved", moved_of(cell.moved)}});
    }
    document["history"].push_back({{"reading", row.name}, {"method", row.method}, {"values", values}});
  }
}

void add_board(Json& document, const Board& board, const std::string& house) {
  document["house"] = house;
  document["today"] = to_text(board.today);
  document["bench_hours_a_day"] = bench_hours_a_day;
  document["visits"] = Json::array();
  for (const BoardRow& row : board.rows) {
    Json out{{"file", row.path}, {"visit", row.visit}, {"label", row.label}};
    if (!row.owner.empty()) out["owner"] = row.owner;
    out["due"] = row.due ? Json(to_text(*row.due)) : Json(nullptr);
    out["days"] = row.days ? Json(*row.days) : Json(nullptr);
    out["state"] = to_text(row.state);
    out["what"] = row.what;
    out["yes"] = row.yes;
    if (!row.overdue_wait.empty()) out["overdue_wait"] = row.overdue_wait;
    out["minutes"] = row.minutes.to_double();
    out["untimed"] = row.untimed;
    out["wait_low_h"] = row.wait_low.to_double();
    out["wait_high_h"] = row.wait_high.to_double();
    out["too_late"] = row.too_late;
    out["too_late_in_turn"] = row.too_late_in_turn;
    out["can_be_done_now"] = row.can_be_done_now;
    document["visits"].push_back(std::move(out));
  }
  document["count"] = Json::object();
  for (std::size_t i = 0; i < visit_states; ++i)
    document["count"][to_text(static_cast<VisitState>(i))] = board.count[i];
  document["minutes"] = board.minutes.to_double();
}

void add_why(Json& document, const JsonContext& context, const std::vector<Why>& answers) {
  const VisitJson parts(context);
  document["visit"] = context.program.visit;
  document["answers"] = Json::array();
  for (const Why& answer : answers) {
    Json out{{"title", answer.title}};
    add_subject(out, answer, context, parts);
    out["facts"] = facts_of(answer);
    document["answers"].push_back(std::move(out));
  }
}

void add_note(Json& document, const JsonContext& context, const std::string& path, const std::string& entry) {
  document["visit"] = context.program.visit;
  document["written"] = path;
  document["entry"] = entry;
  document["next"] = context.plan.lines.empty() ? Json(nullptr) : VisitJson(context).line(0);
}

std::string json_text(const Json& document) {
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string json_line(const Json& document) {
  return document.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace stringline
