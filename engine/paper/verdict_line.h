// The verdicts of one visit as a line of JSON: what reads how, and the state of each gate, stop and rule; no reasons, no plan.
// Keys: output.def. The names are made into JSON once for a program, since there may be very many lines.
#pragma once

#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "engine/check/program.h"
#include "engine/judge/judge.h"
#include "engine/judge/quick_judge.h"

namespace stringline {

class VerdictPaper {
 public:
  explicit VerdictPaper(const Program& program);

  // `diagnostics` is the JSON of what was told of the visit. The line has its end.
  [[nodiscard]] std::string line(std::string_view from, std::string_view visit, std::string_view diagnostics,
                                 const QuickJudgement& found) const;

 private:
  std::string profile_;
  std::vector<std::string> targets_;
  std::vector<std::string> gates_;
  std::vector<std::string> stops_;
  std::vector<std::string> rules_;
};

// What of a judgement the quick judge would have said.
[[nodiscard]] QuickJudgement verdicts_of(const Judgement& judgement);

}  // namespace stringline
