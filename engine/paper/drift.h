// What moved between two visits, and each reading over all visits of an instrument, for a terminal.
#pragma once

#include <string>
#include <vector>

#include "engine/book/drift.h"

namespace stringline {

struct DriftHead {
  std::string instrument;             // HL-0205, small-bodied flat-top
  std::string house;                  // whose specs judge both; empty: none
  std::vector<const Program*> shown;  // the two, or all visits
  std::vector<std::string> left_out;  // visits of this instrument with mistakes, by file, with the first of them
};

[[nodiscard]] std::string drift_text(const DriftHead& head, const Drift& drift);
[[nodiscard]] std::string history_text(const DriftHead& head, const History& history);

// "2026-05-04", "2026-05-04 to 2026-05-06"; "no date" without a log.
[[nodiscard]] std::string dates_of(const Program& program);

}  // namespace stringline
