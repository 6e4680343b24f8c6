// What the log's jobs did to readings that nobody has taken again: the interval that each should show now.
//
// A job that brings a reading to its aim moves its control, and every other gap with it (check/disturb.h). How far it moved is
// known once its own reading is taken again: then each reading it disturbed has moved by share * (new - old), an interval over
// the shapes a neck may bend in. Nothing is said of a reading while a job that moved it has not been read after, after new
// strings, a new tuning or a gate, or where the job only says `disturbs:`. A prediction is never a measurement: the reading
// stays stale.
// Units: base units. Source: derived from model/string_line.h. Tested by tests/unit/aftermath_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/check/program.h"
#include "engine/model/range.h"

namespace stringline {

class Aftermath {
 public:
  explicit Aftermath(const Program& program);

  void did(const JobInfo& job);
  // Taken by the reading's own method; anything else that becomes of it is `forget`.
  void read(PointId point, double value);
  void forget(PointId point);

  [[nodiscard]] std::optional<model::Range> expected(PointId point) const;

 private:
  // A job's control at one reading that it sets, until that reading is taken again.
  struct Move {
    PointId own = 0;
    Control control = Control::neck_bend;
    std::optional<model::Range> from;  // what it showed before
    std::vector<PointId> moved;        // what waits to hear how far
  };

  void begin(PointId own, Control control);

  const Program& program_;
  std::vector<std::optional<model::Range>> values_;  // as last read, and moved since
  std::vector<Move> moves_;
};

}  // namespace stringline
