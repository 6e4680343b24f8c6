// What the readings are expected to be between the steps of a plan. A prediction is never a measurement.
//
// A job that brings a reading to its aim moves its control, and every other gap with it by what the model says (check/disturb.h);
// across a rod job that is an interval. What a job leaves at a value is known; what it names under `disturbs:` is unknown until
// read again. A reading STANDS while nothing since it was read moves it by as much as its tool tells apart.
// Tested by tests/property/plan_replay_test.cc, which carries plans out on real instruments.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/judge/judge.h"
#include "engine/model/range.h"

namespace stringline {

// The method that a plan's value of this point is by: its target's, else the one it was read by. Null: the reading's own.
[[nodiscard]] const Gap* planned_method(const Program& program, const Judgement& judgement, PointId point);

class Forecast {
 public:
  Forecast(const Program& program, const Judgement& judgement);

  [[nodiscard]] bool stands(PointId point) const;
  // The last thing that moved it, in words; empty where it was not touched.
  [[nodiscard]] const std::string& moved_by(PointId point) const { return points_[point].by; }
  // Nothing where nobody read it, or what was done to it is not modelled.
  [[nodiscard]] std::optional<model::Range> expected(PointId point) const;
  // The verdict on what is expected, where all of the interval agrees; on the reading itself where nothing touched it.
  [[nodiscard]] std::optional<Verdict> verdict(std::size_t target) const;
  [[nodiscard]] bool touched(PointId point) const { return points_[point].touched; }
  // Of something that moved since it was read: the verdict on what is expected, where all of the interval agrees.
  [[nodiscard]] std::optional<Verdict> expected_verdict(std::size_t target) const;

  // What this value is by the house's limits, where all of it agrees.
  [[nodiscard]] std::optional<Verdict> verdict_on(std::size_t target, model::Range value) const;

  void make_unknown(PointId point, const std::string& by);
  // `job` is done for the readings at `places` (indices of targets) and brings each to its aim.
  void do_job(const JobInfo& job, const std::vector<std::size_t>& places);
  void read_again(PointId point);

  // The readings as expected, for gates and rules; what is unknown counts as stale.
  [[nodiscard]] const Judgement& judgement() const { return *predicted_; }

 private:
  struct Point {
    std::optional<model::Range> value;  // expected now
    model::Range moved;                 // since it was read
    bool unknown = false;
    bool touched = false;
    bool stale = false;   // when the plan begins, by the log; `value` is then what it should show
    bool at_aim = false;  // a job brought it there
    std::string by;
  };

  void shift(PointId point, model::Range change, const std::string& by);
  void bring(PointId own, double aim, const JobInfo& job);
  void move_by(const JobInfo& job);
  void put(PointId point, const Value& value, const std::string& by);
  void publish(PointId point);
  [[nodiscard]] double read_to(PointId point) const;
  [[nodiscard]] Judgement& own_judgement();

  const Program& program_;
  std::shared_ptr<Judgement> predicted_;  // copies share it until something moves
  std::vector<Point> points_;
};

}  // namespace stringline
