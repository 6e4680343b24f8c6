// See plan.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

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
    for (const TargetInfo& target : program_.targets) {
      if (target.phase >= 0) again.points.push_back(target.point);
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

  // The jobs of a phase in the order the house names them, then by name; then the targets that have their turn here.
  void turn(int phase) {
    std::vector<JobId> jobs;
    for (const auto& [job, because] : called_) {
      if (program_.jobs[job].phase == phase && !is_done(job)) jobs.push_back(job);
    }
    std::sort(jobs.begin(), jobs.end(), [&](JobId a, JobId b) {
      const auto key = [&](JobId job) {
        const JobInfo& info = program_.jobs[job];
        return std::tuple(info.rank < 0, info.rank, info.name);
      };
      return key(a) < key(b);
    });
    for (const JobId job : jobs) {
      const auto& because = called_.at(job);
      add(job, fmt::format("{}", fmt::join(because, "; ")),
          fmt::format("its place in the house's order: {}", phase_name(phase)));
      disturb(job);
    }
    for (const auto& [job, because] : offered_) {
      if (program_.jobs[job].phase == phase)
        add(job, fmt::format("{}", fmt::join(because, "; ")), "offered", PlanLine::Form::offer);
    }
    targets(phase);
  }

  const std::string& phase_name(int phase) const { return program_.phases[static_cast<std::size_t>(phase)].name; }

  void disturb(JobId job) {
    for (const PointId point : disturbed_by(program_, program_.jobs[job])) moved_[point] = program_.jobs[job].label;
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

  void targets(int phase) {
    std::map<JobId, std::vector<std::size_t>> asking;
    std::map<ReadingId, std::vector<PointId>> again;
    std::map<ReadingId, std::set<JobId>> follow;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const TargetState& state = judgement_.targets[at];
      if (target.phase != phase || state.verdict == Verdict::not_applicable) continue;
      const bool open =
          state.verdict == Verdict::not_read || state.verdict == Verdict::stale || state.verdict == Verdict::void_;
      if (open || !moved_[target.point].empty()) {
        const ReadingId reading = program_.points[target.point].reading;
        again[reading].push_back(target.point);
        for (const auto& choice : {target.low, target.high}) {
          const auto job = answer(choice, target.point);
          if (job && (program_.jobs[*job].covered || program_.package.empty())) follow[reading].insert(*job);
        }
        continue;
      }
      if (const auto job = asked_job(at)) asking[*job].push_back(at);
    }
    for (const auto& [reading, points] : again) {
      PlanLine line;
      line.form = PlanLine::Form::read_again;
      line.points = points;
      if (!follow[reading].empty()) line.job = *follow[reading].begin();
      const std::string& by = moved_[points.front()];
      const PointState& state = judgement_.points[points.front()];
      line.because = {!by.empty()                                 ? fmt::format("'{}' moves it", by)
                      : state.status == PointState::Status::stale ? fmt::format("'{}' has moved it", state.stale_by)
                      : state.method ? fmt::format("it was read {}, not as the house states it", state.method->text)
                                     : "it was not read"};
      line.why_here = fmt::format("its turn: {}", phase_name(phase));
      plan_.lines.push_back(std::move(line));
      for (const PointId point : points) moved_[point].clear();
    }
    for (const auto& [job, places] : asking) work(job, places, phase);
  }

  void work(JobId job, const std::vector<std::size_t>& places, int phase) {
    if (is_declined(job)) {
      plan_.left.push_back({program_.jobs[job].label, "declined by the owner"});
      return;
    }
    PlanLine line;
    line.job = job;
    line.why_here = fmt::format("its turn: {}", phase_name(phase));
    line.waits_for_yes = program_.jobs[job].needs_yes && !is_agreed(job);
    for (const std::size_t at : places) {
      line.because.push_back(reason(at));
      if (auto amount = amount_for(program_.jobs[job], at)) line.amounts.push_back(std::move(*amount));
    }
    plan_.lines.push_back(std::move(line));
    disturb(job);
    PlanLine again;  // what it sets is read at once
    again.form = PlanLine::Form::read_again;
    for (const std::size_t at : places) {
      again.points.push_back(program_.targets[at].point);
      moved_[again.points.back()].clear();
    }
    again.because = {fmt::format("'{}' sets it", program_.jobs[job].label)};
    plan_.lines.push_back(std::move(again));
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
    std::string text =
        fmt::format("{} is {}, {}", name_points(program_, {target.point}), value, to_text(state.verdict));
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
      if (state.left) plan_.left.push_back({name_points(program_, {point}), "the player wants it left as it was"});
      if (state.verdict == Verdict::too_close) {
        plan_.left.push_back(
            {name_points(program_, {point}), fmt::format("{}: too close to the limit for this tool", reason(at))});
      }
    }
  }

  const Program& program_;
  const Judgement& judgement_;
  Scene scene_;
  Evaluator evaluator_;
  std::vector<std::string> moved_;  // by which planned job each point was moved; empty: it stands
  std::map<JobId, std::vector<std::string>> called_;
  std::map<JobId, std::vector<std::string>> offered_;
  Plan plan_;
};

// The share of a control's travel that the open reading takes up on a straight neck: half at the 12th for the saddle, .944
// at the first fret for the nut (model/string_line.h).
std::optional<double> share(Control control, const Gap& gap) {
  const double x = 1.0 - std::exp2(-gap.at.fret / 12.0);
  if (!gap.held.empty() || gap.at.pickup) return control == Control::pickup_height ? std::optional(-1.0) : std::nullopt;
  if (control == Control::saddle_height) return x;
  if (control == Control::nut_height) return 1.0 - x;
  return std::nullopt;
}

std::optional<Amount> Planner::amount_for(const JobInfo& job, std::size_t at) const {
  const TargetInfo& target = program_.targets[at];
  const ReadingInfo& reading = program_.reading_of(target.point);
  const auto& value = judgement_.points[target.point].value.number;
  const TargetState& state = judgement_.targets[at];
  if (!job.moves || !reading.gap || !state.aim || !value.is_point()) return std::nullopt;
  const auto part = share(*job.moves, *reading.gap);
  const auto change = subtract(*state.aim, *value.lo);
  if (!part || !change) return std::nullopt;
  const double travel = change->to_double() / *part;
  auto exact = Ratio::floor_of(std::abs(travel));
  if (!exact) return std::nullopt;
  const auto step =
      job.work_to && info(job.work_to->unit).dimension == dimension::length ? job.work_to->value : *Ratio::make(1, 100);
  exact = round_to(*exact, step, job.removes ? Rounding::toward_zero : Rounding::nearest);
  if (!exact) return std::nullopt;
  Amount amount;
  const std::string& name = program_.points[target.point].name;
  if (name.size() > reading.name.size()) amount.member = name.substr(reading.name.size() + 1);
  amount.text = fmt::format("{} {}", to_text(*exact, Unit::mm, step), travel < 0 ? "down" : "up");
  return amount;
}

}  // namespace

Plan make_plan(const Program& program, const Judgement& judgement) { return Planner(program, judgement).run(); }

}  // namespace stringline
