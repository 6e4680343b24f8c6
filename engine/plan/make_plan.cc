// See plan.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/check/disturb.h"
#include "engine/model/saddle_place.h"
#include "engine/plan/plan.h"

namespace stringline {

std::string name_points(const Program& program, const std::vector<PointId>& points) {
  std::map<ReadingId, std::vector<std::string>> members;
  for (const PointId point : points) {
    const PointInfo& info = program.points[point];
    const std::string& reading = program.readings[info.reading].name;
    members[info.reading].push_back(info.name.size() > reading.size() ? info.name.substr(reading.size() + 1) : "");
  }
  std::string out;
  for (const auto& [reading, names] : members) {
    std::string name = program.readings[reading].name;
    std::replace(name.begin(), name.end(), '_', ' ');
    if (!out.empty()) out += ", ";
    out += name;
    const bool whole = names.size() == program.readings[reading].count;
    if (!names.front().empty() && !whole) out += fmt::format(" ({})", fmt::join(names, ", "));
  }
  return out;
}

namespace {

class Planner {
 public:
  Planner(const Program& program, const Judgement& judgement)
      : program_(program),
        judgement_(judgement),
        predicted_(judgement),
        scene_(program, judgement),
        evaluator_(program, scene_),
        moved_(program.points.size()) {}

  Plan run() {
    read_first();
    if (stopped() || held()) return std::move(plan_);
    rules();
    gates();
    for (int phase = 0; phase < static_cast<int>(program_.phases.size()); ++phase) {
      if (phase + 1 == static_cast<int>(program_.phases.size())) read_the_rest();
      turn(phase);
    }
    leave();
    return std::move(plan_);
  }

 private:
  bool is_done(JobId job) const { return std::count(judgement_.done.begin(), judgement_.done.end(), job) > 0; }
  bool is_declined(JobId job) const {
    return std::count(judgement_.declined.begin(), judgement_.declined.end(), job) > 0;
  }
  bool is_agreed(JobId job) const { return std::count(judgement_.agreed.begin(), judgement_.agreed.end(), job) > 0; }

  std::vector<JobId> jobs_of(const std::vector<JobChoice>& choices, const Hand& hand = empty_hand) const {
    std::vector<JobId> jobs;
    for (const JobChoice& choice : choices) {
      const auto rows = evaluator_.possible(choice, hand);
      if (rows.leaves.size() == 1 && *rows.leaves.front()) jobs.push_back(**rows.leaves.front());
    }
    return jobs;
  }

  std::vector<PointId> readings_in(const std::vector<Need>& needs) const {
    std::vector<PointId> points;
    for (const Need& need : needs) {
      if (!need.fact) points.push_back(need.id);
    }
    return points;
  }

  // What a gate or a stop hangs on and nobody read comes before everything else.
  void read_first() {
    std::vector<PointId> points;
    for (std::size_t i = 0; i < program_.stops.size(); ++i) {
      const auto needed = readings_in(judgement_.stops[i].needs);
      points.insert(points.end(), needed.begin(), needed.end());
      if (!needed.empty()) plan_.told.push_back(fmt::format("not ruled out: {}", program_.stops[i].name));
    }
    for (const TruthState& gate : judgement_.gates) {
      const auto needed = readings_in(gate.needs);
      points.insert(points.end(), needed.begin(), needed.end());
    }
    std::sort(points.begin(), points.end());
    points.erase(std::unique(points.begin(), points.end()), points.end());
    if (points.empty()) return;
    PlanLine line;
    line.form = PlanLine::Form::read_first;
    line.points = points;
    line.because = {"a stop or a gate hangs on it"};
    plan_.lines.push_back(std::move(line));
  }

  void say(const std::optional<TypedText>& text, const Hand& hand = empty_hand) {
    if (text) plan_.told.push_back(evaluator_.text(*text, hand));
  }

