// See judge.h.
#include "engine/judge/judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/check/disturb.h"
#include "engine/check/mentions.h"
#include "engine/judge/aftermath.h"
#include "engine/judge/called_again.h"
#include "engine/judge/instrument.h"
#include "engine/judge/made_of.h"
#include "engine/text/plain_name.h"

namespace stringline {

const char* to_text(Verdict verdict) {
  switch (verdict) {
    case Verdict::within: return "within";
    case Verdict::high: return "high";
    case Verdict::low: return "low";
    case Verdict::too_close: return "too close to call";
    case Verdict::not_read: return "not read";
    case Verdict::stale: return "stale";
    case Verdict::void_: return "void";
    case Verdict::target_unknown: return "target unknown";
    case Verdict::not_applicable: return "not applicable";
  }
  return "";
}

Result Scene::reading(PointId point) const {
  const ReadingInfo& info = program_.reading_of(point);
  const PointState& state = judgement_.points[point];
  if (state.voided) return Nothing(program_).reading(point);
  if (info.source == ReadingInfo::Source::computed && state.status != PointState::Status::read) {
    return Evaluator(program_, *this).evaluate(*info.formula, program_.points[point].at);
  }
  if (state.status == PointState::Status::read) {
    Result result = known(state.value);
    if (state.value.kind == Kind::number && !state.value.number.is_exact()) result.needs = {{false, point}};
    return result;
  }
  Result result = Nothing(program_).reading(point);
  if (state.status == PointState::Status::not_measurable) result.needs.clear();
  return result;
}

Result Scene::verdict_is(PointId point, Verdict verdict) const {
  if (program_.target_of[point] < 0) return truth_result(Truth::no);
  const TargetState& state = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
  const bool decided = state.verdict == Verdict::within || state.verdict == Verdict::high ||
                       state.verdict == Verdict::low || state.verdict == Verdict::not_applicable;
  if (decided) return truth_result(state.verdict == verdict ? Truth::yes : Truth::no);
  return unknown_truth(state.needs.empty() ? std::vector<Need>{{false, point}} : state.needs);
}

Result Scene::aim(PointId point) const {
  const Unit unit = program_.reading_of(point).unit;
  if (program_.target_of[point] < 0) return number_result(Interval::anything(), unit);
  const TargetState& state = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
  return number_result(state.aim ? Interval::exactly(*state.aim) : Interval::anything(), unit,
                       state.aim ? std::vector<Need>() : state.needs);
}

std::string Scene::target_text(PointId point) const {
  if (program_.target_of[point] < 0) return "(no target)";
  const TargetState& state = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
  Value value;
  value.unit = program_.reading_of(point).unit;
  value.difference = program_.reading_of(point).type.difference;
  value.number = {state.lo, state.hi, false};
  return to_text(value);
}

namespace {

class Judge {
 public:
  Judge(const Program& program, const Circumstances& circumstances)
      : program_(program),
        circumstances_(circumstances),
        scene_(program, judgement_),
        evaluator_(program, scene_),
        aftermath_(program) {}

  Judgement run() {
    judgement_.last = circumstances_.last;
    judgement_.points.resize(program_.points.size());
    judgement_.targets.resize(program_.targets.size());
    judgement_.gates.resize(program_.gates.size());
    judgement_.out_before.resize(program_.targets.size());
    changed_.resize(program_.points.size());
    closed_at_.resize(program_.gates.size());
    assume();
    for (const Entry& entry : program_.log) {
      if (entry.struck) continue;
      replay(entry);
      settle();
      follow_gates(entry);
      remember_out();
    }
    age();
    foresee();
    settle();
    void_behind_closed_gates();
    check_against_each_other();
    for (const StopInfo& stop : program_.stops) judgement_.stops.push_back(truth_of(stop.when));
    for (const RuleInfo& rule : program_.rules) {
      judgement_.rules.push_back(outcome_of(rule));
      ++judgement_.ledger[static_cast<std::size_t>(judgement_.rules.back().state)];
    }
    judgement_.called_again = called_again(program_, judgement_);
    return std::move(judgement_);
  }

