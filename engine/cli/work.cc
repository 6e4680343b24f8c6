// See work.h.
#include "engine/cli/work.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/estimate/estimate.h"
#include "engine/paper/estimate_text.h"

namespace stringline {
namespace {

// True when it would be passed by more than the house goes without asking.
bool tell_ceiling(const OpenVisit& visit, Date day, Plan& plan, Diagnostics& out) {
  if (!visit.judgement.up_to || visit.house == nullptr) return false;
  const EstimateInput in{
      visit.program, *visit.house, *visit.tree, visit.judgement, plan, day, visit.last ? &*visit.last : nullptr};
  const auto estimate = make_estimate(in, out);
  const std::string told = estimate ? ceiling_note(*estimate) : "";
  if (!told.empty()) plan.told.insert(plan.told.begin(), told);
  return !told.empty() && estimate->ceiling->ask_again;
}

}  // namespace

int status_of(const Judgement& judgement, const Plan& plan) {
  if (judgement.ledger[static_cast<std::size_t>(RuleState::error)] > 0) return 3;
  const auto ready = [](const PlanLine& line) { return line.form == PlanLine::Form::job && !line.waits_for_yes; };
  if (std::any_of(plan.lines.begin(), plan.lines.end(), ready)) return 1;
  const bool open = std::any_of(plan.left.begin(), plan.left.end(), [](const LeftAlone& left) { return left.open; });
  return plan.lines.empty() && plan.conflicts.empty() && !open && !plan.ended_early ? 0 : 4;
}

Work work_of(const OpenVisit& visit, Date day, Diagnostics& out) {
  Work work{make_plan(visit.program, visit.judgement)};
  work.asks = tell_ceiling(visit, day, work.plan, out);
  work.status = status_of(visit.judgement, work.plan);
  if (work.asks && work.status != 3) work.status = 4;
  return work;
}

void add_work(Json& document, const OpenVisit& visit, const Work& work, const Sources& sources) {
  add_work(document, {visit.program, visit.judgement, work.plan, sources}, *visit.tree,
           sourness(visit.program, visit.judgement), clean_sides(visit.program, visit.judgement));
}

}  // namespace stringline
