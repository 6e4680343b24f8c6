// See why.h.
#include "engine/plan/why.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/check/disturb.h"
#include "engine/check/mentions.h"
#include "engine/diag/render.h"
#include "engine/judge/instrument.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

class Teller {
 public:
  explicit Teller(const WhyContext& context)
      : program_(context.program),
        judgement_(context.judgement),
        plan_(context.plan),
        sources_(context.sources),
        scene_(program_, judgement_),
        evaluator_(program_, scene_) {}

  Why point(PointId id) {
    facts_.clear();
    const ReadingInfo& reading = program_.reading_of(id);
    value(id);
    if (reading.gap && judgement_.points[id].status != PointState::Status::read) from_the_others(id, *reading.gap);
    if (reading.source == ReadingInfo::Source::computed) {
      say("computed", written(reading.formula->span));
      readings_of(*reading.formula);
    } else {
      say("method", method_text(reading));
    }
    if (program_.target_of[id] >= 0) target(static_cast<std::size_t>(program_.target_of[id]));
    lines_about(id);
    return {name_points(program_, {id}), facts_};
  }

  Why gate(std::size_t at) {
    facts_.clear();
    const GateInfo& gate = program_.gates[at];
    condition("open when", *gate.open_when, judgement_.gates[at]);
    say("now", judgement_.gates[at].truth == Truth::yes  ? "open"
               : judgement_.gates[at].truth == Truth::no ? "closed"
                                                         : "not known, so it counts as closed");
    if (gate.holds_visit) say("holds", "the whole visit");
    if (!gate.voids.empty()) say("voids", name_readings(program_, gate.voids));
    if (!gate.holds.empty()) say("holds", name_readings(program_, gate.holds));
    jobs("opened by", gate.jobs);
    return {fmt::format("the gate '{}'", gate.name), facts_};
  }

  Why stop(std::size_t at) {
    facts_.clear();
    const StopInfo& stop = program_.stops[at];
    condition("when", *stop.when, judgement_.stops[at]);
    say("now", judgement_.stops[at].truth == Truth::yes  ? "true: the work ends here"
               : judgement_.stops[at].truth == Truth::no ? "false"
                                                         : "not ruled out");
    jobs("does", stop.jobs);
    jobs("offers", stop.offers);
    return {fmt::format("the stop '{}'", stop.name), facts_};
  }

  Why rule(std::size_t at) {
    static constexpr const char* names[] = {"fired", "clear", "unknown", "not applicable", "error"};
    facts_.clear();
    const RuleInfo& rule = program_.rules[at];
    const RuleOutcome& outcome = judgement_.rules[at];
    condition("when", *rule.when, {Truth::unknown, outcome.needs, outcome.failure});
    say("now", names[static_cast<std::size_t>(outcome.state)]);
    for (const Hand& hand : outcome.fired) {
      if (rule.because) say("because", evaluator_.text(*rule.because, hand));
    }
    jobs("plans", rule.jobs);
    jobs("offers", rule.offers);
    return {fmt::format("the rule '{}'", rule.name), facts_};
  }

  Why job(JobId id) {
    facts_.clear();
    const JobInfo& job = program_.jobs[id];
    say("called", job.label);
    std::string phases;
    for (const int phase : phases_of(program_, id)) phases += (phases.empty() ? "" : ", ") + phase_name(phase);
    say("turn", phases.empty() ? "none: only a gate or a stop calls it" : phases);
    say("written", place(job.span, sources_));
    callers(id);
    const auto moved = disturbed_by(program_, job);
    if (!moved.empty()) say("moves", name_readings(program_, moved));
    say("paid", job.covered ? "in the " + program_.package : job.needs_yes ? "extra; needs the owner's yes" : "extra");
    if (!lines_of(id)) say("plan", "not in it: nothing calls it now");
    return {fmt::format("the job '{}'", job.name), facts_};
  }

  Why before(JobId a, JobId b) {
    facts_.clear();
    const auto turns_a = phases_of(program_, a);
    const auto turns_b = phases_of(program_, b);
    const std::string& name_a = program_.jobs[a].label;
    const std::string& name_b = program_.jobs[b].label;
    if (turns_a.empty() || turns_b.empty()) {
      say("order", "one of them has no turn of its own: a gate or a stop calls it when it must");
    } else if (turns_a.front() != turns_b.front()) {
      const bool first = turns_a.front() < turns_b.front();
      say("order",
          fmt::format("the house's order puts {} before {}{}", phase_name(std::min(turns_a.front(), turns_b.front())),
                      phase_name(std::max(turns_a.front(), turns_b.front())),
                      first ? "" : fmt::format(": '{}' comes after '{}'", name_a, name_b)));
      say("written", place(program_.phases[static_cast<std::size_t>(turns_a.front())].span, sources_));
    } else {
      same_phase(a, b, turns_a.front());
    }
    disturbs(a, b);
    disturbs(b, a);
    return {fmt::format("'{}' before '{}'", name_a, name_b), facts_};
  }

