// What a job's control does to readings, from the model. See judge.h.
#include <algorithm>
#include <cmath>

#include "engine/judge/judge.h"
#include "engine/model/rod_job.h"

namespace stringline {
namespace {

// A control moves a reading when the reading follows it by at least this share: less than a feeler step for any usual move.
constexpr double least_share = 0.05;

std::optional<model::Control> model_control(Control control) {
  switch (control) {
    case Control::neck_bend: return model::Control::neck_bend;
    case Control::nut_height: return model::Control::nut_height;
    case Control::saddle_height: return model::Control::saddle_height;
    case Control::pickup_height: return model::Control::pickup_height;
    case Control::fret_plane: return model::Control::fret_plane;
    case Control::saddle_place: return std::nullopt;
  }
  return std::nullopt;
}

model::GapMethod method_of(const Gap& gap, int first_fret) {
  model::GapMethod method;
  method.at = gap.at.first ? first_fret + 1 : gap.at.fret;
  if (gap.at.pickup) {  // no fact says where pickups lie; one place stands for all
    method.station = model::Station::pickup;
    method.at = 0.85;
  }
  for (const Station& held : gap.held) method.held.push_back(held.first ? first_fret + 1 : held.fret);
  return method;
}

}  // namespace

std::optional<model::Range> effect_on(const Program& program, PointId point, Control control) {
  const ReadingInfo& reading = program.reading_of(point);
  const auto moved = model_control(control);
  if (!moved || !reading.gap) return std::nullopt;
  const int string = program.points[point].at[static_cast<std::size_t>(Axis::string)];
  const int first_fret = string < 0 ? 0 : program.strings[static_cast<std::size_t>(string)].first_fret;
  const model::NeckGeometry neck{program.scale_mm, program.frets, program.body_joint, first_fret, false};
  const auto row = model::gap_row(neck, method_of(*reading.gap, first_fret));
  if (!row) return std::nullopt;
  return model::effect(*row, neck, *moved).over(model::any_phi);
}

std::vector<PointId> disturbed_by(const Program& program, const JobInfo& job) {
  std::vector<PointId> points = job.disturbs;
  for (const JobInfo::Set& set : job.sets) {
    if (!set.value) points.insert(points.end(), set.points.begin(), set.points.end());
  }
  for (PointId point = 0; job.moves && point < program.points.size(); ++point) {
    const auto share = effect_on(program, point, *job.moves);
    if (share && std::max(std::abs(share->lo), std::abs(share->hi)) >= least_share) points.push_back(point);
  }
  std::sort(points.begin(), points.end());
  points.erase(std::unique(points.begin(), points.end()), points.end());
  return points;
}

}  // namespace stringline
