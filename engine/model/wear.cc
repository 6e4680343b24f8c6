#include "engine/model/wear.h"

#include <algorithm>
#include <utility>

namespace stringline::model {
namespace {

using Kind = WearReason::Kind;

// What the frets say, each finding once.
struct Findings {
  std::vector<WearReason> spent;    // frets that a level would use up
  std::vector<WearReason> grooved;  // from level_groove on
  std::vector<WearReason> faint;    // from polish_groove on, below level_groove
  std::vector<WearReason> high;
  WearReason least_left{};
  bool dull = false;  // any groove at all
};

Findings findings_of(const std::vector<FretWear>& frets, const WearThresholds& limits) {
  Findings found;
  for (const FretWear& fret : frets) {
    const double left = remaining(fret, limits);
    const bool first = &fret == &frets.front();
    if (first || left < found.least_left.value) {
      found.least_left = {Kind::left_enough, fret.fret, left, limits.minimum_left_mm};
    }
    if (left < limits.minimum_left_mm) {
      found.spent.push_back({Kind::left_too_little, fret.fret, left, limits.minimum_left_mm});
    } else if (fret.groove_mm > limits.deepest_groove_mm) {
      found.spent.push_back({Kind::groove_deep, fret.fret, fret.groove_mm, limits.deepest_groove_mm});
    }
    if (fret.groove_mm >= limits.level_groove_mm) {
      found.grooved.push_back({Kind::groove_deep, fret.fret, fret.groove_mm, limits.level_groove_mm});
    } else if (fret.groove_mm >= limits.polish_groove_mm) {
      found.faint.push_back({Kind::groove_small, fret.fret, fret.groove_mm, limits.level_groove_mm});
    }
    if (fret.rise_mm > limits.high_fret_mm) {
      found.high.push_back({Kind::fret_high, fret.fret, fret.rise_mm, limits.high_fret_mm});
    }
    found.dull = found.dull || fret.groove_mm > 0.0;
  }
  return found;
}

std::vector<int> frets_of(const std::vector<WearReason>& reasons) {
  std::vector<int> frets;
  for (const WearReason& reason : reasons) frets.push_back(reason.fret);
  return frets;
}

WearReason count_reason(Kind kind, std::size_t count, int limit) {
  return {kind, 0, static_cast<double>(count), static_cast<double>(limit)};
}

bool more_than(const std::vector<WearReason>& reasons, int limit) { return std::cmp_greater(reasons.size(), limit); }

void append(std::vector<WearReason>& to, const std::vector<WearReason>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

WearDecision full_refret(const Findings& found, const BoardHistory& history, const WearThresholds& limits) {
  WearDecision decision{FretWork::full_refret, {}, found.spent, {}};
  if (more_than(found.spent, limits.most_replaced)) {
    decision.reasons.push_back(count_reason(Kind::too_many_spent, found.spent.size(), limits.most_replaced));
  }
  if (history.board_uneven) decision.reasons.push_back({Kind::board_uneven, 0, 0.0, 0.0});
  return decision;
}

WearDecision full_level(const Findings& found, const WearThresholds& limits) {
  WearDecision decision{FretWork::full_level, {}, found.grooved, {}};
  append(decision.reasons, found.high);
  if (more_than(found.high, limits.most_high_frets)) {
    decision.reasons.push_back(count_reason(Kind::too_many_high, found.high.size(), limits.most_high_frets));
  }
  decision.reasons.push_back(found.least_left);
  return decision;
}

WearDecision decide(const Findings& found, const BoardHistory& history, const WearThresholds& limits) {
  if (more_than(found.spent, limits.most_replaced) || history.board_uneven) return full_refret(found, history, limits);
  if (!found.spent.empty()) return {FretWork::part_refret, frets_of(found.spent), found.spent, {}};
  if (!found.grooved.empty() || more_than(found.high, limits.most_high_frets)) {
    if (history.levels_before < limits.most_levels) return full_level(found, limits);
    WearDecision decision = full_level(found, limits);
    decision.work = FretWork::full_refret;
    const auto levels = static_cast<std::size_t>(history.levels_before);
    decision.reasons.push_back(count_reason(Kind::levelled_often, levels, limits.most_levels));
    return decision;
  }
  if (!found.high.empty()) return {FretWork::spot_level, frets_of(found.high), found.high, {}};
  if (found.dull) return {FretWork::polish, {}, found.faint, {}};
  return {};
}

}  // namespace

double remaining(const FretWear& fret, const WearThresholds& thresholds) {
  return fret.crown_mm - fret.groove_mm - thresholds.level_allowance_mm;
}

WearDecision decide_fret_work(const std::vector<FretWear>& frets, const BoardHistory& history,
                              const WearThresholds& thresholds) {
  const Findings found = findings_of(frets, thresholds);
  WearDecision decision = decide(found, history, thresholds);
  if (!frets.empty()) decision.least_left = found.least_left.value;
  return decision;
}

}  // namespace stringline::model
