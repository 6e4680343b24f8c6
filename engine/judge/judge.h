// A program and its bench log -> what stands, and what it means: readings, verdicts, gates, stops, rules.
//
// The log is read in order; in one entry what was fitted or done comes before what was read. After a job every reading it
// disturbs, its own included, is stale until it is read again. Verdicts compare exactly (value/conformity.h).
// Every rule ends in one state, and the five counts add up to the number of rules. A gap read by another method than its
// target's is converted by the model where the readings determine it, else refused (instrument.h). What a gate voids is known to
// nothing but the gates until it opens, and is stale then. `change()` looks back at the last visit of the same instrument.
// Tested by tests/property/naive_test.cc, which reads the manual again, and the golden cases of `work`.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/check/evaluate.h"
#include "engine/check/program.h"
#include "engine/model/range.h"
#include "engine/value/conformity.h"
#include "engine/value/date.h"

namespace stringline {

// What was known of an instrument when it left the bench the last time, by the names of its readings.
struct LastVisit {
  std::string visit;
  Date date;
  std::map<std::string, Value> readings;
  std::optional<double> pull;  // of all its strings, newton; where that is known
};

struct Circumstances {
  std::optional<Date> today;        // ages readings that say `good_for:`
  const LastVisit* last = nullptr;  // of the same instrument; null: this is the first
};

struct PointState {
  enum class Status : std::uint8_t { not_read, read, stale, not_measurable };
  Status status = Status::not_read;
  Value value;  // of a stale reading: what it was
  int readings = 1;
  int entry = 0;  // of the log; 0: assumed
  bool assumed = false;
  bool contact = false;
  bool by_job = false;  // what a job's sets: left it at, read by nobody
  bool voided = false;  // behind a gate that is not open: no rule, stop, range or formula sees it
  Date date;
  std::string stale_by;                  // the job, new strings, a gate, its age
  std::optional<model::Range> expected;  // of a stale reading: what it should show now (aftermath.h)
  std::optional<Gap> method;
  Span span;
};

struct TargetState {
  Verdict verdict = Verdict::not_read;
  std::optional<Ratio> lo;
  std::optional<Ratio> hi;
  std::optional<Ratio> aim;
  bool asked = false;  // the aim is the player's wish and the reading is not at it
  bool left = false;   // the player wants it left as it was
  std::optional<double> probability;
  std::vector<Need> needs;
  std::optional<Interval> converted;     // read by another method, as the target's would show it; else
  std::optional<model::Range> possible;  // where that reading may lie
};

// A reading that was out and is not any more.
struct OutBefore {
  Verdict verdict = Verdict::high;
  std::string text;  // what it read
};

// A reading that the others contradict by more than twice its own uncertainty.
struct Contradicted {
  PointId point = 0;
  double residual = 0;
  double u = 0;
};

struct TruthState {
  Truth truth = Truth::unknown;
  std::vector<Need> needs;
  std::optional<Failure> failure;
  bool by_job = false;  // false because of what a job left, not of what was read
};

enum class RuleState : std::uint8_t { fired, clear, unknown, not_applicable, error };
struct RuleOutcome {
  RuleState state = RuleState::clear;
  std::vector<Hand> fired;
  std::vector<Need> needs;
  std::optional<Failure> failure;
};

struct Judgement {
  std::vector<PointState> points;
  std::vector<TargetState> targets;                  // as program.targets
  std::vector<std::optional<OutBefore>> out_before;  // likewise
  std::vector<TruthState> gates;
  std::vector<TruthState> stops;
  std::vector<RuleOutcome> rules;
  std::array<std::size_t, 5> ledger{};  // by RuleState
  std::vector<JobId> agreed;
  std::vector<JobId> declined;
  std::vector<JobId> done;
  std::vector<JobId> called_again;  // of them: what was read since asks for them once more (called_again.h)
  std::vector<JobId> asked;         // and not answered
  std::optional<Quantity> up_to;    // the total that was agreed
  bool closed = false;
  const LastVisit* last = nullptr;
  int spare_readings = 0;  // of gaps, beyond what the model needs; at 0 nothing checks them
  std::vector<Contradicted> contradicted;
};

// What expressions see of a judgement.
class Scene : public Surroundings {
 public:
  Scene(const Program& program, const Judgement& judgement) : program_(program), judgement_(judgement) {}
  [[nodiscard]] Result reading(PointId point) const override;
  [[nodiscard]] Result verdict_is(PointId point, Verdict verdict) const override;
  [[nodiscard]] Result aim(PointId point) const override;
  [[nodiscard]] std::string target_text(PointId point) const override;
  [[nodiscard]] Result change(PointId point) const override;

 private:
  const Program& program_;
  const Judgement& judgement_;
};

// `circumstances.last` must outlive the judgement.
[[nodiscard]] Judgement judge(const Program& program, const Circumstances& circumstances = {});

[[nodiscard]] LastVisit last_visit_of(const Program& program, const Judgement& judgement);

}  // namespace stringline