  void add(JobId job, std::string because, std::string why_here, PlanLine::Form form = PlanLine::Form::job) {
    PlanLine line;
    line.form = form;
    line.job = job;
    line.because = {std::move(because)};
    line.why_here = std::move(why_here);
    line.waits_for_yes = program_.jobs[job].needs_yes && !is_agreed(job);
    plan_.lines.push_back(std::move(line));
  }

  bool stopped() {
    for (std::size_t i = 0; i < program_.stops.size(); ++i) {
      if (judgement_.stops[i].truth != Truth::yes) continue;
      const StopInfo& stop = program_.stops[i];
      plan_.lines.clear();
      plan_.ended_early = true;
      plan_.charge = stop.charge;
      say(stop.say);
      say(stop.refer);
      for (const JobId job : jobs_of(stop.jobs)) {
        if (!is_done(job)) add(job, fmt::format("the stop '{}' is true", stop.name), "before anything else");
      }
      for (const JobId job : jobs_of(stop.offers)) {
        add(job, fmt::format("the stop '{}' is true", stop.name), "for a yes", PlanLine::Form::offer);
      }
      return true;
    }
    return false;
  }

  bool held() {
    bool any = false;
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      const GateInfo& gate = program_.gates[i];
      if (!gate.holds_visit || judgement_.gates[i].truth != Truth::no) continue;
      any = true;
      plan_.ended_early = true;
      if (!gate.charge.empty()) plan_.charge = gate.charge;
      say(gate.say);
      for (const JobId job : jobs_of(gate.jobs)) {
        if (!is_done(job)) add(job, fmt::format("the gate '{}' is closed", gate.name), "the whole visit waits for it");
      }
    }
    if (!any) return false;
    PlanLine again;
    again.form = PlanLine::Form::read_again;
    for (PointId point = 0; point < program_.points.size(); ++point) {
      if (judgement_.points[point].entry > 0) again.points.push_back(point);
    }
    again.because = {"what was read while the gate was closed does not count"};
    plan_.lines.push_back(std::move(again));
    return true;
  }

  void rules() {
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      const RuleInfo& rule = program_.rules[i];
      for (const Hand& hand : judgement_.rules[i].fired) {
        say(rule.say, hand);
        const std::string because = rule.because ? evaluator_.text(*rule.because, hand) : rule.name;
        for (const JobId job : jobs_of(rule.jobs, hand)) called_[job].push_back(because);
        for (const JobId job : jobs_of(rule.offers, hand)) offered_[job].push_back(because);
      }
    }
    for (JobId job = 0; job < program_.jobs.size(); ++job) {
      if (program_.jobs[job].routine) called_[job].push_back("part of every visit");
    }
    for (const JobId job : judgement_.agreed) called_[job].push_back("the owner agreed");
  }

