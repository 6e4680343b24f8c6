// A visit whose work is done -> what the owner takes home: how it leaves, what was done, when to come back, how to keep it.
//
// Readings are those that stand at the end of the log, each with the house's wish (or the player's) and what it read when it came
// in (judge/came_in.h), in the house's order of work. Members of a reading with the same verdict and the same wish stand together. Days are counted from the
// entry that closed the visit, else from today. Nothing is said that no file and no reading says, but for one sentence on
// the weather. While work is left it is not finished, and says what is next.
// Tested by tests/unit/handover_test.cc and the golden cases of `handover`.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/book/drift.h"
#include "engine/book/open_visit.h"
#include "engine/estimate/estimate.h"

namespace stringline {

struct Finding {
  std::string reading;  // as the files call it
  std::string what;     // the strings' height at fret 12
  std::vector<std::string> members;
  std::string now;     // 2.4 mm, or a span where members differ
  std::string method;  // of `now`, where there are two: method_note of plan/words.h
  std::string before;  // likewise; empty: not read then, or by another method
  std::string wanted;  // 2.1 mm to 2.6 mm; empty: nothing that is known
  Verdict verdict = Verdict::within;
  bool own_range = false;    // `wanted` is the player's, not the house's
  std::string asked;         // the player's own aim: 1.3 mm
  bool at_asked = false;     // and it is there
  std::string since;         // stale: after what
  std::string left_because;  // out, and nothing is planned: why
};

struct Handover {
  std::string shop;  // empty: no house
  ShopContact contact;
  std::string visit;
  std::string owner;
  std::string instrument;
  std::string instrument_id;  // may be empty
  std::string says;           // the complaint
  Date date;
  DateForm date_form = DateForm::iso;
  bool finished = false;
  std::vector<std::string> next;  // while not finished
  std::vector<Finding> readings;
  std::vector<WorkDone> work;
  std::vector<Refused> declined;
  std::optional<Date> come_back;
  std::optional<std::int64_t> warranty_days;
  std::optional<Date> warranty_until;
  std::vector<std::pair<std::string, Date>> good_until;  // readings that age
  std::string air;                                       // 48 %RH, when it was last read
  std::string air_wish;                                  // 40 %RH to 60 %RH
  std::string strings;                                   // 10p 13p ..
  std::string tuning;
  std::vector<std::string> aftercare;  // of the jobs that were done
  std::vector<std::string> care;       // the house's
  std::vector<std::string> told;       // by stops, gates and rules, as it leaves
};

[[nodiscard]] Handover handover(const OpenVisit& visit, const std::optional<Judgement>& before, const Plan& plan,
                                Date today);

}  // namespace stringline
