// One reading for `why`: what it is, who said so, what the house wants, where that was written, and what comes of it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/check/mentions.h"
#include "engine/diag/render.h"
#include "engine/judge/instrument.h"
#include "engine/plan/why_facts.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

class ReadingTeller {
 public:
  ReadingTeller(const WhyContext& context, PointId point)
      : facts_(context),
        program_(facts_.program),
        judgement_(facts_.judgement),
        point_(point),
        reading_(program_.reading_of(point)),
        state_(judgement_.points[point]) {}

  Why run() {
    value();
    if (reading_.gap && state_.status != PointState::Status::read) from_the_others();
    if (reading_.source == ReadingInfo::Source::computed)
      facts_.condition("computed", *reading_.formula, program_.points[point_].at);
    else
      facts_.say("method", method_text());
    if (const TargetInfo* info = program_.target(point_)) target(*info);
    gates();
    lines();
    Why why{Why::Kind::reading, point_, 0, name_points(program_, {point_}), {}};
    if (member_of(program_, point_).empty() || reading_.count < 2) why.title = name_readings(program_, {point_});
    why.facts = facts_.take();
    return why;
  }

 private:
  void value() {
    std::string text = facts_.value_of(point_);
    if (state_.status == PointState::Status::stale) text += fmt::format("; it was {}", to_text(state_.value));
    if (state_.status == PointState::Status::read || state_.status == PointState::Status::stale)
      text += ", " + facts_.source_of(state_);
    if (state_.readings > 1) text += fmt::format("; the mean of {}", state_.readings);
    facts_.say("value", text);
    if (state_.expected)
      facts_.say("expect", shown(program_, judgement_, point_, *state_.expected) + ", by what was done since");
    if (state_.method) facts_.say("read as", state_.method->text);
    if (judgement_.last == nullptr) return;
    const auto before = judgement_.last->readings.find(program_.points[point_].name);
    if (before != judgement_.last->readings.end())
      facts_.say("before", fmt::format("{} at visit {}, {}", to_text(before->second), judgement_.last->visit,
                                       to_text(judgement_.last->date)));
  }

  // What the model makes of the other readings.
  void from_the_others() {
    const Instrument instrument(program_, judgement_.points);
    if (const auto value = instrument.value(point_, *reading_.gap))
      return facts_.say("model", "the other readings put it at " + shown(program_, judgement_, point_, value->value));
    if (const auto range = instrument.interval(point_, *reading_.gap))
      facts_.say("model", "the other readings leave it open: " + shown(program_, judgement_, point_, *range));
  }

  std::string method_text() const {
    std::string text = what_and_how(reading_);
    const auto add = [&](const std::string& more) { text += (text.empty() ? "" : "; ") + more; };
    if (!reading_.with.empty()) add("with " + reading_.with);
    if (reading_.read_to) add("told apart to " + apart_text(*reading_.read_to));
    if (reading_.repeat) add("repeats within " + apart_text(*reading_.repeat) + ", one sigma");
    return text.empty() ? "seen" : text;
  }

  Unit unit() const { return state_.value.unit == Unit::none ? reading_.unit : state_.value.unit; }
  std::string in_own_unit(Ratio value) const { return to_text(value, unit(), std::nullopt, reading_.type.difference); }
  static std::string apart_text(const Quantity& step) { return to_text(step.value, step.unit, std::nullopt, true); }

  void target(const TargetInfo& info) {
    const TargetState& target = judgement_.targets[static_cast<std::size_t>(program_.target_of[point_])];
    if (info.phase >= 0) facts_.say("turn", program_.phases[static_cast<std::size_t>(info.phase)].name);
    if (info.when) facts_.condition("only when", *info.when);
    if (target.verdict == Verdict::not_applicable) return facts_.say("target", "none here");
    if (info.range) {
      facts_.say("target", facts_.scene.target_text(point_) + (target.aim ? ", aim " + in_own_unit(*target.aim) : "") +
                               (info.gap ? ", " + info.gap->text : ""));
      facts_.say("set at", place(info.range_origin.span, facts_.sources));
      for (const Span& span : info.range_origin.overrode) facts_.say("over", place(span, facts_.sources));
    }
    wish(info, target);
    if (target.converted) {
      Value value;
      value.number = *target.converted;
      value.unit = reading_.unit;
      facts_.say("converted", to_text(value) + " by the target's method");
    }
    if (target.possible)
      facts_.say("may be", shown(program_, judgement_, point_, *target.possible) + " by the target's method");
    facts_.say("verdict", to_text(target.verdict) + arithmetic(target));
    if (target.probability) facts_.say("conforms", probability_text(*target.probability));
    facts_.needs(target.needs);
    answers("if low", info.low);
    answers("if high", info.high);
  }

