// A fill-in visit for a profile: what to measure, with what, how, to what step, in which order; itself a visit that checks.
//
// First what gates and stops hang on, then by the phase of each reading's target, then what is only reported. What nobody read
// stands as `unknown`, also where a value is taken meanwhile: nobody signs for what he did not look at. What is not known of
// the owner and the instrument stands as a comment, so that no placeholder is ever taken for a fact.
// Tested by the golden cases of `sheet` and `new`.
#pragma once

#include <string>
#include <vector>

#include "engine/check/program.h"
#include "engine/syntax/tree.h"
#include "engine/value/date.h"

namespace stringline {

// One thing to measure, in the order of work.
struct SheetReading {
  ReadingId reading = 0;
  std::string heading;  // "before anything counts", "for the turn: rod"
  std::string how;      // "gap at fret 12, open"; what it is of
  std::string with;     // the tool
  std::string to;       // what it is read to
  std::vector<std::string> states;
  std::string assumed;              // while nothing is written
  std::vector<std::string> wanted;  // "the house wants ..", one for each range
};
[[nodiscard]] std::vector<SheetReading> sheet_readings(const Program& program);
// `program` of a profile without a visit; `house` may be null.
[[nodiscard]] std::string sheet_text(const Program& program, const HouseTree* house, const std::string& id, Date today);
// A visit to begin with: who, what, how it is played, and a first entry.
[[nodiscard]] std::string new_visit_text(const Program& program, const HouseTree* house, const std::string& id,
                                         Date today);

}  // namespace stringline
