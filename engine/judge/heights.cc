// See heights.h.
#include "engine/judge/heights.h"

#include <algorithm>

#include "engine/check/disturb.h"

namespace stringline {
namespace {

using Unknown = model::Unknown;

// Readings count alike: which of them is worth more makes no difference where none is spare.
constexpr double same_u = 0.01;

}  // namespace

Heights::Heights(const Program& program, const Judgement& judgement, bool at_aims)
    : program_(program), state_(collect(judgement, at_aims), program.neck_shape) {}

std::optional<double> Heights::nut(int string) const {
  return solved({{{{Unknown::Kind::nut_height, string}, {1.0, 0.0}}}, 0.0});
}

std::optional<double> Heights::saddle(int string) const {
  model::StateRow row;
  for (const auto& share : links(string).saddle)
    row.terms.push_back({{Unknown::Kind::saddle_height, share.index}, {share.weight, 0.0}});
  return solved(row);
}

std::optional<double> Heights::bend() const { return solved({{{{Unknown::Kind::neck_bend, 0}, {1.0, 0.0}}}, 0.0}); }

model::StringLinks Heights::links(int string) const {
  model::StringLinks links;
  const int bass = outer_string(program_, true);
  const double toward_bass = bass == 0 ? 0.0 : std::min(1.0, static_cast<double>(string) / bass);
  links.nut = string;
  links.saddle = {{0, 1.0 - toward_bass}, {1, toward_bass}};
  return links;
}

std::optional<double> Heights::solved(const model::StateRow& row) const {
  const auto value = state_.value(row);
  return value ? std::optional(value->value.middle()) : std::nullopt;
}

std::vector<model::StateReading> Heights::collect(const Judgement& judgement, bool at_aims) const {
  std::vector<model::StateReading> readings;
  for (PointId point = 0; point < program_.points.size(); ++point) {
    const ReadingInfo& info = program_.reading_of(point);
    const PointState& state = judgement.points[point];
    const bool read = state.status == PointState::Status::read && state.value.number.is_point();
    if (!info.gap || info.gap->at.pickup || !read) continue;
    const int at = program_.target_of[point];
    const auto* target = at < 0 ? nullptr : &judgement.targets[static_cast<std::size_t>(at)];
    const bool at_aim = at_aims && !state.method && target != nullptr && target->aim;
    const auto& method = at_aim ? program_.target(point)->gap : state.method;
    const auto place = gap_place(program_, point, method ? &*method : nullptr);
    if (!place) continue;
    const double value = (at_aim ? *target->aim : *state.value.number.lo).to_double();
    readings.push_back(
        {model::state_row(place->row, links(place->string)), value, same_u, model::ReadingSense::equals});
  }
  return readings;
}

}  // namespace stringline