 private:
  void say(std::string word, std::string text) { facts_.push_back({std::move(word), std::move(text)}); }

  const std::string& phase_name(int phase) const { return program_.phases[static_cast<std::size_t>(phase)].name; }

  std::string written(Span span) const {
    return std::string(sources_.text(span.source).substr(span.begin, span.end - span.begin));
  }

  void value(PointId id) {
    const PointState& state = judgement_.points[id];
    switch (state.status) {
      case PointState::Status::not_measurable: return say("value", "can not be measured");
      case PointState::Status::not_read: {
        const Result result = scene_.reading(id);
        const bool computed = program_.reading_of(id).source == ReadingInfo::Source::computed && result.needs.empty();
        return say("value", computed ? to_text(result.value) : "not read");
      }
      case PointState::Status::stale:
        return say("value",
                   fmt::format("stale since {}; it was {}, {}", state.stale_by, to_text(state.value), origin(state)));
      case PointState::Status::read: break;
    }
    const std::string text = state.contact ? "contact" : to_text(state.value);
    say("value", fmt::format("{}, {}", text, origin(state)));
    if (state.method) say("read as", state.method->text);
  }

  // What the model makes of the other readings.
  void from_the_others(PointId id, const Gap& method) {
    const Instrument instrument(program_, judgement_.points);
    if (const auto value = instrument.value(id, method))
      return say("model",
                 fmt::format("the other readings put it at {}", shown(program_, judgement_, id, value->value)));
    if (const auto range = instrument.interval(id, method))
      say("model", fmt::format("the other readings leave it between {}", shown(program_, judgement_, id, *range)));
  }

  std::string origin(const PointState& state) const {
    if (state.assumed) return "assumed, nobody wrote it";
    return fmt::format("entry {}, {}", state.entry, place(state.span, sources_));
  }

  static std::string method_text(const ReadingInfo& reading) {
    std::string text = reading.gap ? reading.gap->text : reading.of;
    const auto add = [&](const std::string& more) { text += (text.empty() ? "" : "; ") + more; };
    if (!reading.with.empty()) add(reading.with);
    if (reading.read_to) add("told apart to " + to_text(reading.read_to->value, reading.read_to->unit));
    return text.empty() ? "seen" : text;
  }

  void target(std::size_t at) {
    const TargetInfo& target = program_.targets[at];
    const TargetState& state = judgement_.targets[at];
    const PointId id = target.point;
    const auto shown_at = [&](Ratio value) {
      const Unit unit = judgement_.points[id].value.unit;
      return to_text(value, unit == Unit::none ? program_.reading_of(id).unit : unit);
    };
    if (state.verdict == Verdict::not_applicable) return say("target", "none here: its when: is false");
    say("target", scene_.target_text(id) + (state.aim ? ", aim " + shown_at(*state.aim) : "") +
                      (target.gap ? ", " + target.gap->text : ""));
    if (target.range) say("set at", origins(target.range_origin));
    if (target.want) say("wish", fmt::format("the player's, {}", place(target.want->span, sources_)));
    if (state.converted)
      say("converted", to_text(Value{Kind::number, *state.converted, program_.reading_of(id).unit, false, {}, {}, {}}));
    if (state.possible) say("may be", shown(program_, judgement_, id, *state.possible));
    say("verdict", verdict_text(at));
    if (state.probability)
      say("conforms", fmt::format("with probability {:.4f}, the tool taken as it is", *state.probability));
    needs(state.needs);
    answers("if low", target.low);
    answers("if high", target.high);
  }

  std::string origins(const Origin& origin) const {
    std::string text = place(origin.span, sources_);
    for (auto span = origin.overrode.begin(); span != origin.overrode.end(); ++span)
      text += fmt::format("; over {}", place(*span, sources_));
    return text;
  }

  // How far the reading is from the limit it is nearest to, and how much the tool leaves open.
  std::string verdict_text(std::size_t at) const {
    const TargetState& state = judgement_.targets[at];
    const PointId id = program_.targets[at].point;
    const auto& number = judgement_.points[id].value.number;
    std::string text = to_text(state.verdict);
    const bool read = judgement_.points[id].status == PointState::Status::read && number.is_point() && !state.converted;
    if (!read || (!state.lo && !state.hi)) return text;
    const auto distance = [&](const std::optional<Ratio>& limit) {
      const auto apart = limit ? subtract(*number.lo, *limit) : std::nullopt;
      return apart ? std::abs(apart->to_double()) : INFINITY;
    };
    const bool lower = distance(state.lo) < distance(state.hi);
    const Ratio& limit = lower ? *state.lo : *state.hi;
    const auto apart = absolute(*subtract(*number.lo, limit));
    text += fmt::format("; {} from the {} limit", to_text(*apart, judgement_.points[id].value.unit),
                        lower ? "lower" : "upper");
    return text + uncertainty_text(id);
  }