 private:
  // Ranges, verdicts and gates as things stand now: those that hang on what changed since the last time, and all of them while a
  // gap is read by another method than its target's, which hangs on every other.
  void settle() {
    instrument_.reset();
    const auto converts = [&](const TargetInfo& target) {
      return other_method(target, judgement_.points[target.point]);
    };
    const bool all = !settled_ || std::any_of(program_.targets.begin(), program_.targets.end(), converts);
    const auto changed = [&](const std::vector<PointId>& hangs_on) {
      return all || std::any_of(hangs_on.begin(), hangs_on.end(), [&](PointId point) { return changed_[point]; });
    };
    for (const Standing& standing : program_.standings) {
      if (changed(standing.hangs_on))
        standing.verdict ? settle_verdict(standing.target) : settle_range(standing.target);
    }
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (changed(program_.gates[i].hangs_on)) judgement_.gates[i] = truth_of(program_.gates[i].open_when);
    }
    changed_.assign(changed_.size(), false);
    settled_ = true;
  }

  // What was read while a gate was closed is stale once it opens.
  void follow_gates(const Entry& entry) {
    bool opened = false;
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      const GateInfo& gate = program_.gates[i];
      if (judgement_.gates[i].truth == Truth::no) closed_at_[i].push_back(entry.number);
      if (judgement_.gates[i].truth != Truth::yes || closed_at_[i].empty()) continue;
      const std::string by = fmt::format("the gate '{}' was closed", plain_name(gate.name));
      const auto taken_closed = [&](PointId point) {
        const PointState& state = judgement_.points[point];
        if (state.entry != entry.number && std::count(closed_at_[i].begin(), closed_at_[i].end(), state.entry) > 0)
          spoil(point, by);
      };
      for (const PointId point : gate.voids) taken_closed(point);
      for (const PointId point : gate.holds) taken_closed(point);
      for (PointId point = 0; gate.holds_visit && point < program_.points.size(); ++point) {
        if (program_.target_of[point] >= 0) taken_closed(point);
      }
      closed_at_[i].clear();
      opened = true;
    }
    if (opened) settle();
  }

  void remember_out() {
    for (std::size_t i = 0; i < program_.targets.size(); ++i) {
      const Verdict verdict = judgement_.targets[i].verdict;
      auto& before = judgement_.out_before[i];
      if (before || (verdict != Verdict::high && verdict != Verdict::low)) continue;
      before = OutBefore{verdict, to_text(scene_.reading(program_.targets[i].point).value)};
    }
  }

  // A reading that says how long it is good for is stale after that; in a visit that was closed nothing ages any more.
  void age() {
    if (!circumstances_.today) return;
    Date today = *circumstances_.today;
    if (!program_.log.empty() && program_.log.back().closed) today = std::min(today, program_.log.back().date);
    for (PointId point = 0; point < program_.points.size(); ++point) {
      const ReadingInfo& reading = program_.reading_of(point);
      const PointState& state = judgement_.points[point];
      if (!reading.good_for || state.entry == 0) continue;
      const auto hours = Ratio(24 * days_between(state.date, today));
      const auto allowed = divide(reading.good_for->value, info(Unit::hour).factor);
      if (allowed && hours > *allowed) spoil(point, "its age");
    }
  }

  void check_against_each_other() {
    judgement_.spare_readings = instrument().spare_readings();
    if (judgement_.spare_readings > 0) judgement_.contradicted = instrument().contradicted();
  }

  const Instrument& instrument() {
    if (!instrument_) instrument_.emplace(program_, judgement_.points);
    return *instrument_;
  }

  void assume() {
    for (PointId point = 0; point < program_.points.size(); ++point) {
      const ReadingInfo& reading = program_.reading_of(point);
      if (!reading.assume) continue;
      const Result value = evaluator_.evaluate(*reading.assume);
      if (value.failure || !value.needs.empty()) continue;
      PointState& state = judgement_.points[point];
      state.status = PointState::Status::read;
      state.value = value.value;
      state.assumed = true;
    }
  }