  void wish(const TargetInfo& info, const TargetState& target) {
    if (!info.want) return;
    std::string text = facts_.written(info.want->span) + ", " + place(info.want->span, facts_.sources);
    if (target.left) text += "; its first reading is the aim";
    if (target.asked) text += "; the reading is not there yet";
    facts_.say("player", text);
  }

  // How far the reading is from the limit it is nearest to, against what the tool leaves open.
  std::string arithmetic(const TargetState& target) const {
    const auto& number = facts_.scene.reading(point_).value.number;
    const bool counts = number.is_exact() && !target.converted && target.verdict != Verdict::not_read &&
                        (target.lo || target.hi) && state_.status != PointState::Status::stale;
    if (!counts) return "";
    const auto apart = [&](const std::optional<Ratio>& limit) {
      const auto difference = limit ? subtract(*number.lo, *limit) : std::nullopt;
      return difference ? std::abs(difference->to_double()) : INFINITY;
    };
    const bool lower = apart(target.lo) < apart(target.hi);
    const Ratio limit = lower ? *target.lo : *target.hi;
    const auto difference = subtract(*number.lo, limit);
    if (!difference) return "";
    const std::string from = *difference == Ratio(0)
                                 ? fmt::format("on the {} limit", lower ? "lower" : "upper")
                                 : fmt::format("{} {} the {} limit", apart_text({*absolute(*difference), unit()}),
                                               difference->negative() ? "under" : "over", lower ? "lower" : "upper");
    return fmt::format(": {}{}", from, open_text());
  }

  // U of value/conformity.h.
  std::string open_text() const {
    if (program_.decide == Decide::plain) return "; the house holds the number itself against the limit";
    if (!reading_.read_to && !reading_.repeat) return "; no read_to:, so the number itself counts";
    const Ratio step = reading_.read_to ? reading_.read_to->value : Ratio(0);
    const Ratio repeat = reading_.repeat ? reading_.repeat->value : Ratio(0);
    const auto square = expanded_square({step, repeat, state_.readings});
    const auto open = square ? Ratio::floor_of(std::sqrt(square->to_double())) : std::nullopt;
    if (!open) return "";
    const auto finest = Ratio::make(1, 1000);
    const bool metric = unit() == Unit::mm;
    return fmt::format("; the tool leaves U = {} open to each side",
                       to_text(*open, unit(), metric ? finest : std::nullopt, true));
  }

  static std::string probability_text(double probability) {
    constexpr double least = 0.0001;
    const std::string text = probability < least       ? fmt::format("under {}", least)
                             : probability > 1 - least ? fmt::format("over {}", 1 - least)
                                                       : fmt::format("{:.4f}", probability);
    return text + ": the probability that the true value lies in the range";
  }

  void answers(const char* word, const std::optional<JobChoice>& choice) {
    if (!choice) return;
    const auto rows = facts_.evaluator.possible(*choice, program_.points[point_].at);
    for (const auto* leaf : rows.leaves) {
      if (*leaf) facts_.say(word, facts_.job(**leaf));
    }
    if (rows.leaves.size() > 1) facts_.needs(rows.needs);
  }

  void gates() {
    const auto among = [&](const std::vector<PointId>& points) {
      return std::count(points.begin(), points.end(), point_) > 0;
    };
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      const GateInfo& gate = program_.gates[i];
      if (judgement_.gates[i].truth == Truth::yes) continue;
      if (among(gate.voids)) facts_.say("void", fmt::format("while the gate '{}' is not open", gate.name));
      if (among(gate.holds)) facts_.say("held", fmt::format("while the gate '{}' is not open", gate.name));
    }
  }

  void lines() {
    for (std::size_t i = 0; i < facts_.plan.lines.size(); ++i) {
      const PlanLine& line = facts_.plan.lines[i];
      if (std::count(line.points.begin(), line.points.end(), point_) == 0) continue;
      facts_.say("plan", fmt::format("line {}: {}", i + 1, line.job ? program_.jobs[*line.job].label : "it is read"));
    }
    for (const LeftAlone& left : facts_.plan.left) {
      if (std::count(left.points.begin(), left.points.end(), point_) > 0) facts_.say("left", left.why);
    }
    for (const Conflict& conflict : facts_.plan.conflicts) {
      if (std::count(conflict.points.begin(), conflict.points.end(), point_) > 0) facts_.say("conflict", conflict.why);
    }
  }

  WhyFacts facts_;
  const Program& program_;
  const Judgement& judgement_;
  PointId point_;
  const ReadingInfo& reading_;
  const PointState& state_;
};

}  // namespace

Why why_reading(const WhyContext& context, PointId point) { return ReadingTeller(context, point).run(); }

}  // namespace stringline
