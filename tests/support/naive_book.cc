// The work list of naive_book.h.
#include "tests/support/naive_book.h"

#include "tests/support/naive_case.h"

namespace naive {
namespace {

// What the work list says hangs on more than is worked out here.
struct MoreThanThis {};

// What a reading should be by now.
struct Guess {
  std::optional<double> value;
  double moved = 0;      // since it was read
  bool touched = false;  // by a job that moved it
  bool at_aim = false;
  bool unknown = false;
};

// Left out: what needs the state predicted after a job that sets another reading's state, jobs done before, `do:` lists of more than
// one job, which order what they call, rules of which one member is an error, and gates that hang on what a job moves.
class WorkList {
 public:
  explicit WorkList(Case& bench) : bench_(bench), outcome_(bench.judge()), profile_(bench.profile()) {
    const Names names{"n0", "h0", "v0"};
    for (const std::string& point : bench.points_of(names)) {
      const Span value = bench.look(point).number;
      if (value.is_point()) guesses_[point].value = to_double(*value.lo);
    }
  }

  Outcome run() {
    try {
      outcome_.jobs = plan();
    } catch (const MoreThanThis&) {
      outcome_.jobs.reset();
    }
    return outcome_;
  }

 private:
  Names plan() {
    const auto offers = [&](const YAML::Node& from) {  // a yes releases the offered job
      for (const std::string& job : names_of(from["offer"])) {
        if (has(bench_.agreed(), job)) list({job});
      }
    };
    if (!bench_.done().empty()) throw MoreThanThis{};
    for (const auto& [stop, truth] : outcome_.stops) {
      if (truth != "yes") continue;
      ended_ = true;
      list(names_of(profile_["stops"][stop]["do"]));
      offers(profile_["stops"][stop]);
    }
    if (ended_) return list_;
    for (const auto& [gate, truth] : outcome_.gates) {
      if (truth != "no" || !has(names_of(profile_["gates"][gate]["holds"]), "visit")) continue;
      ended_ = true;
      list(names_of(profile_["gates"][gate]["do"]));
    }
    for (const auto& [rule, state] : outcome_.rules) {
      if (!ended_) break;
      if (state == "error" && profile_["rules"][rule]["offer"]) throw MoreThanThis{};
      if (state == "fired") offers(profile_["rules"][rule]);
    }
    if (!ended_) walk();
    return list_;
  }
  void list(const Names& jobs) {
    for (const std::string& job : jobs) {
      if (!bench_.is_declined(job) && !has(list_, job)) list_.push_back(job);
    }
  }

  void walk() {
    call();
    for (const auto& phase : bench_.house()["order"]) {
      const std::string name = phase.IsMap() ? phase.begin()->first.Scalar() : phase.Scalar();
      const Names named = phase.IsMap() ? names_of(phase.begin()->second) : Names{};
      while (const auto job = next(name, named)) {
        seen_.insert(*job);
        if (bench_.is_declined(*job)) continue;
        const auto asked = asked_in(name);
        do_job(*job, asked.count(*job) > 0 ? asked.at(*job) : Names{});
      }
    }
  }

  // What rules, routine and the owner call.
  void call() {
    for (const auto& job : profile_["jobs"]) {
      if (job.second["routine"]) called_.insert(job.first.Scalar());
    }
    for (const auto& [rule, state] : outcome_.rules) {
      const Names jobs = names_of(profile_["rules"][rule]["do"]);
      if (jobs.size() > 1 || state == "error") throw MoreThanThis{};
      if (state == "fired") called_.insert(jobs.begin(), jobs.end());
    }
    for (const auto& [stop, truth] : outcome_.stops) {
      if (names_of(profile_["stops"][stop]["do"]).size() > 1) throw MoreThanThis{};
    }
    for (const std::string& job : bench_.agreed()) called_.insert(job);
    for (const auto& [gate, truth] : outcome_.gates) {
      if (profile_["gates"][gate]["do"]) throw MoreThanThis{};  // a job may close it
    }
  }

