// See walk.h.
#include "engine/plan/walk.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

#include "engine/check/disturb.h"
#include "engine/plan/amount.h"
#include "engine/plan/answers.h"
#include "engine/plan/branches.h"
#include "engine/plan/conflict.h"
#include "engine/plan/deciding.h"
#include "engine/plan/predict.h"
#include "engine/plan/rule_readings.h"
#include "engine/plan/stays.h"
#include "engine/plan/warnings.h"
#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

class Walk {
 public:
  Walk(const Program& program, const Judgement& judgement, Plan& plan)
      : program_(program),
        judgement_(judgement),
        scene_(program, judgement),
        evaluator_(program, scene_),
        as_read_(program, judgement),
        forecast_(as_read_),
        closed_(program.gates.size(), false),
        plan_(plan) {}

  void run() {
    planned_.resize(program_.jobs.size());
    call();
    for (int phase = 0; phase < phases(); ++phase) {
      if (phase + 1 == phases()) {
        open_what_is_left();
        read_the_rest();
      }
      turn(phase);
    }
    for (LeftAlone& each : stays(program_, judgement_, plan_)) plan_.left.push_back(std::move(each));
  }

 private:
  // On the state predicted here.
  Answers answers() const { return Answers(program_, forecast_.judgement()); }
  bool is_done(JobId job) const { return answers().is_done(job); }
  bool is_declined(JobId job) const { return answers().is_declined(job); }
  int phases() const { return static_cast<int>(program_.phases.size()); }
  std::optional<model::Range> read_value(std::size_t at) const { return as_read_.expected(program_.targets[at].point); }
  std::string phase_name(int phase) const { return plain_name(program_.phases[static_cast<std::size_t>(phase)].name); }

  std::vector<JobId> jobs_of(const std::vector<JobChoice>& choices, const Evaluator& evaluator,
                             const Hand& hand) const {
    std::vector<JobId> jobs;
    for (const JobChoice& choice : choices) {
      const auto rows = evaluator.possible(choice, hand);
      if (rows.leaves.size() == 1 && *rows.leaves.front()) jobs.push_back(**rows.leaves.front());
    }
    return jobs;
  }

  void say(const std::optional<TypedText>& text, const Hand& hand = empty_hand) {
    if (text) plan_.told.push_back(evaluator_.text(*text, hand));
  }

