// See sequence.h.
#include "engine/check/sequence.h"

#include <algorithm>
#include <set>
#include <vector>

#include "engine/check/mentions.h"

namespace stringline {
namespace {

using JobSet = std::set<JobId>;  // by name, since jobs are numbered so

void add_list(const std::vector<JobChoice>& list, std::vector<JobSet>& before) {
  for (std::size_t i = 1; i < list.size(); ++i) {
    const auto first = jobs_in(list[i - 1]);
    for (const JobId later : jobs_in(list[i])) {
      for (const JobId job : first) {
        if (job != later) before[later].insert(job);
      }
    }
  }
}

}  // namespace

void place_jobs(Program& program) {
  std::vector<JobSet> before(program.jobs.size());
  for (const GateInfo& gate : program.gates) add_list(gate.jobs, before);
  for (const StopInfo& stop : program.stops) add_list(stop.jobs, before);
  for (const RuleInfo& rule : program.rules) add_list(rule.jobs, before);
  JobSet left;
  for (JobId job = 0; job < program.jobs.size(); ++job) left.insert(job);
  for (int place = 0; !left.empty(); ++place) {
    const auto is_free = [&](JobId job) {
      return std::none_of(before[job].begin(), before[job].end(), [&](JobId each) { return left.count(each) > 0; });
    };
    const auto found = std::find_if(left.begin(), left.end(), is_free);
    const JobId next = found != left.end() ? *found : *left.begin();
    program.jobs[next].place = place;
    left.erase(next);
  }
}

}  // namespace stringline
