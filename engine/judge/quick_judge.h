// Many instruments against one checked program, without reasons: the verdict of each target and the state of each gate, stop
// and rule, just as `judge()` gives them, at a hundredth of its time and less.
//
//   QuickJudge quick(program);            // the program's facts count, its log does not
//   Readings record = quick.blank();      // nothing read but what the profile assumes
//   record.decimal(point, 255, 3);        // 0.255 in the base unit of the reading: mm, cents, %RH, one ..
//   const QuickJudgement& found = quick.judge(record);     // or many at once, which is quicker
//
// Readings are whole counts of 1/16000000 of their base unit, held in doubles, so that comparisons and sums are exact. Products
// are compared with an error bound. Whatever a count can not hold (a bound, several readings of one thing, another method, a third),
// and whatever an error bound leaves open, goes to `judge()`: the answer is always its answer. `asked_full` counts how often.
// A record is one log entry of readings of one day: nothing done, nothing aged, no earlier visit. Other facts are another
// program: a shop keeps one QuickJudge for each style and bridge it meets.
// Tested by tests/property/quick_judge_test.cc, which compares with `judge()` on random shops, at their limits too.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "engine/check/program.h"
#include "engine/judge/judge.h"

namespace stringline {

// How many counts there are in one base unit.
inline constexpr std::int64_t counts_per_unit = 16'000'000;
inline constexpr std::int64_t largest_count = std::int64_t{1} << 44U;

// What one instrument reads, by point. Made by QuickJudge::blank().
class Readings {
 public:
  // A whole count, at most `largest_count` away from zero.
  void counts(PointId point, std::int64_t counts);
  // `digits` with this many of them behind the point, in the base unit of the reading.
  void decimal(PointId point, std::int64_t digits, int places);
  void number(PointId point, Ratio value);       // in the base unit
  void state(PointId point, std::size_t place);  // its place in the reading's list of states
  void truth(PointId point, bool value);
  void not_measurable(PointId point);
  // Anything a log may hold; `program` is the one the judge was made for.
  void event(const Program& program, const ReadEvent& event);

 private:
  friend class QuickJudge;
  void keep(ReadEvent event);
  [[nodiscard]] double tuning_place(const ReadEvent& event) const;

  std::vector<double> counts_;      // by point; NaN: not read
  std::int64_t parts_ = 1000;       // every number is a whole count of one in so many
  std::vector<ReadEvent> others_;   // what no count holds
  std::vector<ReadEvent> tunings_;  // what `judge()` would have to be told
  std::shared_ptr<const std::map<std::uint16_t, std::vector<std::vector<Pitch>>>> known_tunings_;
};

struct QuickJudgement {
  std::vector<Verdict> verdicts;  // as program.targets
  std::vector<Truth> gates;       // as program.gates, and so on
  std::vector<Truth> stops;
  std::vector<RuleState> rules;
  bool in_full = false;  // `judge()` was asked
};

namespace quick {
struct Plan;
}

class QuickJudge {
 public:
  explicit QuickJudge(const Program& program);
  QuickJudge(const QuickJudge&) = delete;
  QuickJudge& operator=(const QuickJudge&) = delete;
  QuickJudge(QuickJudge&&) noexcept;
  QuickJudge& operator=(QuickJudge&&) noexcept;
  ~QuickJudge();

  // Why every record goes to `judge()`: what the program says that no plan holds. Empty: none does for that reason.
  [[nodiscard]] const std::string& refused() const { return refused_; }
  // A rule or a gate asks how far a reading moved since the instrument's last visit: here it has not.
  [[nodiscard]] bool looks_back() const;
  [[nodiscard]] const Readings& blank() const { return blank_; }
  // One for each record, in their order; valid until the next call. Not for two threads at once: each takes a judge of its own.
  std::span<const QuickJudgement> judge(std::span<const Readings> records);
  const QuickJudgement& judge(const Readings& record) { return judge(std::span(&record, 1)).front(); }
  // How many records `judge()` was asked about so far.
  [[nodiscard]] std::size_t asked_full() const { return asked_full_; }

 private:
  void judge_some(std::span<const Readings> records, QuickJudgement* found);
  void hand_out(std::span<QuickJudgement> found) const;
  void judge_in_full(const Readings& record, QuickJudgement& found);

  Program program_;  // its log: the record that is judged in full
  std::string refused_;
  Readings blank_;
  std::unique_ptr<quick::Plan> plan_;
  std::vector<QuickJudgement> found_;
  std::size_t asked_full_ = 0;
};

}  // namespace stringline
