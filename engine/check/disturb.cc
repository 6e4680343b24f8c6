// See disturb.h.
#include "engine/check/disturb.h"

#include <algorithm>
#include <cmath>

#include "engine/check/evaluate.h"
#include "engine/model/rod_job.h"

namespace stringline {
namespace {

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

// No fact says where pickups lie; from the nut, one share of the scale stands for all.
constexpr double pickup_share = 0.85;

model::GapMethod method_of(const Gap& gap, int first_fret) {
  model::GapMethod method;
  method.at = gap.at.first ? first_fret + 1 : gap.at.fret;
  if (gap.at.pickup) {
    method.station = model::Station::pickup;
    method.at = pickup_share;
  }
  for (const Station& held : gap.held) method.held.push_back(held.first ? first_fret + 1 : held.fret);
  return method;
}

int string_of(const Program& program, PointId point) {
  const auto& at = program.points[point].at;
  const int string = at[static_cast<std::size_t>(Axis::string)];
  if (string >= 0) return string;
  const int side = at[static_cast<std::size_t>(Axis::side)];
  return outer_string(program, side != 1);
}

// The widest range the target may have, whatever is read.
double width_of(const Program& program, const TargetInfo& target) {
  constexpr double no_width = 1.0;
  if (!target.range) return no_width;
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  const Hand& hand = program.points[target.point].at;
  double width = 0;
  for (const TypedRange* range : evaluator.possible(*target.range, hand).leaves) {
    if (!range->lo || !range->hi) continue;
    const auto lo = evaluator.evaluate(*range->lo, hand).value.number;
    const auto hi = evaluator.evaluate(*range->hi, hand).value.number;
    if (lo.is_point() && hi.is_point()) width = std::max(width, hi.lo->to_double() - lo.lo->to_double());
  }
  return width > 0 ? width : no_width;
}

double read_to(const Program& program, PointId point) {
  const ReadingInfo& reading = program.reading_of(point);
  return reading.read_to ? reading.read_to->value.to_double() : 0.0;
}

// The strings of a course lie side by side; courses are spread evenly over the bridge.
int course_of(const Program& program, int string) {
  const auto at = static_cast<std::size_t>(string);
  return at < program.strings.size() ? program.strings[at].course : 1;
}

}  // namespace

int outer_string(const Program& program, bool bass) {
  if (!bass) return 0;
  for (std::size_t i = program.strings.size(); i > 0; --i) {
    if (program.strings[i - 1].first_fret == 0) return static_cast<int>(i) - 1;
  }
  return 0;
}

std::optional<GapPlace> gap_place(const Program& program, PointId point, const Gap* method) {
  const ReadingInfo& reading = program.reading_of(point);
  if (!reading.gap) return std::nullopt;
  if (method == nullptr && !program.gap_places.empty()) return program.gap_places[point];
  const int string = string_of(program, point);
  const auto at = static_cast<std::size_t>(string);
  const int first_fret = at < program.strings.size() ? program.strings[at].first_fret : 0;
  const model::NeckGeometry neck{program.scale_of(at), program.frets, program.body_joint, first_fret,
                                 program.zero_fret};
  const auto row = model::gap_row(neck, method_of(method != nullptr ? *method : *reading.gap, first_fret));
  if (!row) return std::nullopt;
  return GapPlace{neck, *row, string};
}

void place_gaps(Program& program) {
  std::vector<std::optional<GapPlace>> places;
  for (PointId point = 0; point < program.points.size(); ++point) places.push_back(gap_place(program, point));
  program.gap_places = std::move(places);
}

std::optional<model::PhiLinear> effect_on(const Program& program, PointId point, Control control, const Gap* method) {
  if (program.reading_of(point).follows == to_text(control)) return model::PhiLinear{1.0, 0.0};
  const auto moved = model_control(control);
  if (!moved || program.gap_places.empty()) return std::nullopt;
  const auto place = gap_place(program, point, method);
  if (!place) return std::nullopt;
  return model::effect(place->row, place->neck, *moved);
}

const char* to_text(Control control) {
  switch (control) {
    case Control::neck_bend: return "neck_bend";
    case Control::nut_height: return "nut_height";
    case Control::saddle_height: return "saddle_height";
    case Control::saddle_place: return "saddle_place";
    case Control::pickup_height: return "pickup_height";
    case Control::fret_plane: return "fret_plane";
  }
  return "";
}

bool may_move(const Program& program, PointId point, Control control) {
  const ReadingInfo& reading = program.reading_of(point);
  if (reading.follows == to_text(control)) return true;
  if (control == Control::saddle_place) {
    return reading.type.kind == Kind::number && reading.type.dimension == dimension::cents;
  }
  if (!reading.gap) return false;
  if (program.scale_mm <= 0 || program.body_joint <= 0 || !gap_place(program, point)) return true;
  const auto effect = effect_on(program, point, control);
  return effect && (effect->at(0.0) != 0.0 || effect->at(1.0) != 0.0);
}

Carrying::Carrying(const Program& program, PointId own, Control control, const Gap* method)
    : program_(program),
      control_(control),
      itself_(effect_on(program, own, control, method)),
      string_(string_of(program, own)),
      bass_course_(course_of(program, outer_string(program, true))) {
  const auto& at = program.points[own].at;
  pickup_ = at[static_cast<std::size_t>(Axis::pickup)];
  side_ = at[static_cast<std::size_t>(Axis::side)];
  by_string_ = at[static_cast<std::size_t>(Axis::string)] >= 0 || control == Control::nut_height;
}

// All of it at the same string, side or pickup, none at other strings' nuts and saddles, a share between the two sides of a bridge.
double Carrying::arriving(PointId point) const {
  if (control_ == Control::neck_bend || control_ == Control::fret_plane) return 1.0;
  const int pickup = program_.points[point].at[static_cast<std::size_t>(Axis::pickup)];
  if (pickup_ >= 0 && pickup >= 0 && pickup_ != pickup) return 0.0;
  if (by_string_) return string_ == string_of(program_, point) ? 1.0 : 0.0;
  if (side_ < 0 || bass_course_ <= 1) return 1.0;
  const double from_treble = course_of(program_, string_of(program_, point)) - 1.0;
  const double toward_bass = std::min(1.0, from_treble / (bass_course_ - 1.0));
  return side_ == 1 ? 1.0 - toward_bass : toward_bass;
}

std::optional<model::Range> Carrying::share(PointId point, const Gap* method) const {
  const ReadingInfo& reading = program_.reading_of(point);
  if (!itself_ || (!reading.gap && reading.follows.empty())) return std::nullopt;
  const double arrives = arriving(point);
  if (arrives == 0.0) return model::exactly(0.0);
  const auto effect = effect_on(program_, point, control_, method);
  const auto share = effect ? model::per_measured(*effect, *itself_, program_.neck_shape) : std::nullopt;
  if (!share) return std::nullopt;
  return model::Range{arrives * share->lo, arrives * share->hi};
}

model::Range carried(model::Range share, model::Range change) {
  const auto [lo, hi] =
      std::minmax({share.lo * change.lo, share.lo * change.hi, share.hi * change.lo, share.hi * change.hi});
  return {lo, hi};
}

std::vector<PointId> disturbed_by(const Program& program, const JobInfo& job) {
  std::vector<PointId> points = job.disturbs;
  for (const JobInfo::Set& set : job.sets) {
    if (set.value) continue;  // left at a value: known, not disturbed
    for (const PointId own : set.points) {
      points.push_back(own);
      const TargetInfo* target = program.target(own);
      if (!job.moves || target == nullptr) continue;
      const double width = width_of(program, *target);
      const Carrying carrying(program, own, *job.moves, target->gap ? &*target->gap : nullptr);
      for (PointId point = 0; point < program.points.size(); ++point) {
        const auto share = carrying.share(point);
        const double most = share ? width * std::max(std::abs(share->lo), std::abs(share->hi)) : 0.0;
        if (most > 0.0 && most >= read_to(program, point)) points.push_back(point);
      }
    }
  }
  const bool by_amount = job.moves && job.by;  // what it moves by is worked out; whatever follows at all is disturbed
  for (PointId point = 0; by_amount && point < program.points.size(); ++point) {
    const auto effect = effect_on(program, point, *job.moves);
    if (effect && std::max(std::abs(effect->at(0.0)), std::abs(effect->at(1.0))) > 0.0) points.push_back(point);
  }
  std::sort(points.begin(), points.end());
  points.erase(std::unique(points.begin(), points.end()), points.end());
  return points;
}

}  // namespace stringline