  // The jobs the phase names; then what rules, routine and the owner call; then what readings call; each by name.
  std::optional<std::string> next(const std::string& phase, const Names& named) const {
    const auto asked = asked_in(phase);
    Names all(named);
    for (const auto& job : called_) all.push_back(job);
    for (const auto& [job, points] : asked) all.push_back(job);
    for (const std::string& job : all) {
      if (seen_.count(job) > 0) continue;
      const YAML::Node own = profile_["jobs"][job]["phase"];
      const bool its_turn = called_.count(job) > 0 && (own ? own.Scalar() : "last") == phase;
      if (its_turn || asked.count(job) > 0) return job;
    }
    return std::nullopt;
  }

  // What readings that are out ask for, as far as they stand and no gate holds them.
  std::map<std::string, Names> asked_in(const std::string& phase) const {
    std::map<std::string, Names> asked;
    for (const auto& [point, verdict] : outcome_.verdicts) {
      const YAML::Node turn = bench_.target(point, "phase");
      if (!turn || turn.Scalar() != phase || !stands(point) || is_held(point)) continue;
      std::string way = verdict_now(point);
      if (way == "too close to call" && bench_.decide() == "prove") {
        const Span value = bench_.look(point).number;
        const auto aim = bench_.aim(point);
        if (!value.is_point() || !aim) continue;
        way = *aim < *value.lo ? "high" : "low";
      }
      const auto job = answer(point, way);
      if (job) asked[*job].push_back(point);
    }
    return asked;
  }
  std::optional<std::string> answer(const std::string& point, const std::string& way) const {
    if (way != "high" && way != "low") return std::nullopt;
    const YAML::Node choice = bench_.target(point, way.c_str());
    if (!choice) return std::nullopt;
    const Names jobs = bench_.possible(choice);
    const bool agree = std::count(jobs.begin(), jobs.end(), jobs[0]) == static_cast<std::ptrdiff_t>(jobs.size());
    return agree && jobs[0] != "none" ? std::optional(jobs[0]) : std::nullopt;
  }
  bool is_held(const std::string& point) const {
    for (const auto& [gate, truth] : outcome_.gates) {
      if (truth != "yes" && has(bench_.points_of(names_of(profile_["gates"][gate]["holds"])), point)) return true;
    }
    return false;
  }

  // ---- the state after the jobs so far ------------------------------------------------------------------------------------------

  Guess guess(const std::string& point) const {
    const auto found = guesses_.find(point);
    return found == guesses_.end() ? Guess{} : found->second;
  }
  bool stands(const std::string& point) const {
    const Guess now = guess(point);
    const double moved = std::abs(now.moved);
    return !now.unknown && (moved < 1e-9 || moved < bench_.read_to(point) - 1e-9);
  }
  // Against its range without doubt, once it was moved.
  std::string verdict_now(const std::string& point) const {
    const Guess now = guess(point);
    if (now.at_aim) return "within";
    if (now.unknown) return "";
    if (!now.touched) return outcome_.verdicts.at(point);
    const auto range = outcome_.ranges.find(point);
    if (range == outcome_.ranges.end()) return "";
    if (!now.value) return "";
    if (range->second.lo && *now.value < to_double(*range->second.lo) - 1e-9) return "low";
    if (range->second.hi && *now.value > to_double(*range->second.hi) + 1e-9) return "high";
    return "within";
  }

