// See called_again.h.
#include "engine/judge/called_again.h"

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/mentions.h"

namespace stringline {
namespace {

class Calling {
 public:
  Calling(const Program& program, const Judgement& judgement) : program_(program), judgement_(judgement) {
    for (const Entry& entry : program.log) {
      if (entry.struck) continue;
      for (const DidEvent& did : entry.did) last_[did.job] = entry.number;
    }
  }

  std::vector<JobId> run() {
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      const RuleInfo& rule = program_.rules[i];
      for (const Hand& hand : judgement_.rules[i].fired) look(rule.jobs, *rule.when, Truth::yes, hand);
    }
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (judgement_.gates[i].truth == Truth::no)
        look(program_.gates[i].jobs, *program_.gates[i].open_when, Truth::no, empty_hand);
    }
    for (std::size_t i = 0; i < program_.stops.size(); ++i) {
      if (judgement_.stops[i].truth == Truth::yes)
        look(program_.stops[i].jobs, *program_.stops[i].when, Truth::yes, empty_hand);
    }
    return {again_.begin(), again_.end()};
  }

 private:
  void look(const std::vector<JobChoice>& choices, const Typed& condition, Truth calls, const Hand& hand) {
    for (const JobChoice& choice : choices) {
      for (const JobId job : jobs_in(choice)) {
        const auto done = last_.find(job);
        if (done == last_.end() || again_.count(job) > 0) continue;
        const Scene scene(program_, known_since(done->second));
        const Result now = Evaluator(program_, scene).evaluate(condition, hand);
        const bool on_readings = !mentioned_in(program_, condition, hand).empty();
        if (on_readings && !now.failure && now.truth() == calls && read_since(condition, hand, done->second))
          again_.insert(job);
      }
    }
  }

  // What is known from entry `from` of the log onward, with what was never written and what jobs left.
  const Judgement& known_since(int from) {
    const auto [found, fresh] = known_since_.try_emplace(from);
    Judgement& late = found->second;
    if (!fresh) return late;
    late.points = judgement_.points;
    late.targets = judgement_.targets;
    late.last = judgement_.last;
    for (PointId point = 0; point < late.points.size(); ++point) {
      PointState& state = late.points[point];
      if (state.entry == 0 || state.entry >= from) continue;
      if (state.status == PointState::Status::read) state.status = PointState::Status::stale;
      if (program_.target_of[point] >= 0)
        late.targets[static_cast<std::size_t>(program_.target_of[point])].verdict = Verdict::stale;
    }
    return late;
  }

  bool read_since(const Typed& condition, const Hand& hand, int from) const {
    std::set<PointId> seen;
    return any_read_since(condition, hand, from, seen);
  }

  // Computed readings are as late as what they are worked out from.
  bool any_read_since(const Typed& condition, const Hand& hand, int from, std::set<PointId>& seen) const {
    for (const PointId point : mentioned_in(program_, condition, hand)) {
      if (!seen.insert(point).second) continue;
      const PointState& state = judgement_.points[point];
      if (state.entry >= from && !state.by_job) return true;
      const ReadingInfo& info = program_.reading_of(point);
      if (info.formula && any_read_since(*info.formula, program_.points[point].at, from, seen)) return true;
    }
    return false;
  }

  const Program& program_;
  const Judgement& judgement_;
  std::map<JobId, int> last_;  // entry in which a job was done last
  std::map<int, Judgement> known_since_;
  std::set<JobId> again_;
};

}  // namespace

std::vector<JobId> called_again(const Program& program, const Judgement& judgement) {
  return judgement.done.empty() ? std::vector<JobId>() : Calling(program, judgement).run();
}

}  // namespace stringline