  // What rules, routine, the owner and closed gates ask for, before the walk begins.
  void call() {
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      const RuleInfo& rule = program_.rules[i];
      for (const Hand& hand : judgement_.rules[i].fired) {
        say(rule.say, hand);
        const std::string because = rule.because ? evaluator_.text(*rule.because, hand)
                                                 : fmt::format("the rule '{}' asks for it", plain_name(rule.name));
        for (const JobId job : jobs_of(rule.jobs, evaluator_, hand)) called_[job].push_back(because);
        for (const JobId job : jobs_of(rule.offers, evaluator_, hand)) offered_[job].push_back(because);
      }
    }
    for (JobId job = 0; job < program_.jobs.size(); ++job) {
      if (program_.jobs[job].routine) called_[job].push_back("part of every visit");
    }
    for (const JobId job : judgement_.agreed) {
      if (answers().chosen_instead(job)) continue;
      if (offered_.count(job) > 0) called_[job] = offered_[job];
      auto& because = called_[job];
      if (std::count(because.begin(), because.end(), "the owner agreed") == 0) because.push_back("the owner agreed");
    }
    for (std::size_t gate = 0; gate < program_.gates.size(); ++gate) {
      if (judgement_.gates[gate].truth == Truth::yes) continue;
      closed_[gate] = true;
      if (judgement_.gates[gate].truth == Truth::no) say(program_.gates[gate].say);
      if (judgement_.gates[gate].truth == Truth::no)
        close(gate, fmt::format("the gate '{}' is closed", name(gate)), judgement_.gates[gate].by_job);
    }
  }

  std::string name(std::size_t gate) const { return plain_name(program_.gates[gate].name); }

  void close(std::size_t gate, const std::string& because, bool by_job) {
    const GateInfo& info = program_.gates[gate];
    closed_[gate] = true;
    for (const PointId point : info.voids) forecast_.make_unknown(point, because);
    const Scene scene(program_, forecast_.judgement());
    for (const JobId job : jobs_of(info.jobs, Evaluator(program_, scene), empty_hand)) {
      opening_[job].push_back(because);
      if (info.say) opening_[job].push_back(evaluator_.text(*info.say));
      planned_[job] = false;
      if (by_job) due_again_.insert(job);
    }
  }

  // Done once, an opening job is due again when a later job closed its gate.
  bool is_due(JobId job) const { return !is_done(job) || due_again_.count(job) > 0; }

  // After a job: gates that it closed, and gates that it opened. What was read behind a closed gate does not stand.
  void follow_gates(const JobInfo& by) {
    const Scene scene(program_, forecast_.judgement());
    const Evaluator evaluator(program_, scene);
    for (std::size_t gate = 0; gate < program_.gates.size(); ++gate) {
      const Result open = evaluator.evaluate(*program_.gates[gate].open_when);
      if (open.failure) continue;
      if (open.truth() == Truth::no && !closed_[gate]) {
        close(gate, fmt::format("'{}' closes the gate '{}'", by.label, name(gate)), true);
        shut_.insert(gate);
      }
      if (open.truth() != Truth::yes || !closed_[gate]) continue;
      closed_[gate] = false;
      shut_.erase(gate);
      for (const PointId point : program_.gates[gate].holds)
        forecast_.make_unknown(point, fmt::format("the gate '{}' was closed", name(gate)));
    }
  }

  // Void because of what a job of this plan left: slack strings after a level.
  bool is_shut_off(PointId point) const {
    for (std::size_t gate = 0; gate < closed_.size(); ++gate) {
      const auto& voids = program_.gates[gate].voids;
      if (shut_.count(gate) > 0 && std::count(voids.begin(), voids.end(), point) > 0) return true;
    }
    return false;
  }

  bool is_held(PointId point) const {
    for (std::size_t gate = 0; gate < closed_.size(); ++gate) {
      const auto& held = program_.gates[gate].holds;
      if (closed_[gate] && std::count(held.begin(), held.end(), point) > 0) return true;
    }
    return false;
  }

  // Before a phase: gates that void or hold one of its readings are opened by their jobs, wherever those stand.
  void open_gates_for(int phase) {
    for (std::size_t gate = 0; gate < program_.gates.size(); ++gate) {
      if (!closed_[gate]) continue;
      const GateInfo& info = program_.gates[gate];
      const auto has_turn = [&](PointId point) {
        const TargetInfo* target = program_.target(point);
        return target != nullptr && target->phase == phase;
      };
      if (std::any_of(info.voids.begin(), info.voids.end(), has_turn) ||
          std::any_of(info.holds.begin(), info.holds.end(), has_turn))
        open(gate, fmt::format("before {}: the gate '{}' must be open for it", phase_name(phase), name(gate)), phase);
    }
  }

  void open(std::size_t gate, const std::string& why_here, int phase) {
    const Scene scene(program_, forecast_.judgement());
    for (const JobId job : jobs_of(program_.gates[gate].jobs, Evaluator(program_, scene), empty_hand)) {
      const bool its_turn_comes = program_.jobs[job].phase == phase;
      if (opening_.count(job) == 0 || !is_due(job) || planned_[job] || its_turn_comes) continue;
      do_called(job, opening_[job], why_here);
    }
  }

  void open_what_is_left() {
    for (std::size_t gate = 0; gate < program_.gates.size(); ++gate) {
      if (closed_[gate])
        open(gate, fmt::format("before the last phase: the gate '{}' is still closed", name(gate)), -1);
    }
  }

  // One phase: its jobs in the order the house names them, then as the lists that call them have it, then by name, whether a rule or a
  // reading calls them; then what has its turn here and does not stand is read again.
  void turn(int phase) {
    open_gates_for(phase);
    read_again(std::nullopt, phase);
    drop_needless(phase);  // and what jobs of this phase make so, after them
    tell_undecided(phase);
    drop_conflicts(phase);
    for (PlanLine& line : readings_that_decide(program_, judgement_, forecast_, answers(), phase))
      plan_.lines.push_back(std::move(line));
    for (PlanLine& line : readings_for_rules(program_, judgement_, answers(), phase))
      plan_.lines.push_back(std::move(line));
    auto asking = asked_in(phase);
    for (auto job = next_job(phase, asking); job; job = next_job(phase, asking)) {
      const Places asked = places_in(asking, *job);
      if (!asked.empty())
        do_asked(*job, asked, phase);
      else
        do_called(*job, reasons_to_call(*job), where(*job, phase));
      asking = asked_in(phase);
    }
    drop_needless(phase);
    for (const auto& [job, because] : offered_) {
      if (offer_phase(job) != phase || is_done(job) || planned_[job]) continue;
      offer(job, because);
    }
    wait_behind_gates(phase);
    read_again(phase, phase);
  }

  std::vector<std::string> reasons_to_call(JobId job) {
    std::vector<std::string> reasons = called_[job];
    const auto opening = opening_.find(job);
    if (opening != opening_.end()) reasons.insert(reasons.end(), opening->second.begin(), opening->second.end());
    return reasons;
  }

  std::optional<JobId> next_job(int phase, const Asking& asking) const {
    const auto key = [&](JobId job) {
      const JobInfo& info = program_.jobs[job];
      const int rank = info.rank_in(phase);
      return std::tuple(rank < 0, rank, asks(asking, job), info.place, job);
    };
    std::optional<decltype(key(JobId()))> first;
    const auto look_at = [&](JobId job) {
      const auto own = key(job);
      if (!first || own < *first) first = own;
    };
    for (const auto& [job, target] : asking) look_at(job);
    for (const auto& [job, because] : called_) {
      if (!planned_[job] && !is_done(job) && answers().turn_of(job) == phase) look_at(job);
    }
    for (const auto& [job, because] : opening_) {
      if (!planned_[job] && program_.jobs[job].phase == phase && is_due(job)) look_at(job);
    }
    if (!first) return std::nullopt;
    return std::get<4>(*first);
  }

  // The jobs that readings of this phase ask for, with the places that ask.
  Asking asked_in(int phase) const {
    const Answers now = answers();
    Asking asking;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      if (target.phase != phase || !forecast_.stands(target.point) || is_held(target.point)) continue;
      const auto verdict = forecast_.verdict(at);
      const auto job = verdict ? now.asked(at, *verdict, forecast_.expected(target.point)) : std::nullopt;
      if (job && !planned_[*job]) asking.emplace_back(*job, at);
    }
    std::sort(asking.begin(), asking.end());
    return asking;
  }

  // Readings that were out and that earlier jobs bring within: their own job is dropped, and said to be.
  void drop_needless(int phase) {
    std::map<std::tuple<JobId, std::string, std::string, std::string>, std::vector<PointId>> needless;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const Verdict read = judgement_.targets[at].verdict;
      if (target.phase != phase || (read != Verdict::high && read != Verdict::low)) continue;
      const auto job = Answers(program_, judgement_).asked(at, read, read_value(at));
      if (!job || !forecast_.touched(target.point) || forecast_.verdict(at) != Verdict::within) continue;
      if (is_planned_at(*job, target.point) || !told_needless_.insert(at).second) continue;
      const std::string leaves = shown(program_, judgement_, target.point, *forecast_.expected(target.point));
      needless[{*job, reason_of(program_, judgement_, at), forecast_.moved_by(target.point), leaves}].push_back(
          target.point);
    }
    for (const auto& [what, points] : needless) {
      const auto& [job, is_out, by, leaves] = what;
      left(points, job,
           fmt::format("{}{}; '{}' should leave it at {}, so no job of its own", name_points(program_, points), is_out,
                       by, leaves));
    }
  }

  bool is_planned_at(JobId job, PointId point) const {
    return std::any_of(plan_.lines.begin(), plan_.lines.end(), [&](const PlanLine& line) {
      return line.job == job && std::count(line.points.begin(), line.points.end(), point) > 0;
    });
  }

  void drop_conflicts(int phase) {
    for (Conflict& conflict : conflicts_of(program_, judgement_, forecast_, asked_in(phase))) {
      planned_[conflict.one] = true;
      planned_[conflict.other] = true;
      plan_.conflicts.push_back(std::move(conflict));
    }
  }

  // A reading that is out, and which job answers it can not be read.
  void tell_undecided(int phase) {
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const auto verdict =
          target.phase == phase && forecast_.stands(target.point) ? forecast_.verdict(at) : std::nullopt;
      const bool out = verdict == Verdict::high || verdict == Verdict::low;
      const auto needs = out ? answers().undecided(verdict == Verdict::high ? target.high : target.low, target.point)
                             : std::vector<PointId>();
      const auto unreadable = [&](PointId point) {
        return judgement_.points[point].status == PointState::Status::not_measurable;
      };
      if (needs.empty() || !std::all_of(needs.begin(), needs.end(), unreadable)) continue;
      left({target.point}, std::nullopt,
           fmt::format("it{}, but which job answers it hangs on {}, which can not be measured: choose it yourself",
                       reason_of(program_, judgement_, at), name_readings(program_, needs)),
           true);
    }
  }

  // What the job would put out that is within now: refused where no job brings it back, else a warning.
  bool refused(JobId job, const Places& places, std::vector<std::string>& warnings) {
    Forecast after = forecast_;
    after.do_job(program_.jobs[job], places);
    const PutOut out = put_out(program_, answers(), forecast_, after);
    for (const PointId point : out.undecided) {
      warnings.push_back(fmt::format("it puts {} out, {}; what brings that back hangs on what is not read",
                                     name_points(program_, {point}), to_text(*verdict_after(after, point))));
    }
    if (!out.lost.empty()) {
      std::vector<PointId> asking;
      for (const std::size_t place : places) asking.push_back(program_.targets[place].point);
      left(asking, job, "refused: " + loss_text(program_, judgement_, out.lost, after), true);
      return true;
    }
    warn_what_was_cut(program_, judgement_, forecast_, after, job, plan_.lines);
    for (const auto& [answer_to, points] : out.brought_back) {
      warnings.push_back(fmt::format("it puts {} out, {}; '{}' brings that back", name_points(program_, points),
                                     to_text(answer_to.second), program_.jobs[answer_to.first].label));
    }
    return false;
  }

  std::optional<Verdict> verdict_after(const Forecast& after, PointId point) const {
    return after.verdict(static_cast<std::size_t>(program_.target_of[point]));
  }

  void left(std::vector<PointId> points, std::optional<JobId> job, std::string why, bool open = false) {
    const std::string what = job ? program_.jobs[*job].label : name_points(program_, points);
    for (LeftAlone& each : plan_.left) {
      if (each.job == job && each.why == why && job) return;
    }
    plan_.left.push_back({std::move(points), job, what, std::move(why), open});
  }

  bool leave_declined(JobId job, const std::vector<std::string>& because) {
    if (!is_declined(job)) return false;
    planned_[job] = true;
    const TypedText* stays = program_.jobs[job].if_left ? &*program_.jobs[job].if_left : nullptr;
    left({}, job,
         fmt::format("declined by the owner, though {}{}", fmt::join(because, "; "),
                     stays != nullptr ? "; " + evaluator_.text(*stays) : ""));
    return true;
  }

  void do_asked(JobId job, Places places, int phase) {
    PlanLine line;
    line.job = job;
    line.amounts = amounts_for(program_, forecast_, program_.jobs[job], places);
    if (leave_too_small(job, line.amounts, places)) return;
    for (const auto& [text, points] : reasons_at(places)) line.because.push_back(name_points(program_, points) + text);
    for (const std::size_t at : places) line.points.push_back(program_.targets[at].point);
    if (has_posts(program_, program_.jobs[job]) && !line.amounts.empty()) line.because.push_back(posts_text(program_));
    if (called_.count(job) > 0) line.because.insert(line.because.end(), called_[job].begin(), called_[job].end());
    if (leave_declined(job, line.because)) return;
    planned_[job] = true;
    if (refused(job, places, line.warnings)) return;
    mind_opposites(program_, judgement_, forecast_, plan_.lines, {job, places}, line.warnings);
    mind_followers(program_, plan_.lines, line);
    mind_conditions(program_, forecast_, places, line);
    line.why_here = where(job, phase);
    finish(std::move(line), places);
  }

  // Members of which the same is to be said.
  std::map<std::string, std::vector<PointId>> reasons_at(const Places& places) const {
    std::map<std::string, std::vector<PointId>> reasons;
    for (const auto at : places) reasons[reason_of(program_, judgement_, at)].push_back(program_.targets[at].point);
    return reasons;
  }

  // Where what the job would be told rounds to nothing at its `work_to:`; true where that is all and nothing else calls the job.
  bool leave_too_small(JobId job, std::vector<Amount>& amounts, Places& places) {
    const JobInfo& info = program_.jobs[job];
    if (called_.count(job) > 0 && comes_to_nothing(program_, forecast_, info, amounts)) return false;
    const Places small = take_too_small(program_, forecast_, info, amounts, places);
    const bool all = places.empty();
    for (const auto& [text, points] : reasons_at(small)) {
      const auto what = all ? name_points(program_, points) : "it";
      left(points, all ? std::optional(job) : std::nullopt,
           fmt::format("{}{}; what is to go{} rounds to nothing in steps of {}", what, text, all ? "" : " there",
                       work_step(program_, info)),
           true);
    }
    planned_[job] = all;
    return all;
  }

  void do_called(JobId job, const std::vector<std::string>& because, const std::string& why_here) {
    if (leave_declined(job, because)) return;
    planned_[job] = true;
    PlanLine line;
    line.job = job;
    line.because = because;
    line.why_here = why_here;
    const Places places = targets_set_by(program_, forecast_, program_.jobs[job]);
    if (refused(job, places, line.warnings)) return;
    finish(std::move(line), places);
  }

  void finish(PlanLine line, const Places& places) {
    const JobId id = *line.job;
    const JobInfo& job = program_.jobs[id];
    line.waits_for_yes = job.needs_yes && !answers().is_agreed(id);
    std::vector<std::optional<model::Range>> before(program_.points.size());
    for (const TargetInfo& target : program_.targets) before[target.point] = forecast_.expected(target.point);
    forecast_.do_job(job, places);
    const auto goes_down = [](const Amount& amount) { return amount.travel && *amount.travel < 0; };
    lowered_ = lowered_ || (job.moves == Control::saddle_height &&
                            std::any_of(line.amounts.begin(), line.amounts.end(), goes_down));
    for (const std::size_t at : places) line.read_after.push_back(program_.targets[at].point);
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const PointId point = program_.targets[at].point;
      const auto now = forecast_.expected(point);
      if (!now || now == before[point] || !is_modelled(point) ||
          judgement_.targets[at].verdict == Verdict::not_applicable)
        continue;
      if (forecast_.stands(point) && std::count(places.begin(), places.end(), at) == 0) continue;
      line.expected.push_back({point, *now, forecast_.verdict(at)});
    }
    expect_as_told(program_, forecast_, before, line);
    plan_.lines.push_back(std::move(line));
    follow_gates(job);
  }

  bool is_modelled(PointId point) const {
    const ReadingInfo& reading = program_.reading_of(point);
    return reading.gap || !reading.follows.empty();
  }

  // Why at this point: what it would spoil if it came later; else its turn.
  std::string where(JobId job, int phase) const {
    std::vector<PointId> later;
    std::vector<std::string> phases;
    for (const PointId point : disturbed_by(program_, program_.jobs[job])) {
      const TargetInfo* target = program_.target(point);
      if (target == nullptr || target->phase <= phase) continue;
      if (judgement_.targets[static_cast<std::size_t>(program_.target_of[point])].verdict == Verdict::not_applicable)
        continue;
      later.push_back(point);
    }
    if (later.empty()) return fmt::format("its turn: {}", phase_name(phase));
    return fmt::format("{}: it moves {}, whose turn comes later", phase_name(phase), name_readings(program_, later));
  }

  int offer_phase(JobId job) const {
    const int own = program_.jobs[job].phase;
    return own >= 0 ? own : phases() - 1;
  }

  void offer(JobId job, const std::vector<std::string>& because) {
    if (leave_declined(job, because)) return;
    PlanLine line;
    line.form = PlanLine::Form::offer;
    line.job = job;
    line.because = because;
    line.why_here = "offered, not counted in";
    line.waits_for_yes = true;
    plan_.lines.push_back(std::move(line));
  }

  // Readings that a gate holds are judged, but their jobs wait.
  void wait_behind_gates(int phase) {
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const Verdict verdict = judgement_.targets[at].verdict;
      const auto job =
          target.phase == phase && is_held(target.point) ? answers().asked(at, verdict, read_value(at)) : std::nullopt;
      if (job)
        left({target.point}, *job,
             fmt::format("it waits: {}{}, behind a closed gate", name_points(program_, {target.point}),
                         reason_of(program_, judgement_, at)),
             true);
    }
  }

  // What has its turn in `of` and does not stand, and what waited for a gate that is open by now. Nothing is read behind a gate
  // that a job has closed: that waits in its turn.
  void read_again(std::optional<int> of, int now) {
    std::map<ReadingId, Places> again;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      const Verdict verdict = judgement_.targets[at].verdict;
      if ((of != target.phase && waiting_.count(at) == 0) || verdict == Verdict::not_applicable) continue;
      if (judgement_.points[target.point].status == PointState::Status::not_measurable) continue;
      const bool never = !forecast_.touched(target.point) &&
                         (verdict == Verdict::not_read || verdict == Verdict::stale || verdict == Verdict::void_);
      if (!never && forecast_.stands(target.point)) continue;
      if (is_shut_off(target.point)) {
        waiting_.insert(at);
        continue;
      }
      waiting_.erase(at);
      again[program_.points[target.point].reading].push_back(at);
    }
    for (const auto& [reading, places] : again) read_line(places, now);
  }

  void read_line(const Places& places, int phase) {
    PlanLine line;
    line.form = PlanLine::Form::read_again;
    const TargetInfo& first = program_.targets[places.front()];
    line.if_low = answers().follows(first.low, first.point);
    line.if_high = answers().follows(first.high, first.point);
    line.because = {why_read_again(program_, judgement_, forecast_, first.point)};
    if (lowered_ && program_.reading_of(first.point).type.dimension == dimension::cents)
      line.because.push_back(
          "the strings come lower before it, stretch less when fretted and will read flatter than now");
    line.why_here = fmt::format("its turn: {}", phase_name(phase));
    std::map<JobId, Places> asking;
    for (const std::size_t at : places) {
      const PointId point = program_.targets[at].point;
      line.points.push_back(point);
      const bool moved = forecast_.touched(point) || judgement_.points[point].status == PointState::Status::stale;
      if (const auto value = moved ? forecast_.expected(point) : std::nullopt) {
        const auto verdict = forecast_.expected_verdict(at);
        line.expected.push_back({point, *value, verdict});
        const auto job = verdict == Verdict::high ? line.if_high : verdict == Verdict::low ? line.if_low : std::nullopt;
        if (job && value->width() < 1e-6) asking[*job].push_back(at);
      }
      forecast_.read_again(point);
    }
    for (auto& [job, asked] : asking) {
      auto amounts = amounts_for(program_, forecast_, program_.jobs[job], asked);
      if (take_too_small(program_, forecast_, program_.jobs[job], amounts, asked); asked.empty()) continue;
      Forecast after = forecast_;
      after.do_job(program_.jobs[job], asked);
      const auto lost = put_out(program_, answers(), forecast_, after).lost;
      if (!lost.empty()) {
        line.warnings.push_back(fmt::format("'{}' would then be refused: {}", program_.jobs[job].label,
                                            loss_text(program_, judgement_, lost, after)));
        continue;
      }
      std::move(amounts.begin(), amounts.end(), std::back_inserter(line.amounts));
      mind_opposites(program_, judgement_, forecast_, plan_.lines, {job, asked}, line.warnings);
      warn_what_was_cut(program_, judgement_, forecast_, after, job, plan_.lines);
    }
    line.branches = branches_of(program_, judgement_, answers(), line);
    plan_.lines.push_back(std::move(line));
  }

  // Whatever still does not stand is read again before the last phase.
  void read_the_rest() {
    std::map<ReadingId, Places> again;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const TargetInfo& target = program_.targets[at];
      if (target.phase < 0 || target.phase + 1 == phases() || forecast_.stands(target.point)) continue;
      if (judgement_.targets[at].verdict == Verdict::not_applicable) continue;
      again[program_.points[target.point].reading].push_back(at);
    }
    for (const auto& [reading, places] : again) {
      read_line(places, phases() - 1);
      plan_.lines.back().because = {"jobs after its turn move it"};
      plan_.lines.back().why_here = "before the last phase";
    }
  }

  const Program& program_;
  const Judgement& judgement_;
  Scene scene_;
  Evaluator evaluator_;
  std::set<std::size_t> told_needless_;  // targets
  const Forecast as_read_;
  Forecast forecast_;
  std::vector<bool> closed_;       // by gate, as predicted
  std::set<std::size_t> shut_;     // of them: by a job of this plan
  std::set<std::size_t> waiting_;  // places that are read again once their gate is open
  bool lowered_ = false;           // a saddle, by a job of this plan
  std::vector<bool> planned_;      // by job: their lines stand, or they were refused or left
  std::set<JobId> due_again_;
  std::map<JobId, std::vector<std::string>> called_;
  std::map<JobId, std::vector<std::string>> opening_;  // jobs that open a closed gate
  std::map<JobId, std::vector<std::string>> offered_;
  Plan& plan_;
};

}  // namespace

void walk(const Program& program, const Judgement& judgement, Plan& plan) { Walk(program, judgement, plan).run(); }

}  // namespace stringline
