#include "engine/paper/json.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "engine/diag/render.h"

namespace stringline {
namespace {

Json names_of(const Program& program, const std::vector<PointId>& points) {
  Json names = Json::array();
  for (const PointId point : points) names.push_back(program.points[point].name);
  return names;
}

Json jobs_of(const Program& program, const std::vector<JobId>& jobs) {
  Json names = Json::array();
  for (const JobId job : jobs) names.push_back(program.jobs[job].name);
  return names;
}

Json needs_of(const Program& program, const std::vector<Need>& needs) {
  Json names = Json::array();
  for (const Need& need : needs)
    names.push_back(need.fact ? program.facts[need.id].name : program.points[need.id].name);
  return names;
}

Json number_of(const std::optional<Ratio>& value) { return value ? Json(value->to_double()) : Json(nullptr); }

class Writer {
 public:
  explicit Writer(const JsonContext& context)
      : program_(context.program),
        judgement_(context.judgement),
        plan_(context.plan),
        sources_(context.sources),
        scene_(program_, judgement_),
        evaluator_(program_, scene_) {}

  void write(Json& out) {
    out["visit"] = program_.visit;
    out["profile"] = program_.profile;
    out["house"] = program_.house;
    out["ended_early"] = plan_.ended_early;
    out["charge"] = plan_.charge.empty() ? Json(nullptr) : Json(plan_.charge);
    out["told"] = plan_.told;
    out["lines"] = Json::array();
    for (const PlanLine& line : plan_.lines) out["lines"].push_back(line_of(line, out["lines"].size() + 1));
    out["left"] = Json::array();
    for (const LeftAlone& left : plan_.left) out["left"].push_back(left_of(left));
    out["conflicts"] = Json::array();
    for (const Conflict& each : plan_.conflicts)
      out["conflicts"].push_back({{"jobs", jobs_of(program_, {each.one, each.other})},
                                  {"readings", names_of(program_, each.points)},
                                  {"why", each.why}});
    out["readings"] = Json::array();
    for (PointId point = 0; point < program_.points.size(); ++point) out["readings"].push_back(reading_of(point));
    truths(out);
    out["rules"] = rules();
    out["assumed"] = Json::array();
    for (PointId point = 0; point < program_.points.size(); ++point) {
      if (judgement_.points[point].assumed) out["assumed"].push_back(program_.points[point].name);
    }
    log(out);
  }

 private:
  Json left_of(const LeftAlone& left) const {
    return {{"what", left.what},
            {"job", left.job ? Json(program_.jobs[*left.job].name) : Json(nullptr)},
            {"readings", names_of(program_, left.points)},
            {"why", left.why},
            {"open", left.open}};
  }

  static const char* form_of(PlanLine::Form form) {
    switch (form) {
      case PlanLine::Form::read_first: return "read_first";
      case PlanLine::Form::read_again: return "read_again";
      case PlanLine::Form::job: return "job";
      case PlanLine::Form::offer: return "offer";
    }
    return "";
  }

  Json line_of(const PlanLine& line, std::size_t number) const {
    Json out{{"number", number}, {"form", form_of(line.form)}};
    const auto job = [&](const std::optional<JobId>& id) { return id ? Json(program_.jobs[*id].name) : Json(nullptr); };
    out["job"] = job(line.job);
    if (line.job) out["label"] = program_.jobs[*line.job].label;
    out["readings"] = names_of(program_, line.points);
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
    out["read_after"] = names_of(program_, line.read_after);
    out["if_low"] = job(line.if_low);
    out["if_high"] = job(line.if_high);
    if (line.job) about_job(out, line);
    return out;
  }

  void about_job(Json& out, const PlanLine& line) const {
    const JobInfo& job = program_.jobs[*line.job];
    out["covered"] = job.covered && !plan_.ended_early;
    out["waits_for_yes"] = line.waits_for_yes;
    out["minutes"] = job.minutes ? Json(job.minutes->value.to_double()) : Json(nullptr);
    const auto hours = job.wait ? divide(job.wait->second.value, info(Unit::hour).factor) : std::nullopt;
    out["wait_h"] = number_of(hours);
    const auto texts = [&](const std::vector<TypedText>& from) {
      Json list = Json::array();
      for (const TypedText& text : from) list.push_back(evaluator_.text(text));
      return list;
    };
    out["steps"] = texts(job.steps);
    out["cautions"] = texts(job.cautions);
  }

  static const char* status_of(PointState::Status status) {
    switch (status) {
      case PointState::Status::not_read: return "not_read";
      case PointState::Status::read: return "read";
      case PointState::Status::stale: return "stale";
      case PointState::Status::not_measurable: return "not_measurable";
    }
    return "";
  }

  Json reading_of(PointId point) const {
    const PointState& state = judgement_.points[point];
    Json out{{"name", program_.points[point].name}, {"status", status_of(state.status)}};
    const Result result = scene_.reading(point);
    const bool computed = program_.reading_of(point).source == ReadingInfo::Source::computed;
    const Value& value = computed ? result.value : state.value;
    if (state.status != PointState::Status::not_read || (computed && result.needs.empty())) {
      out["text"] = state.contact ? "contact" : to_text(value);
      if (value.kind == Kind::number) {
        out["unit"] = std::string(info(value.unit).written);
        out["lo"] = number_of(value.number.lo);
        out["hi"] = number_of(value.number.hi);
      }
    }
    if (state.entry > 0) {
      out["entry"] = state.entry;
      out["at"] = place(state.span, sources_);
    }
    if (!state.stale_by.empty()) out["stale_by"] = state.stale_by;
    out["assumed"] = state.assumed;
    if (state.method) out["method"] = state.method->text;
    if (program_.target_of[point] >= 0) out["target"] = target_of(static_cast<std::size_t>(program_.target_of[point]));
    return out;
  }

