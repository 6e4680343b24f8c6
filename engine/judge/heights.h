// Nut and saddle heights and the neck's bend, from the gap readings that stand.
//
// Inner strings get their saddle height on the line between the two sides: good enough for pitch and clearance, never for a
// cut. Nothing where the readings do not determine it. Units: mm, as in model/string_line.h.
// Tested by tests/unit/instrument_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/judge/judge.h"
#include "engine/model/neck_state.h"

namespace stringline {

class Heights {
 public:
  // `at_aims`: as if every reading with a target were at its aim.
  Heights(const Program& program, const Judgement& judgement, bool at_aims = false);

  [[nodiscard]] std::optional<double> nut(int string) const;
  [[nodiscard]] std::optional<double> saddle(int string) const;
  [[nodiscard]] std::optional<double> bend() const;

 private:
  [[nodiscard]] model::StringLinks links(int string) const;
  [[nodiscard]] std::optional<double> solved(const model::StateRow& row) const;
  [[nodiscard]] std::vector<model::StateReading> collect(const Judgement& judgement, bool at_aims) const;

  const Program& program_;
  model::NeckState state_;
};

}  // namespace stringline