  void gates() {
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (judgement_.gates[i].truth != Truth::no) continue;
      say(program_.gates[i].say);
      for (const JobId job : jobs_of(program_.gates[i].jobs)) {
        called_[job].push_back(fmt::format("the gate '{}' is closed", program_.gates[i].name));
      }
    }
  }

  // The jobs of a phase in the order the house names them, then by name, whether a rule or a reading calls them; then what
  // has its turn here and does not stand is read again.
  void turn(int phase) {
    const auto asking = asked_in(phase);
    std::set<JobId> jobs;
    for (const auto& [job, places] : asking) jobs.insert(job);
    for (const auto& [job, because] : called_) {
      if (program_.jobs[job].phase == phase && !is_done(job)) jobs.insert(job);
    }
    std::vector<JobId> ordered(jobs.begin(), jobs.end());
    std::sort(ordered.begin(), ordered.end(), [&](JobId a, JobId b) {
      const auto key = [&](JobId job) {
        const JobInfo& info = program_.jobs[job];
        return std::tuple(info.rank < 0, info.rank, asking.count(job), info.name);
      };
      return key(a) < key(b);
    });
    for (const JobId job : ordered) {
      const auto asked = asking.find(job);
      if (asked != asking.end()) {
        work(job, standing(asked->second), phase);
        continue;
      }
      add(job, fmt::format("{}", fmt::join(called_.at(job), "; ")),
          fmt::format("its place in the house's order: {}", phase_name(phase)));
      disturb(job);
    }
    for (const auto& [job, because] : offered_) {
      if (program_.jobs[job].phase == phase)
        add(job, fmt::format("{}", fmt::join(because, "; ")), "offered", PlanLine::Form::offer);
    }
    read_again(phase);
  }

  std::map<JobId, std::vector<std::size_t>> asked_in(int phase) const {
    std::map<JobId, std::vector<std::size_t>> asking;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      if (target.phase != phase || !moved_[target.point].empty()) continue;
      if (const auto job = asked_job(at)) asking[*job].push_back(at);
    }
    return asking;
  }

  std::vector<std::size_t> standing(std::vector<std::size_t> places) const {
    const auto moved = [&](std::size_t at) { return !moved_[program_.targets[at].point].empty(); };
    places.erase(std::remove_if(places.begin(), places.end(), moved), places.end());
    return places;
  }

  const std::string& phase_name(int phase) const { return program_.phases[static_cast<std::size_t>(phase)].name; }

  void disturb(JobId job) {
    const JobInfo& info = program_.jobs[job];
    for (const PointId point : disturbed_by(program_, info)) moved_[point] = info.label;
    bool left_at_value = false;
    for (const JobInfo::Set& set : info.sets) {
      if (!set.value) continue;
      left_at_value = true;
      for (const PointId point : set.points) {
        PointState& state = predicted_.points[point];
        state.status = PointState::Status::read;
        state.value = evaluator_.evaluate(*set.value, program_.points[point].at).value;
      }
    }
    if (left_at_value) close_gates(info);
  }

  // What a job leaves behind may close a gate (strings off): what it voids does not stand, and its own jobs are called.
  void close_gates(const JobInfo& by) {
    const Scene scene(program_, predicted_);
    const Evaluator evaluator(program_, scene);
    for (const GateInfo& gate : program_.gates) {
      const Result open = evaluator.evaluate(*gate.open_when);
      if (open.failure || open.truth() != Truth::no) continue;
      for (const PointId point : gate.voids) moved_[point] = by.label;
      for (const JobChoice& choice : gate.jobs) {
        const auto rows = evaluator.possible(choice);
        if (rows.leaves.size() != 1 || !*rows.leaves.front()) continue;
        called_[**rows.leaves.front()].push_back(fmt::format("'{}' closes the gate '{}'", by.label, gate.name));
      }
    }
  }

  std::optional<JobId> answer(const std::optional<JobChoice>& choice, PointId point) const {
    if (!choice) return std::nullopt;
    const auto rows = evaluator_.possible(*choice, program_.points[point].at);
    return rows.leaves.size() == 1 ? *rows.leaves.front() : std::nullopt;
  }

  // What a reading that is out asks for; also when the player wants it elsewhere.
  std::optional<JobId> asked_job(std::size_t at) const {
    const TargetInfo& target = program_.targets[at];
    const TargetState& state = judgement_.targets[at];
    const bool prove = program_.decide == Decide::prove && state.verdict == Verdict::too_close;
    if (state.verdict == Verdict::high) return answer(target.high, target.point);
    if (state.verdict == Verdict::low) return answer(target.low, target.point);
    if (!(state.asked || prove) || !state.aim) return std::nullopt;
    const auto& value = judgement_.points[target.point].value.number;
    if (!value.lo) return std::nullopt;
    return answer(*value.lo > *state.aim ? target.high : target.low, target.point);
  }

  void read_again(int phase) {
    std::map<ReadingId, std::vector<PointId>> again;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const Verdict verdict = judgement_.targets[at].verdict;
      if (target.phase != phase || verdict == Verdict::not_applicable) continue;
      const bool open = verdict == Verdict::not_read || verdict == Verdict::stale || verdict == Verdict::void_;
      if (open || !moved_[target.point].empty()) again[program_.points[target.point].reading].push_back(target.point);
    }
    for (const auto& [reading, points] : again) {
      PlanLine line;
      line.form = PlanLine::Form::read_again;
      line.points = points;
      const TargetInfo& target = *program_.target(points.front());
      line.if_low = follows(target.low, target.point);
      line.if_high = follows(target.high, target.point);
      line.because = {open_because(points.front())};
      line.why_here = fmt::format("its turn: {}", phase_name(phase));
      plan_.lines.push_back(std::move(line));
      for (const PointId point : points) moved_[point].clear();
    }
  }

  // A job outside the package never follows a reading by itself.
  std::optional<JobId> follows(const std::optional<JobChoice>& choice, PointId point) const {
    const auto job = answer(choice, point);
    return job && (program_.jobs[*job].covered || program_.package.empty()) ? job : std::nullopt;
  }

  std::string open_because(PointId point) const {
    const PointState& state = judgement_.points[point];
    if (!moved_[point].empty()) return fmt::format("'{}' moves it", moved_[point]);
    if (state.status == PointState::Status::stale) return fmt::format("'{}' has moved it", state.stale_by);
    if (state.method) return fmt::format("it was read {}, not as the house states it", state.method->text);
    return "it was not read";
  }

  void work(JobId job, const std::vector<std::size_t>& places, int phase) {
    if (places.empty()) return;
    if (is_declined(job)) {
      plan_.left.push_back({{}, job, program_.jobs[job].label, "declined by the owner"});
      return;
    }
    PlanLine line;
    line.job = job;
    line.why_here = fmt::format("its turn: {}", phase_name(phase));
    line.waits_for_yes = program_.jobs[job].needs_yes && !is_agreed(job);
    std::map<std::string, std::vector<PointId>> reasons;  // members of which the same is to be said
    for (const std::size_t at : places) {
      reasons[reason(at)].push_back(program_.targets[at].point);
      if (auto amount = amount_for(program_.jobs[job], at)) line.amounts.push_back(std::move(*amount));
    }
    for (const auto& [text, points] : reasons) line.because.push_back(name_points(program_, points) + text);
    plan_.lines.push_back(std::move(line));
    disturb(job);
  }

  std::string shown(PointId point, Ratio value) const {
    const ReadingInfo& reading = program_.reading_of(point);
    const PointState& state = judgement_.points[point];
    const Unit unit = state.value.unit == Unit::none ? reading.unit : state.value.unit;
    return to_text(value, unit);
  }

  std::string reason(std::size_t at) const {
    const TargetInfo& target = program_.targets[at];
    const TargetState& state = judgement_.targets[at];
    const PointState& point = judgement_.points[target.point];
    const std::string value = point.contact ? "contact" : to_text(scene_.reading(target.point).value);
    std::string text = fmt::format(" is {}, {}", value, to_text(state.verdict));
    if (state.asked && state.verdict == Verdict::within)
      text += fmt::format("; the player asks for {}", shown(target.point, *state.aim));
    return text + fmt::format("; the house wants {}", scene_.target_text(target.point));
  }

  // How far the job's control must travel to bring this reading to its aim.
  std::optional<Amount> amount_for(const JobInfo& job, std::size_t at) const;

  // Whatever still does not stand is read again before the last phase.
  void read_the_rest() {
    PlanLine line;
    line.form = PlanLine::Form::read_again;
    for (const TargetInfo& target : program_.targets) {
      if (target.phase >= 0 && !moved_[target.point].empty()) line.points.push_back(target.point);
    }
    if (line.points.empty()) return;
    line.because = {"later work moved it"};
    line.why_here = "before the last phase";
    for (const PointId point : line.points) moved_[point].clear();
    plan_.lines.push_back(std::move(line));
  }

  void leave() {
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetState& state = judgement_.targets[at];
      const PointId point = program_.targets[at].point;
      if (state.left)
        plan_.left.push_back({{point}, {}, name_points(program_, {point}), "the player wants it left as it was"});
      if (state.verdict == Verdict::too_close) {
        plan_.left.push_back({{point},
                              {},
                              name_points(program_, {point}),
                              fmt::format("it{}: too near the limit for this tool", reason(at))});
      }
    }
  }

  const Program& program_;
  const Judgement& judgement_;
  Judgement predicted_;  // with what planned jobs leave readings at
  Scene scene_;
  Evaluator evaluator_;
  std::vector<std::string> moved_;  // by which planned job each point was moved; empty: it stands
  std::map<JobId, std::vector<std::string>> called_;
  std::map<JobId, std::vector<std::string>> offered_;
  Plan plan_;
};

