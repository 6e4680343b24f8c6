// Pieces of sentences that the work list and the work page share, so that both say the same.
// Tested by the golden cases of `work`.
#pragma once

#include <string>
#include <vector>

#include "engine/judge/clean.h"
#include "engine/plan/plan.h"

namespace stringline {

// Members with the same amount, named together.
struct AmountGroup {
  std::string text;
  std::vector<std::string> members;
};
[[nodiscard]] std::vector<AmountGroup> amount_groups(const std::vector<Amount>& amounts);
// "bass, treble 0.56 mm lower"
[[nodiscard]] std::string amounts_text(const std::vector<Amount>& amounts);
// "action (bass) 1.44 to 1.84 mm, within": members of a reading with more than two of them as one span.
[[nodiscard]] std::string expected_text(const Program& program, const Judgement& judgement,
                                        const std::vector<Predicted>& expected);
// "15 min at the bench, wait 24 h"; empty where the house says neither.
[[nodiscard]] std::string time_text(const JobInfo& job);
// Who pays: "in the set-up", "extra", or the yes that is needed.
[[nodiscard]] std::string paid_text(const Program& program, const Judgement& judgement, const PlanLine& line,
                                    bool ended_early);
// "; if low: raise the saddles": the jobs that follow a reading.
[[nodiscard]] std::string follow_text(const Program& program, const PlanLine& line);
// "action (treble) at 1.10 mm", "notes at fret 13 touch fret 14", "lowest clean action as the frets are: .."
[[nodiscard]] std::string side_text(const Program& program, const Judgement& judgement, const CleanSide& side);
[[nodiscard]] std::string stops_text(const CleanSide& side);
[[nodiscard]] std::string lowest_text(const Program& program, const Judgement& judgement, const CleanSide& side);
// Assumptions with the same value stand together: "0 mm: backbow, rocker".
[[nodiscard]] std::string assumed_text(const Program& program, const Judgement& judgement);

}  // namespace stringline
