// See instrument.h.
#include "engine/judge/instrument.h"

#include <cmath>

#include "engine/check/disturb.h"

namespace stringline {
namespace {

double uncertainty(const ReadingInfo& reading, int readings) {
  const double d = reading.read_to ? reading.read_to->value.to_double() : 0.0;
  const double rep = reading.repeat ? reading.repeat->value.to_double() : 0.0;
  return std::sqrt(d * d / 12.0 + rep * rep / static_cast<double>(readings));
}

int pickup_of(const Program& program, PointId point) {
  const auto& at = program.points[point].at;
  const int pickup = at[static_cast<std::size_t>(Axis::pickup)];
  const int side = at[static_cast<std::size_t>(Axis::side)];
  return pickup < 0 ? 0 : 2 * pickup + (side == 1 ? 1 : 0);
}

}  // namespace

Instrument::Instrument(const Program& program, const std::vector<PointState>& points)
    : program_(program), state_(collect(points), program.neck_shape) {}

std::optional<model::StateRow> Instrument::row(PointId point, const Gap& method) const {
  const auto place = gap_place(program_, point, &method);
  if (!place) return std::nullopt;
  model::StringLinks links;
  links.nut = place->string;
  links.saddle = {{place->string, 1.0}};
  links.pickup = pickup_of(program_, point);
  return model::state_row(place->row, links);
}

std::vector<model::StateReading> Instrument::collect(const std::vector<PointState>& points) {
  std::vector<model::StateReading> readings;
  for (PointId point = 0; point < points.size(); ++point) {
    const ReadingInfo& info = program_.reading_of(point);
    const PointState& state = points[point];
    if (!info.gap || state.status != PointState::Status::read || state.assumed || state.voided) continue;
    const auto form = row(point, state.method ? *state.method : *info.gap);
    if (!form) continue;
    const Interval& number = state.value.number;
    const auto add = [&](const std::optional<Ratio>& end, model::ReadingSense sense) {
      if (!end) return;
      readings.push_back({*form, end->to_double(), uncertainty(info, state.readings), sense});
      read_.push_back(point);
    };
    if (number.is_point()) {
      add(number.lo, model::ReadingSense::equals);
      continue;
    }
    add(number.lo, model::ReadingSense::at_least);
    add(number.hi, model::ReadingSense::at_most);
  }
  return readings;
}

std::optional<model::DeterminedValue> Instrument::value(PointId point, const Gap& method) const {
  const auto form = row(point, method);
  return form ? state_.value(*form) : std::nullopt;
}

std::optional<model::Range> Instrument::interval(PointId point, const Gap& method) const {
  const auto form = row(point, method);
  return form ? state_.interval(*form) : std::nullopt;
}

std::vector<Contradicted> Instrument::contradicted() const {
  std::vector<Contradicted> all;
  for (const model::Contradiction& each : state_.contradictions())
    all.push_back({read_[each.reading], each.residual, each.u});
  return all;
}

}  // namespace stringline