  std::string uncertainty_text(PointId id) const {
    const ReadingInfo& reading = program_.reading_of(id);
    if (program_.decide == Decide::plain) return "; the house holds the number itself against the limit";
    if (!reading.read_to) return "";
    const double d = reading.read_to->value.to_double();
    const double rep = reading.repeat ? reading.repeat->value.to_double() : 0.0;
    const double n = std::max(1, judgement_.points[id].readings);
    const auto expanded = Ratio::floor_of(std::sqrt(d * d / 3.0 + 4.0 * rep * rep / n));
    return expanded ? fmt::format("; the tool leaves {} open to each side",
                                  shown(program_, judgement_, id, model::exactly(expanded->to_double())))
                    : "";
  }

  void needs(const std::vector<Need>& needs) {
    std::vector<PointId> points;
    std::string facts;
    for (const Need& need : needs) {
      if (need.fact)
        facts += (facts.empty() ? "" : ", ") + program_.facts[need.id].name;
      else
        points.push_back(need.id);
    }
    if (!points.empty()) say("needs", name_readings(program_, points));
    if (!facts.empty()) say("not said", facts);
  }

  void readings_of(const Typed& expr) {
    for (const PointId id : mentioned_in(program_, expr)) {
      const PointState& state = judgement_.points[id];
      if (state.status != PointState::Status::read || state.assumed) continue;
      say("read", fmt::format("{} {}, {}", name_points(program_, {id}),
                              state.contact ? "contact" : to_text(state.value), origin(state)));
    }
  }

  void condition(const char* word, const Typed& expr, const TruthState& state) {
    say(word, written(expr.span));
    say("written", place(expr.span, sources_));
    readings_of(expr);
    needs(state.needs);
    if (state.failure) say("error", state.failure->message);
  }

  void jobs(const char* word, const std::vector<JobChoice>& choices) {
    for (const JobChoice& choice : choices) {
      for (const JobId job : jobs_in(choice)) say(word, program_.jobs[job].label);
    }
  }

  void answers(const char* word, const std::optional<JobChoice>& choice) {
    if (!choice) return;
    for (const JobId job : jobs_in(*choice)) say(word, program_.jobs[job].label);
  }

  void lines_about(PointId id) {
    int number = 0;
    for (const PlanLine& line : plan_.lines) {
      ++number;
      if (std::count(line.points.begin(), line.points.end(), id) == 0) continue;
      const char* what = line.job ? program_.jobs[*line.job].label.c_str() : "it is read";
      say("plan", fmt::format("line {}: {}", number, what));
    }
    for (const LeftAlone& left : plan_.left) {
      if (std::count(left.points.begin(), left.points.end(), id) > 0) say("left", left.why);
    }
  }

  bool lines_of(JobId id) {
    bool any = false;
    int number = 0;
    for (const PlanLine& line : plan_.lines) {
      ++number;
      if (line.if_low == id || line.if_high == id) {
        say("plan", fmt::format("line {}, if the reading is out", number));
        any = true;
      }
      if (line.job != id) continue;
      any = true;
      say("plan", fmt::format("line {}: {}", number, line.why_here));
      for (const std::string& because : line.because) say("because", because);
    }
    for (const LeftAlone& left : plan_.left) {
      if (left.job != id) continue;
      say("left", left.why);
      any = true;
    }
    if (std::count(judgement_.done.begin(), judgement_.done.end(), id) > 0) {
      say("log", "it was done");
      any = true;
    }
    return any;
  }

  void callers(JobId id) {
    const auto names_it = [&](const JobChoice& choice) {
      const auto jobs = jobs_in(choice);
      return std::count(jobs.begin(), jobs.end(), id) > 0;
    };
    const auto any = [&](const std::vector<JobChoice>& choices) {
      return std::any_of(choices.begin(), choices.end(), names_it);
    };
    if (program_.jobs[id].routine) say("called by", "every visit");
    std::vector<PointId> low;
    std::vector<PointId> high;
    for (const TargetInfo& target : program_.targets) {
      if (target.low && names_it(*target.low)) low.push_back(target.point);
      if (target.high && names_it(*target.high)) high.push_back(target.point);
    }
    if (!low.empty()) say("called by", name_readings(program_, low) + ", when low");
    if (!high.empty()) say("called by", name_readings(program_, high) + ", when high");
    for (const RuleInfo& rule : program_.rules) {
      if (any(rule.jobs) || any(rule.offers)) say("called by", fmt::format("the rule '{}'", rule.name));
    }
    for (const GateInfo& gate : program_.gates) {
      if (any(gate.jobs)) say("called by", fmt::format("the gate '{}'", gate.name));
    }
    for (const StopInfo& stop : program_.stops) {
      if (any(stop.jobs) || any(stop.offers)) say("called by", fmt::format("the stop '{}'", stop.name));
    }
  }