  // What stale readings should show.
  void foresee() {
    for (PointId point = 0; point < program_.points.size(); ++point) {
      PointState& state = judgement_.points[point];
      if (state.status == PointState::Status::stale) state.expected = aftermath_.expected(point);
    }
  }

  void spoil(PointId point, const std::string& by) {
    aftermath_.forget(point);
    spoil_by_job(point, by);
  }

  void spoil_by_job(PointId point, const std::string& by) {
    PointState& state = judgement_.points[point];
    if (state.status != PointState::Status::read) return;
    changed_[point] = true;
    if (program_.reading_of(point).source == ReadingInfo::Source::computed) {  // its formula counts again
      state = PointState{};
      return;
    }
    state.status = PointState::Status::stale;
    state.stale_by = by;
  }

  // New strings or a new tuning move whatever hangs on the strings: every gap and every pitch.
  void spoil_strings(const std::string& by) {
    std::vector<PointId> moved;
    for (PointId point = 0; point < program_.points.size(); ++point) {
      const ReadingInfo& reading = program_.reading_of(point);
      if (reading.gap || reading.type.dimension == dimension::cents) moved.push_back(point);
    }
    for (const PointId point : moved) spoil(point, by);
    spoil_made_of(moved, by);
  }

  // A computed reading that was written, once what it is made of moves.
  void spoil_made_of(const std::vector<PointId>& moved, const std::string& by) {
    bool written = false;
    for (PointId point = 0; point < program_.points.size(); ++point) {
      const bool computed = program_.reading_of(point).source == ReadingInfo::Source::computed;
      written = written || (computed && judgement_.points[point].status == PointState::Status::read);
    }
    if (!written) return;
    for (const PointId point : made_of(program_, moved)) spoil(point, by);
  }

  void replay(const Entry& entry) {
    if (entry.fitted) spoil_strings("new strings");
    if (entry.retuned) spoil_strings("retuning");
    for (const DidEvent& did : entry.did) {
      const JobInfo& job = program_.jobs[did.job];
      judgement_.done.push_back(did.job);
      aftermath_.did(job);
      std::vector<PointId> moved = disturbed_by(program_, job);
      for (const PointId point : moved) spoil_by_job(point, job.label);
      for (const JobInfo::Set& set : job.sets) moved.insert(moved.end(), set.points.begin(), set.points.end());
      spoil_made_of(moved, job.label);
      for (const JobInfo::Set& set : job.sets) {
        if (!set.value) continue;
        const Result value = evaluator_.evaluate(*set.value);
        for (const PointId point : set.points) {
          put(point, value.value, entry.number, did.span);
          judgement_.points[point].by_job = true;
        }
      }
    }
    for (const ReadEvent& event : entry.read) {
      read(event, entry.number);
      judgement_.points[event.point].date = entry.date;
    }
    const auto remember = [](std::vector<JobId>& into, const std::optional<Consent>& consent) {
      if (consent) into.insert(into.end(), consent->jobs.begin(), consent->jobs.end());
    };
    const auto forget = [](std::vector<JobId>& from, const std::optional<Consent>& consent) {
      if (!consent) return;
      for (const JobId job : consent->jobs) from.erase(std::remove(from.begin(), from.end(), job), from.end());
    };
    remember(judgement_.asked, entry.asked);
    remember(judgement_.agreed, entry.agreed);
    remember(judgement_.declined, entry.declined);
    forget(judgement_.asked, entry.agreed);
    forget(judgement_.asked, entry.declined);
    forget(judgement_.declined, entry.agreed);  // the last word counts
    forget(judgement_.agreed, entry.declined);
    if (entry.agreed && entry.agreed->up_to) judgement_.up_to = entry.agreed->up_to;
    judgement_.closed = judgement_.closed || entry.closed;
  }

  void put(PointId point, const Value& value, int entry, Span span) {
    changed_[point] = true;
    PointState& state = judgement_.points[point];
    state = PointState{};
    state.status = PointState::Status::read;
    state.value = value;
    state.entry = entry;
    state.span = span;
  }

