// See amount.h.
#include "engine/plan/amount.h"

#include <fmt/format.h>

#include <cmath>

#include "engine/check/disturb.h"
#include "engine/model/saddle_place.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Doubles carry less than this; it must not cost a whole step of the tool.
constexpr double noise_mm = 1e-6;

const char* direction(Control control, bool positive) {
  if (control == Control::saddle_place) return positive ? "away from the nut" : "toward the nut";
  return positive ? "up" : "down";
}

// mm of the control; nothing where it hangs on how the neck bends.
std::optional<double> travel_for(const Program& program, Control control, PointId point, double value, double aim) {
  if (control == Control::saddle_place) return model::saddle_move(model::lengths_of({program.scale_mm}), value - aim);
  const auto share = effect_on(program, point, control);
  if (!share || share->extra != 0.0 || share->base == 0.0) return std::nullopt;
  return (aim - value) / share->base;
}

std::string told(const Program& program, const Forecast& forecast, const JobInfo& job, PointId point, Ratio travel,
                 bool by_length) {
  const Scene scene(program, forecast.judgement());
  Evaluator evaluator(program, scene);
  evaluator.set_travel(number_result(Interval::exactly(travel), Unit::mm).value);
  std::string text;
  for (const JobInfo::Tell& tell : job.tell) {
    const Result result = evaluator.evaluate(tell.value, program.points[point].at);
    if (result.failure || !result.value.number.is_point()) continue;
    Value value = result.value;
    if (tell.name == "turns") value.unit = Unit::turns;
    const auto step = job.work_to && !by_length ? std::optional(job.work_to->value) : std::nullopt;
    text += fmt::format(" ({}{})", tell.name == "turns" ? "" : tell.name + " ", to_text(value, step));
  }
  return text;
}

}  // namespace

std::optional<Amount> amount_for(const Program& program, const Forecast& forecast, const JobInfo& job,
                                 std::size_t target) {
  const PointId point = program.targets[target].point;
  const auto& aim = forecast.judgement().targets[target].aim;
  if (!job.moves || !aim) return std::nullopt;
  Amount amount;
  amount.point = point;
  amount.member = member_of(program, point);
  if (*job.moves == Control::neck_bend) {
    const Unit written = forecast.judgement().points[point].value.unit;
    const Unit unit = written == Unit::none ? program.reading_of(point).unit : written;
    amount.text = fmt::format("until it reads {}", to_text(*aim, unit));
    return amount;
  }
  const auto value = forecast.expected(point);
  if (!value) return std::nullopt;
  amount.travel = travel_for(program, *job.moves, point, value->middle(), aim->to_double());
  const auto exact = amount.travel ? Ratio::floor_of(std::abs(*amount.travel) + noise_mm) : std::nullopt;
  if (!exact) return std::nullopt;
  const bool by_length = job.work_to && info(job.work_to->unit).dimension == dimension::length;
  const Ratio step = by_length ? job.work_to->value : *Ratio::make(1, 100);
  const auto rounded = round_to(*exact, step, job.removes ? Rounding::toward_zero : Rounding::nearest);
  if (!rounded) return std::nullopt;
  amount.text = fmt::format("{} {}", to_text(*rounded, Unit::mm, step), direction(*job.moves, *amount.travel > 0)) +
                told(program, forecast, job, point, *exact, by_length);
  return amount;
}

}  // namespace stringline
