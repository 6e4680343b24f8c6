// Two visits of one instrument -> what moved between them; all its visits -> each reading over time.
//
// Readings are taken by name as each visit left them: what was disturbed and not read again has no value. A gap that was read
// by different methods is shown by one, the later visit's where the earlier readings determine it, else the other way round
// (judge/instrument.h), else the two are not comparable.
// Called moved only when  3 (b - a)^2 > d_a^2 + d_b^2  with the tools' read_to: a difference of more than twice its standard
// uncertainty, each d counting as d/sqrt(12) (GUM F.2.2.1). Squares are compared exactly. For a value that the model converted
// 12 u^2 stands for d^2. With bounds and intervals it has moved when every value inside says so.
// Both verdicts are by the house's specs of today, with the wishes that each visit holds; specs of the past are kept nowhere.
// Readings computed from others, and what is only assumed, are left out. Units: base units (mm, cents, %RH, K).
// Tested by tests/unit/drift_test.cc and the golden cases of `drift`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/judge/judge.h"

namespace stringline {

// One visit, judged as it was left.
struct SeenVisit {
  const Program* program = nullptr;
  const Judgement* judgement = nullptr;
};

enum class Moved : std::uint8_t { no, yes, can_not_tell };
[[nodiscard]] const char* to_text(Moved moved);

// `a_square`: d_a^2. An absent end of an interval is endless. What does not fit the arithmetic can not be told.
[[nodiscard]] Moved moved(const Interval& a, Ratio a_square, const Interval& b, Ratio b_square);

struct DriftValue {
  std::string text;                // 2.4 mm, contact, raised
  Value value;                     // a number by the row's method
  Ratio square;                    // d^2, or 12 u^2
  std::string converted_from;      // the method it was read by, where that is not the row's
  std::optional<Verdict> verdict;  // nothing without a target
  Date date;                       // when it was read
};

struct DriftRow {
  std::string name;                // action.bass
  std::string reading;             // action
  std::string member;              // bass; may be empty
  std::string counted;             // string: what the member counts, where it is a number
  std::string method;              // gap at fret 12, open; empty for what is no gap
  std::optional<DriftValue> then;  // nothing: no value was left
  std::optional<DriftValue> now;   // likewise
  std::optional<Moved> moved;      // nothing: not comparable
  std::optional<Interval> change;  // now less then, of numbers
  std::optional<double> limit;     // of numbers: a change of more than this counts as moved
  std::string why_not;             // not comparable: the reason
};

// What is done to an instrument, in the order of the logs.
struct WorkDone {
  std::string visit;
  Date date;
  std::string text;         // tighten the rod, 1/4 turns; new strings (set_12_53)
  std::string fitted = {};  // new strings: the set, as the house calls it
};

// What else differed, before any reading is looked at.
struct Circumstance {
  std::string word;  // tuning, strings, profile
  std::string then;
  std::string now;
  [[nodiscard]] bool differs() const { return then != now; }
};

struct Drift {
  std::vector<DriftRow> climate;  // humidity and temperature
  std::vector<Circumstance> circumstances;
  std::vector<DriftRow> rows;  // everything else that either visit read
  std::vector<WorkDone> work;  // since `then` was last read
};

// `between`: visits of the same instrument between the two, in their order; only their work counts.
[[nodiscard]] Drift drift(const SeenVisit& then, const SeenVisit& now, const std::vector<SeenVisit>& between = {});

struct HistoryCell {
  std::optional<DriftValue> value;  // nothing: no value was left
  bool comparable = true;           // false: read by another method, and nothing there determines the row's
  std::optional<Moved> moved;       // since the last comparable value before it; nothing: there is none
};
struct HistoryRow {
  std::string name;
  std::string reading;
  std::string member;
  std::string counted;
  std::string method;           // that of the last visit that read it
  std::optional<Ratio> lowest;  // what that visit's target wants by this method; nothing: no end on that side
  std::optional<Ratio> highest;
  std::vector<HistoryCell> cells;  // one for each visit
};
struct History {
  std::vector<HistoryRow> rows;
  std::vector<WorkDone> work;  // all of it
};

// What a log says was done, in its order.
[[nodiscard]] std::vector<WorkDone> work_done(const Program& program);
// "10p 13p 17p 26w": what is fitted, in thousandths of an inch. "E4 B3 G3 D3": what it is tuned to. ? where nobody said.
[[nodiscard]] std::string gauges_of(const Program& program);
[[nodiscard]] std::string pitches_of(const Program& program);

// `visits` in their order.
[[nodiscard]] History history(const std::vector<SeenVisit>& visits);

}  // namespace stringline
