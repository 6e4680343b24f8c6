#include "engine/book/told.h"

#include <algorithm>

#include "engine/check/check.h"

namespace stringline {

std::optional<Estimate> told_before_work(HouseBook& book, const OpenVisit& visit, Date today) {
  if (visit.house == nullptr || visit.tree == nullptr || !visit.tree->profile) return std::nullopt;
  VisitTree before = *visit.tree;
  const auto first =
      std::find_if(before.log.begin(), before.log.end(), [](const LogEntry& e) { return !e.did.empty(); });
  if (first == before.log.end()) return std::nullopt;
  before.log.erase(first, before.log.end());
  Diagnostics unheard;
  const auto layers = book.layers(*before.profile);
  const auto program = layers ? check({visit.house, *layers, &before}, unheard) : std::nullopt;
  if (!program) return std::nullopt;
  const LastVisit* last = visit.last ? &*visit.last : nullptr;
  const Judgement judgement = judge(*program, {today, last});
  const Plan plan = make_plan(*program, judgement);
  return make_estimate({*program, *visit.house, before, judgement, plan, today, last}, unheard);
}

}  // namespace stringline
