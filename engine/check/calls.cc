// See calls.h.
#include "engine/check/calls.h"

#include <optional>

namespace stringline {
namespace {

template <class Mark>
void mark(const JobChoice& choice, std::vector<JobCalls>& all, const Mark& how) {
  for_each_leaf(choice, [&](const std::optional<JobId>& job, Span) {
    if (job) how(all[*job]);
  });
}

void mark_each(const std::vector<JobChoice>& choices, std::vector<JobCalls>& all, bool JobCalls::*flag) {
  for (const JobChoice& choice : choices) {
    mark(choice, all, [&](JobCalls& job) { job.*flag = true; });
  }
}

}  // namespace

std::vector<JobCalls> calls(const Program& program) {
  std::vector<JobCalls> all(program.jobs.size());
  for (const TargetInfo& target : program.targets) {
    for (const auto* choice : {&target.low, &target.high}) {
      if (!*choice) continue;
      mark(**choice, all, [&](JobCalls& job) {
        if (job.targets.empty() || job.targets.back() != target.point) job.targets.push_back(target.point);
      });
    }
  }
  for (const RuleInfo& rule : program.rules) {
    mark_each(rule.jobs, all, &JobCalls::by_rule);
    mark_each(rule.offers, all, &JobCalls::by_offer);
  }
  for (const GateInfo& gate : program.gates) mark_each(gate.jobs, all, &JobCalls::by_gate);
  for (const StopInfo& stop : program.stops) {
    mark_each(stop.jobs, all, &JobCalls::by_stop);
    mark_each(stop.offers, all, &JobCalls::by_stop);
  }
  return all;
}

}  // namespace stringline
