// What a job does to readings: how far each gap moves with a control, from the model, and which readings no longer stand.
//
// A job's reference move carries its own reading across its target's width. It disturbs q when that move shifts q by at least
// what q's tool tells apart, at some shape the neck may bend in (model/rod_job.h), or by `disturbs:`. What it leaves at a
// value is known, not disturbed. A target without a width (one limit alone, or a range that hangs on a reading) counts as one millimetre.
// A reading `per: side` is taken at the outermost full-length string of that side.
// Tested by tests/unit/disturb_test.cc.
#pragma once

#include <optional>
#include <vector>

#include "engine/check/program.h"
#include "engine/model/range.h"

namespace stringline {

// Nothing for what is no gap, or where the profile's facts say too little of the neck. Another method than the reading's own
// may be given.
[[nodiscard]] std::optional<GapPlace> gap_place(const Program& program, PointId point, const Gap* method = nullptr);
// For every reading by its own method; what follows looks there, once the neck and the methods are known.
void place_gaps(Program& program);

// The string a side's readings are taken at: the treble side's first, the bass side's last that starts at the nut.
[[nodiscard]] int outer_string(const Program& program, bool bass);

// How far a reading moves per mm of a control: a gap by the model, one that `follows:` it by as much; nothing for others.
// By the reading's own method, or another.
[[nodiscard]] std::optional<model::PhiLinear> effect_on(const Program& program, PointId point, Control control,
                                                        const Gap* method = nullptr);

// Whether a control can move a reading at all: by the model, cents by saddle_place, others where they follow the control. Where
// the profile's facts say too little of the neck, a gap counts as moved.
[[nodiscard]] bool may_move(const Program& program, PointId point, Control control);

// A job that brings the reading `own` to its aim with one control. The aim may be stated in another method than the reading's own.
class Carrying {
 public:
  Carrying(const Program& program, PointId own, Control control, const Gap* method = nullptr);
  // How far `point` moves, by its own method or another, per mm that `own` moves. Nothing where the model has no answer.
  [[nodiscard]] std::optional<model::Range> share(PointId point, const Gap* method = nullptr) const;

 private:
  // How much of the control's move at its own member arrives at that of `point`.
  [[nodiscard]] double arriving(PointId point) const;

  const Program& program_;
  Control control_;
  std::optional<model::PhiLinear> itself_;
  int string_ = 0;
  int pickup_ = -1;
  int side_ = -1;
  bool by_string_ = false;
  int bass_course_ = 1;
};

// How far it moves when `own` changes by `change`: the product of both intervals.
[[nodiscard]] model::Range carried(model::Range share, model::Range change);

// "saddle_height", as profiles write it.
[[nodiscard]] const char* to_text(Control control);

// The readings that a job disturbs, each once, by number.
[[nodiscard]] std::vector<PointId> disturbed_by(const Program& program, const JobInfo& job);

}  // namespace stringline
