// See clean.h.
#include "engine/judge/clean.h"

#include <cmath>

#include "engine/check/disturb.h"
#include "engine/judge/heights.h"

namespace stringline {
namespace {

std::optional<double> margin_of(const Program& program) {
  for (const FactInfo& fact : program.facts) {
    if (fact.name != "clean_margin" || !fact.value) continue;
    const Nothing nothing(program);
    const Result value = Evaluator(program, nothing).evaluate(*fact.value);
    if (!value.failure && value.value.number.is_point()) return value.value.number.lo->to_double();
  }
  return std::nullopt;
}

// Where the open string is read for the action: the gap over a fret, with nothing held, that a saddle job brings to its aim.
bool is_action(const Program& program, PointId point) {
  const ReadingInfo& reading = program.reading_of(point);
  if (!reading.gap || reading.gap->at.pickup || !reading.gap->held.empty() || reading.gap->at.first) return false;
  return program.points[point].at[static_cast<std::size_t>(Axis::string)] < 0;
}

std::optional<double> action_of(const std::optional<model::LowestClean>& lowest, const GapPlace& place,
                                const model::ClearanceState& state, double phi) {
  if (!lowest) return std::nullopt;
  const model::StringState at_lowest{state.nut_height, lowest->saddle_height, state.neck_bend, 0.0, state.rises};
  return model::gap(place.row, at_lowest, phi);
}

}  // namespace

std::vector<model::FretRise> fret_rises(const Program& program, const Judgement& judgement) {
  std::vector<model::FretRise> rises;
  for (PointId point = 0; point < program.points.size(); ++point) {
    const PointState& state = judgement.points[point];
    const int fret = program.points[point].at[static_cast<std::size_t>(Axis::fret)];
    if (program.reading_of(point).follows != "fret_plane" || fret < 0) continue;
    if (state.status != PointState::Status::read || !state.value.number.is_point()) continue;
    const double rise = state.value.number.lo->to_double();
    if (rise != 0.0) rises.push_back({fret + 1, rise});
  }
  return rises;
}

std::vector<CleanSide> clean_sides(const Program& program, const Judgement& judgement) {
  std::vector<CleanSide> sides;
  const auto margin = margin_of(program);
  const auto rises = fret_rises(program, judgement);
  if (!margin || rises.empty()) return sides;
  const Heights heights(program, judgement);
  const double phi = program.neck_shape.middle();
  for (std::size_t at = 0; at < program.targets.size(); ++at) {
    const PointId point = program.targets[at].point;
    const auto& aim = judgement.targets[at].aim;
    const auto& method = program.targets[at].gap;
    const auto place =
        aim && is_action(program, point) ? gap_place(program, point, method ? &*method : nullptr) : std::nullopt;
    if (!place) continue;
    const auto nut = heights.nut(place->string);
    const auto bend = heights.bend();
    if (!nut || !bend || place->row.saddle_height == 0.0) continue;
    model::ClearanceState state{place->neck, *nut, 0.0, *bend, rises};
    const double at_zero = model::gap(place->row, {*nut, 0.0, *bend, 0.0, rises}, phi);
    state.saddle_height = (aim->to_double() - at_zero) / place->row.saddle_height;
    CleanSide side;
    side.point = point;
    side.aim = aim->to_double();
    side.stopped = model::stopped_notes(state, *margin, phi);
    side.lowest_now = action_of(model::lowest_clean(state, *margin, phi), *place, state, phi);
    const model::ClearanceState levelled = model::after_full_level(state);
    side.lowest_levelled = action_of(model::lowest_clean(levelled, *margin, phi), *place, levelled, phi);
    sides.push_back(std::move(side));
  }
  return sides;
}

}  // namespace stringline