  void do_job(const std::string& job, const Names& points) {
    for (const std::string& set : bench_.spoilt_by(job)) {
      if (bench_.text().find("by " + set + ":") != std::string::npos) throw MoreThanThis{};  // with another answer
    }
    const auto before = guesses_;
    std::map<std::string, std::string> verdicts;
    for (const auto& [point, verdict] : outcome_.verdicts) verdicts[point] = verdict_now(point);
    auto amounts = move(job, points);
    const bool nothing = comes_to_nothing(job, amounts);
    if (nothing && called_.count(job) == 0) {
      guesses_ = before;
      return;
    }
    Names far;  // the rest is too near its aim to be worked on
    for (const std::string& point : points) {
      const auto amount = amounts.find(job + " " + point);
      if (nothing || amount == amounts.end() || !comes_to_nothing(job, {*amount})) far.push_back(point);
    }
    if (far.size() < points.size()) {
      guesses_ = before;
      amounts = move(job, far);
    }
    for (const auto& [point, verdict] : verdicts) {  // refused: within before, out after it, and nothing brings it back
      const std::string after = verdict_now(point);
      if (verdict != "within" || (after != "high" && after != "low")) continue;
      const YAML::Node choice = bench_.target(point, after.c_str());
      if (choice && choice.IsMap()) throw MoreThanThis{};
      const auto back = answer(point, after);
      if (back && !bench_.is_declined(*back)) continue;
      guesses_ = before;
      return;
    }
    list_.push_back(job);
    outcome_.amounts.insert(amounts.begin(), amounts.end());
  }

  // No amount of it is as much as a step of its `work_to:`, a length or turns of a screw, when rounded to that.
  bool comes_to_nothing(const std::string& job, const std::map<std::string, double>& amounts) const {
    const YAML::Node info = profile_["jobs"][job];
    const std::string written = info["work_to"] ? info["work_to"].Scalar() : "0.01 mm";
    if (amounts.empty()) return false;
    const bool in_turns = written.find(" turns") != std::string::npos;
    const double pitch = in_turns ? number_of(profile_["facts"]["pitch"].Scalar()) : 1.0;
    const double step = number_of(written.substr(0, written.find(" turns"))) * pitch;
    return std::all_of(amounts.begin(), amounts.end(), [&](const auto& each) {
      const double steps = (std::abs(each.second) + 1e-6) / step;
      return info["removes"] ? steps < 1.0 : steps < 0.5;
    });
  }

  static double number_of(const std::string& text) { return to_double(parse(text)->number); }

  // Brings each point to its aim, and what its control moves besides with it. How far the control goes, by job and point.
  std::map<std::string, double> move(const std::string& job, const Names& points) {
    const YAML::Node info = profile_["jobs"][job];
    std::map<std::string, double> amounts;
    for (const std::string& point : info["moves"] ? points : Names{}) {
      if (is_in_a_gate(point)) throw MoreThanThis{};
      const std::string control = info["moves"].Scalar();
      const auto value = guess(point).value;
      const double change = value ? to_double(*bench_.aim(point)) - *value : 0.0;
      if (value) amounts[job + " " + point] = change / bench_.moves_by(Case::reading_of(point), control);
      for (const auto& [other, share] : bench_.moved_with(point, control)) {
        if (is_in_a_gate(other)) throw MoreThanThis{};
        Guess& moved = guesses_[other];
        if (!value) moved = {{}, 0, true, false, true};
        if (std::abs(share * change) <= 1e-9) continue;
        moved.touched = true;
        moved.moved += share * change;
        if (moved.value) *moved.value += share * change;
        moved.at_aim = moved.at_aim && stands(other);
      }
    }
    for (const std::string& point : bench_.points_of(names_of(info["disturbs"])))
      guesses_[point] = {{}, 0, true, false, true};
    for (const std::string& point : points) {
      guesses_[point] = Guess{};
      guesses_[point].at_aim = true;
      const auto aim = bench_.aim(point);
      if (aim) guesses_[point].value = to_double(*aim);
    }
    return amounts;
  }
  bool is_in_a_gate(const std::string& point) const {
    for (const auto& [gate, truth] : outcome_.gates) {
      const std::string text = profile_["gates"][gate]["open_when"].Scalar();
      if (text.find(Case::reading_of(point)) != std::string::npos || text.find("c0") != std::string::npos) return true;
    }
    return false;
  }

  const Case& bench_;
  Outcome outcome_;
  YAML::Node profile_;
  bool ended_ = false;
  Names list_;
  std::set<std::string> called_;
  std::set<std::string> seen_;  // listed, refused or declined
  std::map<std::string, Guess> guesses_;
};

}  // namespace

Outcome outcome_of(const stringline::testing::RandomBook& book) {
  Case bench(book);
  return WorkList(bench).run();
}

}  // namespace naive