  // Several readings of one thing count as their mean.
  static std::optional<Ratio> mean_of(const ReadEvent& event) {
    if (event.numbers.empty()) return std::nullopt;
    std::optional<Ratio> sum = Ratio(0);
    for (const Ratio& number : event.numbers) sum = sum ? add(*sum, number) : sum;
    return sum ? divide(*sum, Ratio(static_cast<std::int64_t>(event.numbers.size()))) : std::nullopt;
  }

  void read(const ReadEvent& event, int entry) {
    if (event.form == ReadEvent::Form::unknown) return;
    Value value;
    value.kind = program_.reading_of(event.point).type.kind;
    value.unit = event.unit;
    value.difference = program_.reading_of(event.point).type.difference;
    if (value.kind == Kind::state) value.state = event.state;
    if (value.kind == Kind::truth) value.truth = event.truth ? Truth::yes : Truth::no;
    if (value.kind == Kind::tuning) value.pitches = event.pitches;
    if (value.kind == Kind::number) value.number = event.bound;
    if (const auto mean = mean_of(event)) value.number = Interval::exactly(*mean);
    put(event.point, value, entry, event.span);
    PointState& state = judgement_.points[event.point];
    state.readings = std::max(1, static_cast<int>(event.numbers.size()));
    state.contact = event.form == ReadEvent::Form::contact;
    state.method = event.method;
    if (event.form == ReadEvent::Form::not_measurable) state.status = PointState::Status::not_measurable;
    const bool plain = !event.numbers.empty() && !event.method && value.number.is_point();
    if (plain)
      aftermath_.read(event.point, value.number.lo->to_double());
    else
      aftermath_.forget(event.point);
  }

  std::optional<Ratio> end(const TypedPtr& expr, const Hand& hand, TargetState& state) const {
    if (!expr) return std::nullopt;
    const Result result = evaluator_.evaluate(*expr, hand);
    state.needs = merged(std::move(state.needs), result.needs);
    return result.failure || !result.value.number.is_exact() ? std::nullopt : result.value.number.lo;
  }

  void ends_of(const TypedRange& range, const Hand& hand, TargetState& state) const {
    state.lo = end(range.lo, hand, state);
    state.hi = end(range.hi, hand, state);
    state.aim = end(range.aim, hand, state);
    if (state.aim || !state.lo || !state.hi) return;
    const auto sum = add(*state.lo, *state.hi);
    if (sum) state.aim = divide(*sum, Ratio(2));
  }

  // The one range of a table whose row is known, or on which all rows still possible agree.
  void settle_range(std::size_t at) {
    const TargetInfo& target = program_.targets[at];
    TargetState& state = judgement_.targets[at];
    state = {};
    const Hand hand = program_.points[target.point].at;
    if (!target.range) return;
    const bool replaced = target.want && target.want->form == Want::Form::range;
    const auto rows = evaluator_.possible(*target.range, hand);
    if (replaced)
      ends_of(target.want->range, hand, state);
    else if (!rows.leaves.empty())
      ends_of(*rows.leaves.front(), hand, state);
    const auto agrees = [&](const TypedRange* other) {
      TargetState there;
      ends_of(*other, hand, there);
      return there.lo == state.lo && there.hi == state.hi && there.aim == state.aim;
    };
    if (!replaced && (rows.leaves.empty() || !std::all_of(rows.leaves.begin() + 1, rows.leaves.end(), agrees))) {
      state = {};
      state.needs = rows.needs;
      return;
    }
    if (target.want && target.want->form == Want::Form::aim) state.aim = end(target.want->aim, hand, state);
    if (target.want && target.want->form == Want::Form::leave) leave(target.point, state);
  }

  // The first reading becomes the aim, half the house's width to each side.
  void leave(PointId point, TargetState& state) {
    for (const Entry& entry : program_.log) {
      for (const ReadEvent& event : entry.read) {
        const auto first = mean_of(event);
        if (entry.struck || event.point != point || !first || !state.lo || !state.hi) continue;
        const auto width = subtract(*state.hi, *state.lo);
        const auto half = width ? divide(*width, Ratio(2)) : std::nullopt;
        if (!half) return;
        state.aim = *first;
        state.lo = subtract(*first, *half);
        state.hi = add(*first, *half);
        state.left = true;
        return;
      }
    }
  }

