// Pieces of sentences that the work list and the work page share, so that both say the same.
// Tested by the golden cases of `work`.
#pragma once

#include <string>
#include <vector>

#include "engine/judge/clean.h"
#include "engine/judge/sourness.h"
#include "engine/plan/plan.h"

namespace stringline {

// Members with the same amount, named together: "0.19 mm down" at "string 5".
struct AmountGroup {
  std::string text;
  std::string members;
};
[[nodiscard]] std::vector<AmountGroup> amount_groups(const Program& program, const std::vector<Amount>& amounts);
// "0.56 mm down at bass, treble"; "0.19 mm down at string 5, 0.22 mm down at strings 1 to 3"
[[nodiscard]] std::string amounts_text(const Program& program, const std::vector<Amount>& amounts);
// "action (bass) 1.44 to 1.84 mm, within": members of a reading with more than two of them as one span.
[[nodiscard]] std::string expected_text(const Program& program, const Judgement& judgement,
                                        const std::vector<Predicted>& expected);
// "15 min at the bench, wait 24 h"; empty where the house says neither.
[[nodiscard]] std::string time_text(const JobInfo& job);
// Who pays: "in the set-up", "extra", or the yes that is needed.
[[nodiscard]] std::string paid_text(const Program& program, const Judgement& judgement, const PlanLine& line,
                                    bool ended_early);
// "if low: raise the saddles", "if high, as is likely: make a new nut, with a yes from the owner": what follows a reading.
[[nodiscard]] std::vector<std::string> follow_texts(const Program& program, const PlanLine& line);
// "action (treble) at 1.10 mm", "notes at fret 13 touch fret 14", "lowest clean action as the frets are: .."
[[nodiscard]] std::string side_text(const Program& program, const Judgement& judgement, const CleanSide& side);
[[nodiscard]] std::string stops_text(const CleanSide& side);
[[nodiscard]] std::string lowest_text(const Program& program, const Judgement& judgement, const CleanSide& side);
// "looking into it": a fee in the house's words.
[[nodiscard]] std::string fee_text(const Program& program, const std::string& fee);
// "0.2 cents between its sharpest and its flattest note, which nobody hears"
[[nodiscard]] std::string spread_text(const SourChord& chord);
// What stands in the place of a list with no lines.
[[nodiscard]] std::string no_work_text(const Program& program, const Judgement& judgement, const Plan& plan);
// Of each line that reads, its reasons; where an earlier one has the same, "as for line 4".
[[nodiscard]] std::vector<std::vector<std::string>> reading_reasons(const Plan& plan);
// Assumptions with the same value stand together: "0 mm: backbow, rocker".
[[nodiscard]] std::string assumed_text(const Program& program, const Judgement& judgement);

}  // namespace stringline
