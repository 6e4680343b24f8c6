// Verdicts -> an ordered work list: what to do, why, why at this point, what to read again.
//
// The house's phases are the order. At its turn a target's reading must stand: nothing done since it was read disturbs it.
// Else the line is "read again", with the job that follows if it is out. A true stop, or a gate over the visit that what was
// read has closed, ends the list there.
// Lines show what the readings should be after them, from the model and marked as expected (predict.h, walk.h).
// Tested by the golden cases of `work` and tests/property/plan_replay_test.cc, which carries plans out.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/judge/judge.h"
#include "engine/model/range.h"

namespace stringline {

// How far a job's control goes at one place.
struct Amount {
  PointId point = 0;             // the reading that asks
  std::string member;            // "bass", "2"; empty when the reading has no members
  std::optional<double> travel;  // mm of the control, up or away from the nut counted positive; nothing: turn and read
  std::string text;              // "0.56 mm lower", "1/8 turns"
};

// What a reading is expected to be after a line, from the model; never a measurement.
struct Predicted {
  PointId point = 0;
  model::Range value;              // base units; an interval where the way the neck bends is not known
  std::optional<Verdict> verdict;  // where all of the interval agrees
};

// What a reading may call for when it turns out low, or high. See branches.h.
struct Branch {
  Verdict verdict = Verdict::low;
  bool likely = false;
  std::optional<JobId> job;  // that the profile's table names
  bool needs_yes = false;    // of the owner, before the job
  bool declined = false;     // he said no to it
  std::vector<JobId> may;    // no job as yet: those of the table's rows, or of rules that look at the reading
};

struct PlanLine {
  enum class Form : std::uint8_t { read_first, read_again, job, offer };
  Form form = Form::job;
  std::optional<JobId> job;
  std::optional<JobId> if_low;  // of a reading: the jobs that follow
  std::optional<JobId> if_high;
  std::vector<JobId> may_follow;  // of a reading that decides between jobs: those it may call
  std::vector<Branch> branches;   // of a reading: all that may follow, with a yes of the owner's or without
  std::vector<PointId> points;    // what is read; of a job: what asks for it
  std::vector<Amount> amounts;
  std::vector<std::string> because;
  std::string why_here;
  std::vector<std::string> warnings;  // what it puts out, and the job that brings it back
  std::vector<Predicted> expected;    // of a job: after it; of a reading: what it should show
  std::vector<PointId> read_after;    // what no longer stands after it
  bool waits_for_yes = false;
};

struct LeftAlone {
  std::vector<PointId> points;  // or
  std::optional<JobId> job;
  std::string what;  // the same in words
  std::string why;
  bool open = false;  // something is out and nothing is planned for it
};

// Opposite requests on one control: neither is planned.
struct Conflict {
  JobId one = 0;
  JobId other = 0;
  std::vector<PointId> points;
  std::string why;
};

struct Plan {
  std::vector<std::string> told;  // stops, gates and rules that speak before the work
  std::vector<PlanLine> lines;
  std::vector<LeftAlone> left;
  std::vector<Conflict> conflicts;
  std::string charge;  // the fee due when a stop or a gate ends the list
  bool ended_early = false;
};

[[nodiscard]] Plan make_plan(const Program& program, const Judgement& judgement);

}  // namespace stringline