  // Read by another method than its target is stated in.
  bool other_method(const TargetInfo& target, const PointState& point) const {
    const ReadingInfo& reading = program_.reading_of(target.point);
    if (!reading.gap || point.status != PointState::Status::read) return false;
    const std::string& read = point.method ? point.method->text : reading.gap->text;
    return read != (target.gap ? target.gap->text : reading.gap->text);
  }

  // Never compared across methods in silence: converted where the readings determine it, else not judged.
  Verdict converted_verdict(const TargetInfo& target, TargetState& state) {
    const ReadingInfo& reading = program_.reading_of(target.point);
    const Gap& method = target.gap ? *target.gap : *reading.gap;
    const auto value = instrument().value(target.point, method);
    if (!value) {
      state.possible = instrument().interval(target.point, method);
      return Verdict::not_read;
    }
    state.converted = Interval::estimated(value->value.lo, value->value.hi);
    if (!state.lo && !state.hi) return Verdict::target_unknown;
    const double expanded = program_.decide == Decide::plain ? 0.0 : 2.0 * value->u;
    const auto sure = Interval::estimated(value->value.lo - expanded, value->value.hi + expanded);
    if (state.lo && less(sure, Interval::exactly(*state.lo)) == Truth::yes) return Verdict::low;
    if (state.hi && less(Interval::exactly(*state.hi), sure) == Truth::yes) return Verdict::high;
    const bool above = !state.lo || less_or_equal(Interval::exactly(*state.lo), sure) == Truth::yes;
    const bool below = !state.hi || less_or_equal(sure, Interval::exactly(*state.hi)) == Truth::yes;
    return above && below ? Verdict::within : Verdict::too_close;
  }

  void settle_verdict(std::size_t at) {
    TargetState& state = judgement_.targets[at];
    state.asked = false;
    state.probability.reset();
    state.converted.reset();
    state.possible.reset();
    state.verdict = verdict_of(at);
  }

  // Of a reading of this point, as it was read: squared, expanded.
  const std::optional<Ratio>& doubt(PointId point) {
    const ReadingId id = program_.points[point].reading;
    const int readings = judgement_.points[point].readings;
    const auto [found, fresh] = doubts_.try_emplace({id, readings});
    if (!fresh) return found->second;
    const ReadingInfo& reading = program_.readings[id];
    const bool plain = program_.decide == Decide::plain;
    const Ratio step = reading.read_to && !plain ? reading.read_to->value : Ratio(0);
    const Ratio repeat = reading.repeat && !plain ? reading.repeat->value : Ratio(0);
    return found->second = expanded_square({step, repeat, readings});
  }

  Verdict verdict_of(std::size_t at) {
    const TargetInfo& target = program_.targets[at];
    TargetState& state = judgement_.targets[at];
    if (target.when) {
      const Result when = evaluator_.evaluate(*target.when, program_.points[target.point].at);
      if (!when.failure && when.truth() == Truth::no) return Verdict::not_applicable;
    }
    const PointState& point = judgement_.points[target.point];
    const ReadingInfo& reading = program_.reading_of(target.point);
    if (point.voided) return Verdict::void_;
    if (point.status == PointState::Status::stale) return Verdict::stale;
    if (other_method(target, point)) return converted_verdict(target, state);
    const Result value = scene_.reading(target.point);
    if (value.failure || (!value.value.number.lo && !value.value.number.hi)) return Verdict::not_read;
    if (!state.lo && !state.hi) return Verdict::target_unknown;
    const auto& square = doubt(target.point);
    if (!square) return Verdict::too_close;
    const auto one = [&](Ratio y) {
      return judge_value(y, {state.lo, state.hi}, *square).value_or(Conformity::too_close);
    };
    const auto& number = value.value.number;
    if (!number.is_point()) {  // a bound is decided where all of it is
      if (number.hi && state.lo && *number.hi < *state.lo) return Verdict::low;
      if (number.lo && state.hi && *number.lo > *state.hi) return Verdict::high;
      const bool above = !state.lo || (number.lo && *number.lo >= *state.lo);
      const bool below = !state.hi || (number.hi && *number.hi <= *state.hi);
      return above && below ? Verdict::within : Verdict::too_close;
    }
    if (const double u = 0.5 * std::sqrt(square->to_double()); reading.read_to || reading.repeat) {
      state.probability = probability(number.lo->to_double(), {state.lo, state.hi}, u);
    }
    const auto near_aim = [&] {
      return !reading.read_to || !state.aim || *absolute(*subtract(*number.lo, *state.aim)) <= reading.read_to->value;
    };
    state.asked = target.want && target.want->form == Want::Form::aim && !near_aim();
    switch (one(*number.lo)) {
      case Conformity::within: return Verdict::within;
      case Conformity::high: return Verdict::high;
      case Conformity::low: return Verdict::low;
      case Conformity::too_close: return Verdict::too_close;
    }
    return Verdict::too_close;
  }

