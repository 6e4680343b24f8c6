// A program and its bench log -> what stands, and what it means: readings, verdicts, gates, stops, rules.
//
// The log is read in order; in one entry what was fitted or done comes before what was read. After a job every reading it
// disturbs, its own included, is stale until it is read again. Verdicts compare exactly (value/conformity.h).
// Every rule ends in one state, and the five counts add up to the number of rules.
// No test of its own yet; the golden cases of `work` run it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/check/evaluate.h"
#include "engine/check/program.h"
#include "engine/value/conformity.h"

namespace stringline {

struct PointState {
  enum class Status : std::uint8_t { not_read, read, stale, not_measurable };
  Status status = Status::not_read;
  Value value;  // of a stale reading: what it was
  int readings = 1;
  int entry = 0;  // of the log; 0: assumed
  bool assumed = false;
  bool contact = false;
  std::string stale_by;  // the job
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
};

struct TruthState {
  Truth truth = Truth::unknown;
  std::vector<Need> needs;
  std::optional<Failure> failure;
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
  std::vector<TargetState> targets;  // as program.targets
  std::vector<TruthState> gates;
  std::vector<TruthState> stops;
  std::vector<RuleOutcome> rules;
  std::array<std::size_t, 5> ledger{};  // by RuleState
  std::vector<JobId> agreed;
  std::vector<JobId> declined;
  std::vector<JobId> done;
  bool closed = false;
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

[[nodiscard]] Judgement judge(const Program& program);

}  // namespace stringline