  Json target_of(std::size_t at) const {
    const TargetInfo& target = program_.targets[at];
    const TargetState& state = judgement_.targets[at];
    Json out{{"lo", number_of(state.lo)}, {"hi", number_of(state.hi)}, {"aim", number_of(state.aim)}};
    if (target.range) {
      out["at"] = place(target.range_origin.span, sources_);
      out["overrode"] = Json::array();
      for (const Span& span : target.range_origin.overrode) out["overrode"].push_back(place(span, sources_));
    }
    out["phase"] =
        target.phase >= 0 ? Json(program_.phases[static_cast<std::size_t>(target.phase)].name) : Json(nullptr);
    out["verdict"] = to_text(state.verdict);
    out["probability"] = state.probability ? Json(*state.probability) : Json(nullptr);
    out["needs"] = needs_of(program_, state.needs);
    if (state.converted)
      out["converted"] = {{"lo", number_of(state.converted->lo)}, {"hi", number_of(state.converted->hi)}};
    if (state.possible) out["possible"] = {{"lo", state.possible->lo}, {"hi", state.possible->hi}};
    return out;
  }

  static Json truth_of(Truth truth) { return truth == Truth::unknown ? Json(nullptr) : Json(truth == Truth::yes); }

  void truths(Json& out) const {
    out["gates"] = Json::array();
    for (std::size_t i = 0; i < program_.gates.size(); ++i)
      out["gates"].push_back({{"name", program_.gates[i].name},
                              {"open", truth_of(judgement_.gates[i].truth)},
                              {"needs", needs_of(program_, judgement_.gates[i].needs)}});
    out["stops"] = Json::array();
    for (std::size_t i = 0; i < program_.stops.size(); ++i)
      out["stops"].push_back({{"name", program_.stops[i].name},
                              {"true", truth_of(judgement_.stops[i].truth)},
                              {"needs", needs_of(program_, judgement_.stops[i].needs)}});
  }

  Json rules() const {
    static constexpr const char* names[] = {"fired", "clear", "unknown", "not_applicable", "error"};
    Json out{{"count", program_.rules.size()}};
    for (std::size_t i = 0; i < judgement_.ledger.size(); ++i) out[names[i]] = judgement_.ledger[i];
    out["list"] = Json::array();
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      const RuleOutcome& outcome = judgement_.rules[i];
      Json rule{{"name", program_.rules[i].name},
                {"state", names[static_cast<std::size_t>(outcome.state)]},
                {"instances_fired", outcome.fired.size()},
                {"needs", needs_of(program_, outcome.needs)}};
      if (outcome.failure) rule["error"] = outcome.failure->message;
      out["list"].push_back(std::move(rule));
    }
    return out;
  }

  void log(Json& out) const {
    out["spare_readings"] = judgement_.spare_readings;
    out["contradicted"] = Json::array();
    for (const Contradicted& each : judgement_.contradicted)
      out["contradicted"].push_back(
          {{"reading", program_.points[each.point].name}, {"residual_mm", each.residual}, {"u_mm", each.u}});
    out["done"] = jobs_of(program_, judgement_.done);
    out["agreed"] = jobs_of(program_, judgement_.agreed);
    out["declined"] = jobs_of(program_, judgement_.declined);
    out["asked"] = jobs_of(program_, judgement_.asked);
    out["closed"] = judgement_.closed;
    out["last_visit"] = judgement_.last != nullptr ? Json(judgement_.last->visit) : Json(nullptr);
  }

  const Program& program_;
  const Judgement& judgement_;
  const Plan& plan_;
  const Sources& sources_;
  Scene scene_;
  Evaluator evaluator_;
};

Json chord_of(const Program& program, const SourChord& chord) {
  Json out{
      {"chord", chord.written}, {"spread_cents", chord.spread}, {"missing", chord.missing}, {"assumed", chord.assumed}};
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

}  // namespace

Json json_head(const std::string& command, const Diagnostics& diagnostics, const Sources& sources) {
  Json document{{"stringline", {{"shape", 1}, {"command", command}}}};
  document["diagnostics"] = Json::parse(render_json(diagnostics, sources));
  return document;
}

void add_work(Json& document, const JsonContext& context, const std::vector<SourChord>& chords,
              const std::vector<CleanSide>& clean) {
  Writer(context).write(document);
  document["chords"] = Json::array();
  for (const SourChord& chord : chords) document["chords"].push_back(chord_of(context.program, chord));
  document["clean"] = Json::array();
  for (const CleanSide& side : clean) document["clean"].push_back(side_of(context.program, side));
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

void add_why(Json& document, const std::vector<Why>& answers) {
  document["answers"] = Json::array();
  for (const Why& answer : answers) {
    Json facts = Json::array();
    for (const WhyFact& fact : answer.facts) facts.push_back({{"word", fact.word}, {"text", fact.text}});
    document["answers"].push_back({{"title", answer.title}, {"facts", facts}});
  }
}

std::string json_text(const Json& document) {
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace stringline