  TruthState truth_of(const TypedPtr& expr) const {
    const Result result = evaluator_.evaluate(*expr);
    TruthState state{result.failure ? Truth::unknown : result.truth(), result.needs, result.failure};
    if (state.truth != Truth::no) return state;
    const auto mentioned = mentioned_in(program_, *expr);
    state.by_job =
        std::any_of(mentioned.begin(), mentioned.end(), [&](PointId point) { return judgement_.points[point].by_job; });
    return state;
  }

  // Gates are decided by all that was read; what they void is not known to anything else.
  void void_behind_closed_gates() {
    bool any = false;
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (judgement_.gates[i].truth == Truth::yes) continue;
      for (const PointId point : program_.gates[i].voids) {
        if (!says_something(point)) continue;
        judgement_.points[point].voided = true;
        any = true;
      }
    }
    if (!any) return;
    instrument_.reset();
    for (const Standing& standing : program_.standings)
      standing.verdict ? settle_verdict(standing.target) : settle_range(standing.target);
  }

  bool says_something(PointId point) const {
    const PointState::Status status = judgement_.points[point].status;
    if (status == PointState::Status::read || status == PointState::Status::stale) return true;
    if (program_.reading_of(point).source != ReadingInfo::Source::computed) return false;
    const auto target = program_.target_of[point];
    return target < 0 || judgement_.targets[static_cast<std::size_t>(target)].verdict != Verdict::not_read;
  }

  RuleOutcome outcome_of(const RuleInfo& rule) const {
    RuleOutcome outcome;
    const std::size_t count = rule.over ? program_.axes[static_cast<std::size_t>(*rule.over)].size() : 1;
    if (count == 0) return {RuleState::not_applicable, {}, {}, {}};
    for (std::size_t member = 0; member < count; ++member) {
      Hand hand = empty_hand;
      if (rule.over) hand[static_cast<std::size_t>(*rule.over)] = static_cast<int>(member);
      const Result when = evaluator_.evaluate(*rule.when, hand);
      if (when.failure)
        outcome.failure = when.failure;
      else if (when.truth() == Truth::yes)
        outcome.fired.push_back(hand);
      else if (when.truth() == Truth::unknown)
        outcome.needs = merged(std::move(outcome.needs), when.needs);
      if (!when.failure && when.truth() == Truth::unknown) outcome.state = RuleState::unknown;
    }
    if (!outcome.fired.empty()) outcome.state = RuleState::fired;
    if (outcome.failure) outcome.state = RuleState::error;
    return outcome;
  }

  const Program& program_;
  Circumstances circumstances_;
  Judgement judgement_;
  Scene scene_;
  Evaluator evaluator_;
  Aftermath aftermath_;
  std::optional<Instrument> instrument_;                              // of the readings as they stand
  std::vector<bool> changed_;                                         // by point: since things were settled
  bool settled_ = false;                                              // once
  std::map<std::pair<ReadingId, int>, std::optional<Ratio>> doubts_;  // by reading and how often it was read
  std::vector<std::vector<int>> closed_at_;                           // by gate: the entries at whose end it was closed
};

}  // namespace

Judgement judge(const Program& program, const Circumstances& circumstances) {
  return Judge(program, circumstances).run();
}

}  // namespace stringline
