// See before_work.h.
#include "engine/estimate/before_work.h"

#include <algorithm>

namespace stringline {
namespace {

constexpr std::size_t most_moments = 32;  // each is judged and planned by itself

Program cut_off(const Program& program, std::size_t entry) {
  Program before = program;
  before.log.erase(before.log.begin() + static_cast<std::ptrdiff_t>(entry), before.log.end());
  return before;
}

}  // namespace

BeforeWork::Moment::Moment(const EstimateInput& in, std::size_t entry)
    : program(cut_off(in.program, entry)),
      judgement(judge(program, {in.program.log[entry].date, in.last})),
      plan(make_plan(program, judgement)),
      book(in.house, program, judgement) {}

const PlanLine* BeforeWork::Moment::line_of(JobId job) const {
  const auto found = std::find_if(plan.lines.begin(), plan.lines.end(), [&](const PlanLine& line) {
    return line.job == job && line.form != PlanLine::Form::read_again;
  });
  return found == plan.lines.end() ? nullptr : &*found;
}

std::vector<const BeforeWork::Moment*> BeforeWork::of(JobId job) {
  std::vector<const Moment*> found;
  for (std::size_t entry = 0; entry < in_.program.log.size(); ++entry) {
    const Entry& each = in_.program.log[entry];
    const auto is_it = [&](const DidEvent& did) { return did.job == job; };
    if (each.struck || std::none_of(each.did.begin(), each.did.end(), is_it)) continue;
    auto known = moments_.find(entry);
    if (known == moments_.end()) {
      if (moments_.size() >= most_moments) break;
      known = moments_.emplace(entry, std::make_unique<const Moment>(in_, entry)).first;
    }
    found.push_back(known->second.get());
  }
  return found;
}

}  // namespace stringline