  void same_phase(JobId a, JobId b, int phase) {
    const JobInfo& first = program_.jobs[a];
    const JobInfo& second = program_.jobs[b];
    if (first.rank >= 0 && second.rank >= 0)
      say("order", fmt::format("both stand in {}, and the house names '{}' first there", phase_name(phase),
                               first.rank < second.rank ? first.label : second.label));
    else if (first.rank != second.rank)
      say("order", fmt::format("both stand in {}; the house names '{}' there, and what it names comes first",
                               phase_name(phase), first.rank >= 0 ? first.label : second.label));
    else
      say("order",
          fmt::format("both stand in {} and the house names neither there, so they go by name", phase_name(phase)));
  }

  // What `a` moves and `b` is called by or sets.
  void disturbs(JobId a, JobId b) {
    std::vector<PointId> used;
    for (const JobInfo::Set& set : program_.jobs[b].sets) used.insert(used.end(), set.points.begin(), set.points.end());
    std::vector<PointId> spoiled;
    for (const PointId point : disturbed_by(program_, program_.jobs[a])) {
      if (std::count(used.begin(), used.end(), point) > 0) spoiled.push_back(point);
    }
    const auto own = [&](PointId point) {
      return std::any_of(program_.jobs[a].sets.begin(), program_.jobs[a].sets.end(), [&](const JobInfo::Set& set) {
        return std::count(set.points.begin(), set.points.end(), point) > 0;
      });
    };
    spoiled.erase(std::remove_if(spoiled.begin(), spoiled.end(), own), spoiled.end());
    say("moves", spoiled.empty()
                     ? fmt::format("'{}' moves nothing that '{}' sets", program_.jobs[a].label, program_.jobs[b].label)
                     : fmt::format("'{}' moves {}, which '{}' sets", program_.jobs[a].label,
                                   name_readings(program_, spoiled), program_.jobs[b].label));
  }

  const Program& program_;
  const Judgement& judgement_;
  const Plan& plan_;
  const Sources& sources_;
  Scene scene_;
  Evaluator evaluator_;
  std::vector<WhyFact> facts_;
};

std::optional<JobId> find_job(const Program& program, const std::string& name) {
  for (JobId job = 0; job < program.jobs.size(); ++job) {
    if (program.jobs[job].name == name) return job;
  }
  return std::nullopt;
}

}  // namespace

std::vector<Why> why(const WhyContext& context, const std::string& name) {
  const Program& program = context.program;
  Teller teller(context);
  std::vector<Why> all;
  for (PointId point = 0; point < program.points.size(); ++point) {
    const std::string& own = program.points[point].name;
    if (own == name || own.rfind(name + ".", 0) == 0) all.push_back(teller.point(point));
  }
  const auto named = [&](const auto& list, auto tell) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (list[i].name == name) all.push_back(tell(i));
    }
  };
  named(program.gates, [&](std::size_t i) { return teller.gate(i); });
  named(program.stops, [&](std::size_t i) { return teller.stop(i); });
  named(program.rules, [&](std::size_t i) { return teller.rule(i); });
  if (const auto job = find_job(program, name)) all.push_back(teller.job(*job));
  return all;
}

std::optional<Why> why_before(const WhyContext& context, const std::string& first, const std::string& second) {
  const auto a = find_job(context.program, first);
  const auto b = find_job(context.program, second);
  if (!a || !b) return std::nullopt;
  return Teller(context).before(*a, *b);
}

std::vector<std::string> why_names(const Program& program) {
  std::vector<std::string> names;
  for (const ReadingInfo& reading : program.readings) names.push_back(reading.name);
  for (const PointInfo& point : program.points) names.push_back(point.name);
  for (const GateInfo& gate : program.gates) names.push_back(gate.name);
  for (const StopInfo& stop : program.stops) names.push_back(stop.name);
  for (const RuleInfo& rule : program.rules) names.push_back(rule.name);
  for (const JobInfo& job : program.jobs) names.push_back(job.name);
  return names;
}

}  // namespace stringline
