// The readings that stand -> the instrument under them: every gap by any method, and readings that do not fit together.
//
// A thin layer over model/neck_state.h: it turns points, methods and tools into rows and uncertainties (u^2 = d^2/12 + rep^2/n,
// a bound counts as a bound). Every string has a nut height and a saddle height of its own; a reading `per: side` is the
// outermost string's. Tested by tests/unit/instrument_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/judge/judge.h"
#include "engine/model/neck_state.h"

namespace stringline {

class Instrument {
 public:
  Instrument(const Program& program, const std::vector<PointState>& points);

  // What the reading would show by `method`, where the readings determine it.
  [[nodiscard]] std::optional<model::DeterminedValue> value(PointId point, const Gap& method) const;
  // Where it may lie, determined or not; nothing where no state agrees with what was read, or there is no such gap.
  [[nodiscard]] std::optional<model::Range> interval(PointId point, const Gap& method) const;

  [[nodiscard]] int spare_readings() const { return state_.redundancy(); }
  [[nodiscard]] std::vector<Contradicted> contradicted() const;

 private:
  [[nodiscard]] std::optional<model::StateRow> row(PointId point, const Gap& method) const;
  [[nodiscard]] std::vector<model::StateReading> collect(const std::vector<PointState>& points);

  const Program& program_;
  std::vector<PointId> read_;  // the point of each reading given to the model
  model::NeckState state_;
};

}  // namespace stringline