// Doubles carry less than this; it must not cost a whole step of the tool.
constexpr double noise_mm = 1e-6;

// How far a saddle must go for an octave that is out, away from the nut counted positive.
std::optional<double> place_travel(const Program& program, Ratio cents, Ratio aim) {
  const auto sharp = subtract(cents, aim);
  return sharp ? model::saddle_move(model::lengths_of({program.scale_mm}), sharp->to_double()) : std::nullopt;
}

const char* direction(Control control, bool positive) {
  if (control == Control::saddle_place) return positive ? "away from the nut" : "toward the nut";
  return positive ? "up" : "down";
}

// Nothing where the travel hangs on how the neck bends: a rod is turned a little and read again.
std::optional<double> travel_for(const Program& program, Control control, PointId point, Ratio value, Ratio aim) {
  if (control == Control::saddle_place) return place_travel(program, value, aim);
  const auto share = effect_on(program, point, control);
  const auto change = subtract(aim, value);
  if (!share || !change || share->extra != 0.0 || share->base == 0.0) return std::nullopt;
  return change->to_double() / share->base;
}

std::optional<Amount> Planner::amount_for(const JobInfo& job, std::size_t at) const {
  const TargetInfo& target = program_.targets[at];
  const auto& value = judgement_.points[target.point].value.number;
  const TargetState& state = judgement_.targets[at];
  if (!job.moves || !state.aim || !value.is_point()) return std::nullopt;
  const auto travel = travel_for(program_, *job.moves, target.point, *value.lo, *state.aim);
  const auto exact = travel ? Ratio::floor_of(std::abs(*travel) + noise_mm) : std::nullopt;
  if (!exact) return std::nullopt;
  const bool by_length = job.work_to && info(job.work_to->unit).dimension == dimension::length;
  const Ratio step = by_length ? job.work_to->value : *Ratio::make(1, 100);
  const auto shown_travel = round_to(*exact, step, job.removes ? Rounding::toward_zero : Rounding::nearest);
  if (!shown_travel) return std::nullopt;
  Amount amount;
  amount.point = target.point;
  amount.travel = *travel;
  const std::string& name = program_.points[target.point].name;
  const std::string& reading = program_.reading_of(target.point).name;
  if (name.size() > reading.size()) amount.member = name.substr(reading.size() + 1);
  amount.text = fmt::format("{} {}", to_text(*shown_travel, Unit::mm, step), direction(*job.moves, *travel > 0));
  Evaluator telling(program_, scene_);
  telling.set_travel(number_result(Interval::exactly(*exact), Unit::mm).value);
  for (const JobInfo::Tell& tell : job.tell) {
    const Result told = telling.evaluate(tell.value, program_.points[target.point].at);
    if (told.failure || !told.value.number.is_point()) continue;
    Value value_told = told.value;
    if (tell.name == "turns") value_told.unit = Unit::turns;
    const auto to = job.work_to && !by_length ? std::optional(job.work_to->value) : std::nullopt;
    amount.text += fmt::format(" ({}{})", tell.name == "turns" ? "" : tell.name + " ", to_text(value_told, to));
  }
  return amount;
}

}  // namespace

Plan make_plan(const Program& program, const Judgement& judgement) { return Planner(program, judgement).run(); }

}  // namespace stringline
