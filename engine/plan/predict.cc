// See predict.h.
#include "engine/plan/predict.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/check/disturb.h"
#include "engine/model/rod_job.h"

namespace stringline {
namespace {

std::optional<model::Range> range_of(const Value& value) {
  if (value.kind != Kind::number || !value.number.lo || !value.number.hi) return std::nullopt;
  return model::Range{value.number.lo->to_double(), value.number.hi->to_double()};
}

constexpr double noise = 1e-9;
constexpr double unbounded = std::numeric_limits<double>::infinity();

// Whether a reading's value, by `read` or its own method, is by that of its target.
bool is_targets(const Program& program, const TargetInfo& target, const std::optional<Gap>& read) {
  const auto& own = program.reading_of(target.point).gap;
  if (!own) return true;
  return (read ? read->text : own->text) == (target.gap ? target.gap->text : own->text);
}

}  // namespace

const Gap* planned_method(const Program& program, const Judgement& judgement, PointId point) {
  const TargetInfo* target = program.target(point);
  const auto& method = target != nullptr ? target->gap : judgement.points[point].method;
  return method ? &*method : nullptr;
}

Forecast::Forecast(const Program& program, const Judgement& judgement)
    : program_(program), predicted_(std::make_shared<Judgement>(judgement)), points_(program.points.size()) {
  for (PointId point = 0; point < points_.size(); ++point) {
    const PointState& state = judgement.points[point];
    if (state.voided) continue;
    if (state.status == PointState::Status::read) points_[point].value = range_of(state.value);
    if (state.status == PointState::Status::stale) {
      points_[point].stale = true;
      points_[point].value = state.expected;
    }
    const TargetInfo* target = program.target(point);
    if (target == nullptr) continue;
    // What is not by the target's method counts as far as it was converted.
    const bool stale = points_[point].stale;  // told by the reading's own method
    if (!is_targets(program, *target, stale ? std::nullopt : state.method)) points_[point].value.reset();
    const auto at = static_cast<std::size_t>(program.target_of[point]);
    const auto& converted = judgement.targets[at].converted;
    if (converted && converted->lo && converted->hi)
      points_[point].value = model::Range{converted->lo->to_double(), converted->hi->to_double()};
  }
}

Judgement& Forecast::own_judgement() {
  if (predicted_.use_count() > 1) predicted_ = std::make_shared<Judgement>(*predicted_);
  return *predicted_;
}

double Forecast::read_to(PointId point) const {
  const ReadingInfo& reading = program_.reading_of(point);
  return reading.read_to ? reading.read_to->value.to_double() : 0.0;
}

bool Forecast::stands(PointId point) const {
  const Point& state = points_[point];
  if (state.unknown || state.stale) return false;
  const double most = std::max(std::abs(state.moved.lo), std::abs(state.moved.hi));
  return most <= noise || most < read_to(point) - noise;
}

std::optional<model::Range> Forecast::expected(PointId point) const {
  return points_[point].unknown ? std::nullopt : points_[point].value;
}

std::optional<Verdict> Forecast::verdict(std::size_t target) const {
  if (!points_[program_.targets[target].point].touched) return predicted_->targets[target].verdict;
  return expected_verdict(target);
}

std::optional<Verdict> Forecast::expected_verdict(std::size_t target) const {
  const PointId point = program_.targets[target].point;
  if (points_[point].at_aim) return Verdict::within;  // also where the player's aim is not the house's
  const auto value = expected(point);
  return value ? verdict_on(target, *value) : std::nullopt;
}

std::optional<Verdict> Forecast::verdict_on(std::size_t target, model::Range value) const {
  const TargetState& state = predicted_->targets[target];
  if (!state.lo && !state.hi) return std::nullopt;
  const double lo = state.lo ? state.lo->to_double() - noise : -unbounded;
  const double hi = state.hi ? state.hi->to_double() + noise : unbounded;
  if (value.hi < lo) return Verdict::low;
  if (value.lo > hi) return Verdict::high;
  if (lo <= value.lo && value.hi <= hi) return Verdict::within;
  return std::nullopt;
}

// The judgement that gates look at.
void Forecast::publish(PointId point) {
  PointState& state = own_judgement().points[point];
  state.voided = false;
  const auto value = expected(point);
  if (points_[point].unknown || points_[point].stale || !value) {
    if (state.status == PointState::Status::read) state.status = PointState::Status::stale;
    return;
  }
  state.status = PointState::Status::read;
  state.value.kind = Kind::number;
  state.value.number = Interval::estimated(value->lo, value->hi);
  if (state.value.unit == Unit::none) state.value.unit = program_.reading_of(point).unit;
}

void Forecast::make_unknown(PointId point, const std::string& by) {
  points_[point].unknown = true;
  points_[point].at_aim = false;
  points_[point].touched = true;
  points_[point].by = by;
  publish(point);
}

void Forecast::shift(PointId point, model::Range change, const std::string& by) {
  Point& state = points_[point];
  if (std::abs(change.lo) <= noise && std::abs(change.hi) <= noise) return;
  state.moved = {state.moved.lo + change.lo, state.moved.hi + change.hi};
  if (state.value) state.value = model::Range{state.value->lo + change.lo, state.value->hi + change.hi};
  state.touched = true;
  state.by = by;
  state.at_aim = state.at_aim && stands(point);
  publish(point);
}

void Forecast::bring(PointId own, double aim, const JobInfo& job) {
  if (!job.moves) return;
  const auto from = expected(own);
  const Carrying carrying(program_, own, *job.moves, planned_method(program_, *predicted_, own));
  for (PointId point = 0; point < points_.size(); ++point) {
    if (point == own) continue;
    const auto share = carrying.share(point, planned_method(program_, *predicted_, point));
    if (!share || (std::abs(share->lo) <= noise && std::abs(share->hi) <= noise)) continue;
    if (from)
      shift(point, carried(*share, {aim - from->hi, aim - from->lo}), job.label);
    else
      make_unknown(point, job.label);
  }
}

// A job that says how far it moves its control, not which reading it is for.
void Forecast::move_by(const JobInfo& job) {
  const Scene scene(program_, *predicted_);
  const Result travel = Evaluator(program_, scene).evaluate(*job.by);
  const auto far = travel.failure ? std::nullopt : range_of(travel.value);
  for (PointId point = 0; point < points_.size(); ++point) {
    const auto effect = effect_on(program_, point, *job.moves, planned_method(program_, *predicted_, point));
    if (!effect) continue;
    const auto per_mm = effect->over(program_.neck_shape);
    if (per_mm.lo == 0.0 && per_mm.hi == 0.0) continue;
    if (!far) {
      make_unknown(point, job.label);
      continue;
    }
    const bool taken_off = *job.moves == Control::fret_plane;  // the model counts metal taken off, a travel counts up
    shift(point, carried(per_mm, taken_off ? model::Range{-far->hi, -far->lo} : *far), job.label);
  }
}

void Forecast::put(PointId point, const Value& value, const std::string& by) {
  PointState& state = own_judgement().points[point];
  state.status = PointState::Status::read;
  state.value = value;
  state.assumed = false;
  state.voided = false;
  points_[point] = {range_of(value), {}, false, true, false, false, by};
  const int target = program_.target_of[point];
  if (target < 0) return;
  if (const auto now = verdict(static_cast<std::size_t>(target)))
    own_judgement().targets[static_cast<std::size_t>(target)].verdict = *now;
}

void Forecast::do_job(const JobInfo& job, const std::vector<std::size_t>& places) {
  if (job.moves && job.by) {
    move_by(job);
  } else {
    for (const std::size_t at : places) {
      const auto& aim = predicted_->targets[at].aim;
      if (aim) bring(program_.targets[at].point, aim->to_double(), job);
    }
  }
  for (const PointId point : job.disturbs) make_unknown(point, job.label);
  const Scene scene(program_, *predicted_);
  for (const JobInfo::Set& set : job.sets) {
    if (!set.value) continue;
    const Result left = Evaluator(program_, scene).evaluate(*set.value);
    for (const PointId point : set.points) put(point, left.value, job.label);
  }
  for (const std::size_t at : places) {  // brought to its aim, whatever else it moves
    const PointId own = program_.targets[at].point;
    const auto& aim = predicted_->targets[at].aim;
    const auto sets_it = [&](const JobInfo::Set& set) {
      return !set.value && std::count(set.points.begin(), set.points.end(), own) > 0;
    };
    if (!aim || std::none_of(job.sets.begin(), job.sets.end(), sets_it)) continue;
    points_[own] = {model::exactly(aim->to_double()), {}, false, true, false, true, job.label};
    publish(own);
    own_judgement().targets[at].verdict = Verdict::within;
  }
}

void Forecast::read_again(PointId point) {
  if (points_[point].unknown) points_[point].value.reset();  // whatever it will show
  points_[point].moved = {};
  points_[point].unknown = false;
  points_[point].stale = false;
  points_[point].by.clear();
}

}  // namespace stringline
