// See branches.h.
#include "engine/plan/branches.h"

#include <algorithm>
#include <tuple>

#include "engine/check/mentions.h"

namespace stringline {
namespace {

void add_once(std::vector<JobId>& jobs, const std::vector<JobId>& more) {
  for (const JobId job : more) {
    if (std::count(jobs.begin(), jobs.end(), job) == 0) jobs.push_back(job);
  }
}

class Branching {
 public:
  Branching(const Program& program, const Judgement& judgement, const Answers& answers, const PlanLine& line)
      : program_(program), judgement_(judgement), answers_(answers), line_(line) {}

  std::vector<Branch> run() const {
    std::vector<Branch> branches;
    for (const Verdict verdict : {Verdict::low, Verdict::high}) {
      Branch branch = toward(verdict);
      if (branch.job || !branch.may.empty() || branch.likely) branches.push_back(std::move(branch));
    }
    return branches;
  }

 private:
  Branch toward(Verdict verdict) const {
    Branch branch;
    branch.verdict = verdict;
    for (const PointId point : line_.points) {
      const TargetInfo* target = program_.target(point);
      if (target == nullptr) continue;
      branch.likely = branch.likely || read_so(point) == verdict;
      const auto& choice = verdict == Verdict::low ? target->low : target->high;
      if (!branch.job) branch.job = answers_.answer(choice, point);
      if (!branch.job && choice) add_once(branch.may, answers_.possible(*choice, program_.points[point].at));
    }
    if (branch.job) {
      branch.may.clear();
      branch.declined = answers_.is_declined(*branch.job);
      branch.needs_yes = program_.jobs[*branch.job].needs_yes && !answers_.is_agreed(*branch.job);
    } else if (branch.may.empty() && branch.likely) {
      branch.may = of_rules();
    }
    // The shortest first; the order in which a table's rows are written says nothing.
    const auto key = [&](JobId job) {
      const auto& minutes = program_.jobs[job].minutes;
      return std::tuple(!minutes, minutes ? minutes->value : Ratio(0), job);
    };
    std::sort(branch.may.begin(), branch.may.end(), [&](JobId a, JobId b) { return key(a) < key(b); });
    return branch;
  }

  std::optional<Verdict> read_so(PointId point) const {
    const auto found = std::find_if(line_.expected.begin(), line_.expected.end(),
                                    [&](const Predicted& each) { return each.point == point; });
    if (found != line_.expected.end() && found->verdict) return found->verdict;
    const TargetState& target = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
    if (target.verdict != Verdict::void_) return target.verdict;
    const Interval& number = judgement_.points[point].value.number;
    if (number.hi && target.lo && *number.hi < *target.lo) return Verdict::low;
    if (number.lo && target.hi && *number.lo > *target.hi) return Verdict::high;
    return std::nullopt;
  }

  std::vector<JobId> of_rules() const {
    std::vector<JobId> jobs;
    for (const RuleInfo& rule : program_.rules) {
      if (!rule.when) continue;
      const auto seen = mentioned_in(program_, *rule.when);
      const auto is_seen = [&](PointId point) { return std::count(seen.begin(), seen.end(), point) > 0; };
      if (std::none_of(line_.points.begin(), line_.points.end(), is_seen)) continue;
      for (const auto* choices : {&rule.jobs, &rule.offers}) {
        for (const JobChoice& choice : *choices) add_once(jobs, answers_.possible(choice));
      }
    }
    const auto is_done = [&](JobId job) { return answers_.is_done(job); };
    jobs.erase(std::remove_if(jobs.begin(), jobs.end(), is_done), jobs.end());
    return jobs;
  }

  const Program& program_;
  const Judgement& judgement_;
  const Answers& answers_;
  const PlanLine& line_;
};

}  // namespace

std::vector<Branch> branches_of(const Program& program, const Judgement& judgement, const Answers& answers,
                                const PlanLine& line) {
  return Branching(program, judgement, answers, line).run();
}

}  // namespace stringline
