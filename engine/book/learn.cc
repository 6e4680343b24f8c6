// See learn.h.
#include "engine/book/learn.h"

#include <cmath>
#include <map>

#include "engine/check/disturb.h"

namespace stringline {
namespace {

using Values = std::map<PointId, double>;

double uncertainty_of_change(const Program& program, PointId point) {
  const ReadingInfo& reading = program.reading_of(point);
  const double d = reading.read_to ? reading.read_to->value.to_double() : 0.0;
  return d * std::sqrt(2.0 / 12.0);
}

bool moves_gaps(const Program& program, JobId job) {
  for (const PointId point : disturbed_by(program, program.jobs[job])) {
    if (program.reading_of(point).gap) return true;
  }
  return false;
}

// The reading that the entry's rod job brings to its aim, when nothing else in the entry moves a gap.
std::optional<PointId> rod_reading(const Program& program, const Entry& entry) {
  std::vector<JobId> movers;
  for (const DidEvent& did : entry.did) {
    if (moves_gaps(program, did.job)) movers.push_back(did.job);
  }
  if (movers.size() != 1 || entry.fitted || entry.retuned) return std::nullopt;
  const JobInfo& job = program.jobs[movers.front()];
  if (job.moves != Control::neck_bend) return std::nullopt;
  for (const JobInfo::Set& set : job.sets) {
    if (!set.value && !set.points.empty()) return set.points.front();
  }
  return std::nullopt;
}

class Reader {
 public:
  explicit Reader(const Program& program) : program_(program) {}

  RodEvidence run() {
    for (const Entry& entry : program_.log) {
      if (entry.struck) continue;
      if (entry.fitted || entry.retuned || !entry.did.empty()) begin(entry);
      for (const ReadEvent& event : entry.read) {
        if (event.numbers.size() == 1 && !event.method) now_[event.point] = event.numbers.front().to_double();
      }
    }
    finish();
    return evidence_;
  }

 private:
  // Something was done: what was read since the last job is what stood before this one.
  void begin(const Entry& entry) {
    finish();
    relief_ = rod_reading(program_, entry);
    before_ = std::move(now_);
    now_.clear();
  }

  void finish() {
    if (!relief_ || before_.count(*relief_) == 0 || now_.count(*relief_) == 0) return;
    const auto relief = effect_on(program_, *relief_, Control::neck_bend);
    if (!relief) return;
    ++evidence_.jobs;
    for (const auto& [point, value] : now_) {
      const auto then = before_.find(point);
      const auto effect = point == *relief_ ? std::nullopt : effect_on(program_, point, Control::neck_bend);
      if (then == before_.end() || !effect) continue;
      evidence_.pairs.push_back({*effect, *relief, value - then->second, now_[*relief_] - before_[*relief_],
                                 uncertainty_of_change(program_, point), uncertainty_of_change(program_, *relief_)});
    }
    relief_.reset();
  }

  const Program& program_;
  std::optional<PointId> relief_;
  Values before_;
  Values now_;
  RodEvidence evidence_;
};

}  // namespace

RodEvidence rod_evidence(const Program& program) { return Reader(program).run(); }

std::vector<Learnt> learn(const std::vector<Program>& programs) {
  std::map<std::string, Learnt> all;
  std::map<std::string, std::vector<model::RodPair>> pairs;
  for (const Program& program : programs) {
    const RodEvidence evidence = rod_evidence(program);
    if (evidence.pairs.empty()) continue;
    Learnt& learnt = all[program.profile];
    learnt.profile = program.profile;
    ++learnt.visits;
    learnt.jobs += evidence.jobs;
    auto& own = pairs[program.profile];
    own.insert(own.end(), evidence.pairs.begin(), evidence.pairs.end());
  }
  std::vector<Learnt> result;
  for (auto& [profile, learnt] : all) {
    learnt.phi = model::learn_phi(pairs[profile]);
    learnt.pairs = static_cast<int>(pairs[profile].size());
    result.push_back(learnt);
  }
  return result;
}

}  // namespace stringline
