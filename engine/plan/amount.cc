// See amount.h.
#include "engine/plan/amount.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/check/disturb.h"
#include "engine/model/saddle_place.h"
#include "engine/model/screw.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Doubles carry less than this; it must not cost a whole step of the tool.
constexpr double noise_mm = 1e-6;
// A post that nobody asked to turn stays where it would move less.
constexpr double least_post_mm = 0.02;

const char* direction(Control control, bool positive) {
  if (control == Control::saddle_place) return positive ? "away from the nut" : "toward the nut";
  return positive ? "up" : "down";
}

std::size_t string_at(const Program& program, PointId point) {
  return static_cast<std::size_t>(std::max(0, program.points[point].at[static_cast<std::size_t>(Axis::string)]));
}

// mm of the control; nothing where it hangs on how the neck bends.
std::optional<double> travel_for(const Program& program, const Judgement& judgement, Control control, PointId point,
                                 double value, double aim) {
  if (control == Control::saddle_place)
    return model::saddle_move(model::lengths_of({program.scale_of(string_at(program, point))}), value - aim);
  const auto share = effect_on(program, point, control, planned_method(program, judgement, point));
  if (!share || share->extra != 0.0 || share->base == 0.0) return std::nullopt;
  return (aim - value) / share->base;
}

// By length where the profile says nothing else.
bool by_length(const JobInfo& job) { return !job.work_to || info(job.work_to->unit).dimension == dimension::length; }

Rounding rounding(const JobInfo& job) { return job.removes ? Rounding::toward_zero : Rounding::nearest; }

// An amount of `travel` by one of the tool's terms; nothing where it is not known.
std::optional<Value> in_terms(const Program& program, const Forecast& forecast, const JobInfo::Tell& tell,
                              PointId point, Ratio travel) {
  const Scene scene(program, forecast.judgement());
  Evaluator evaluator(program, scene);
  evaluator.set_travel(number_result(Interval::exactly(travel), Unit::mm).value);
  const Result result = evaluator.evaluate(tell.value, program.points[point].at);
  if (result.failure || !result.value.number.is_point()) return std::nullopt;
  return result.value;
}

// What a bench tells apart in the unit that the house shows lengths in: 0.01 mm, or half a thou.
Ratio step_of(const Program& program, const JobInfo& job) {
  if (job.work_to && by_length(job)) return job.work_to->value;
  const Unit unit = program.show_length.value_or(Unit::mm);
  const bool inches = unit == Unit::in || unit == Unit::thou;
  const auto half_thou = divide(info(Unit::thou).factor, 2);
  return inches && half_thou ? *half_thou : *Ratio::make(1, 100);
}

// Turns of the tool that go `travel`; nothing where the job is not told in turns.
std::optional<Ratio> turns_for(const Program& program, const Forecast& forecast, const JobInfo& job, PointId point,
                               Ratio travel) {
  for (const JobInfo::Tell& tell : job.tell) {
    if (tell.name != "turns") continue;
    if (const auto turns = in_terms(program, forecast, tell, point, travel)) return *turns->number.lo;
  }
  return std::nullopt;
}

// What of the way is told, in mm: whole steps of a length; whole turns where the job removes, and else all of it.
std::optional<Ratio> way_told(const Program& program, const Forecast& forecast, const JobInfo& job,
                              const Amount& amount) {
  const auto exact = Ratio::floor_of(std::abs(*amount.travel) + noise_mm);
  if (!exact) return std::nullopt;
  if (by_length(job)) return round_to(*exact, step_of(program, job), rounding(job));
  if (!job.removes) return exact;
  const auto turns = turns_for(program, forecast, job, amount.point, *exact);
  const double all = turns ? std::abs(turns->to_double()) : 0.0;
  const auto whole = all > 0.0 ? round_to(*turns, job.work_to->value, rounding(job)) : std::nullopt;
  return whole ? Ratio::floor_of(exact->to_double() * std::abs(whole->to_double()) / all) : exact;
}

std::string told(const Program& program, const Forecast& forecast, const JobInfo& job, PointId point, Ratio travel) {
  std::string text;
  for (const JobInfo::Tell& tell : job.tell) {
    auto value = in_terms(program, forecast, tell, point, travel);
    if (!value) continue;
    if (tell.name == "turns") value->unit = Unit::turns;
    const auto step = !by_length(job) ? std::optional(job.work_to->value) : std::nullopt;
    text += fmt::format(" ({}{})", tell.name == "turns" ? "" : tell.name + " ", to_text(*value, step));
  }
  return text;
}

// What brings one reading to its aim: mm of the control, or for a rod in words.
std::optional<Amount> asked(const Program& program, const Forecast& forecast, const JobInfo& job, std::size_t target) {
  const PointId point = program.targets[target].point;
  const auto& aim = forecast.judgement().targets[target].aim;
  if (!job.moves || !aim) return std::nullopt;
  Amount amount{point, member_of(program, point), std::nullopt, ""};
  if (*job.moves == Control::neck_bend) {
    const Unit written = forecast.judgement().points[point].value.unit;
    const Unit unit = written == Unit::none ? program.reading_of(point).unit : written;
    amount.text = fmt::format("until it reads {}", to_text(*aim, unit));
    return amount;
  }
  const auto value = forecast.expected(point);
  if (value)
    amount.travel = travel_for(program, forecast.judgement(), *job.moves, point, value->middle(), aim->to_double());
  return amount.travel ? std::optional(amount) : std::nullopt;
}

// Amounts that lift the sides become those of the two posts; a side that was to stay may have to be turned against the other.
void turn_posts(const Program& program, std::vector<Amount>& amounts) {
  constexpr auto by_side = static_cast<std::size_t>(Axis::side);
  std::array<double, 2> lift{};
  for (const Amount& amount : amounts) {
    const int side = program.points[amount.point].at[by_side];
    if (side < 0 || !amount.travel) return;
    lift[static_cast<std::size_t>(side)] = *amount.travel;
  }
  const auto posts = model::posts_for_lift(lift[0], lift[1], program.post_span_mm, program.string_span_mm);
  if (!posts) return;
  const ReadingInfo& reading = program.reading_of(amounts.front().point);
  std::vector<Amount> turned;
  for (PointId point = reading.first; point < reading.first + reading.count; ++point) {
    const int side = program.points[point].at[by_side];
    turned.push_back({point, member_of(program, point), side == 0 ? posts->bass_mm : posts->treble_mm, ""});
  }
  amounts = std::move(turned);
}

// The travel in the tool's terms; empty where it comes to nothing.
std::string in_words(const Program& program, const Forecast& forecast, const JobInfo& job, const Amount& amount) {
  const auto way = way_told(program, forecast, job, amount);
  const Ratio step = step_of(program, job);
  const Unit unit = program.show_length.value_or(Unit::mm);
  const auto rounded = way ? round_to(*way, step, rounding(job)) : std::nullopt;
  if (!rounded) return "";
  return fmt::format("{} {}", to_text(*rounded, unit, step), direction(*job.moves, *amount.travel > 0)) +
         told(program, forecast, job, amount.point, *way);
}

}  // namespace

std::string work_step(const Program& program, const JobInfo& job) {
  if (job.work_to) return to_text(job.work_to->value, job.work_to->unit);
  return to_text(step_of(program, job), program.show_length.value_or(Unit::mm));
}

bool has_posts(const Program& program, const JobInfo& job) {
  return job.moves == Control::saddle_height && program.post_span_mm > 0 && program.string_span_mm > 0;
}

std::vector<std::size_t> targets_set_by(const Program& program, const Forecast& forecast, const JobInfo& job) {
  std::vector<std::size_t> targets;
  for (const JobInfo::Set& set : job.sets) {
    for (const PointId point : set.points) {
      if (set.value || program.target_of[point] < 0) continue;
      const auto at = static_cast<std::size_t>(program.target_of[point]);
      const auto verdict = forecast.verdict(at);
      if (verdict != Verdict::within && verdict != Verdict::not_applicable) targets.push_back(at);
    }
  }
  return targets;
}

std::optional<double> share_told(const Program& program, const Forecast& forecast, const JobInfo& job,
                                 const Amount& amount) {
  if (!amount.travel) return std::nullopt;
  const double whole = std::abs(*amount.travel);
  if (whole < noise_mm) return 0.0;
  const auto way = way_told(program, forecast, job, amount);
  return way ? std::optional(way->to_double() / whole) : std::nullopt;
}

bool comes_to_nothing(const Program& program, const Forecast& forecast, const JobInfo& job,
                      const std::vector<Amount>& amounts) {
  const auto to_no_turn = [&](const Amount& amount) {
    const auto exact =
        amount.travel && !by_length(job) ? Ratio::floor_of(std::abs(*amount.travel) + noise_mm) : std::nullopt;
    const auto turns = exact ? turns_for(program, forecast, job, amount.point, *exact) : std::nullopt;
    const auto whole = turns ? round_to(*turns, job.work_to->value, rounding(job)) : std::nullopt;
    return whole && whole->to_double() == 0.0;
  };
  return !amounts.empty() && std::all_of(amounts.begin(), amounts.end(), [&](const Amount& amount) {
    return to_no_turn(amount) || share_told(program, forecast, job, amount) == 0.0;
  });
}

std::vector<std::size_t> take_too_small(const Program& program, const Forecast& forecast, const JobInfo& job,
                                        std::vector<Amount>& amounts, std::vector<std::size_t>& targets) {
  std::vector<std::size_t> small;
  if (comes_to_nothing(program, forecast, job, amounts)) {
    amounts.clear();
    small.swap(targets);
  }
  if (has_posts(program, job)) return small;
  const auto goes = [&](const Amount& amount) { return !comes_to_nothing(program, forecast, job, {amount}); };
  const auto gone = std::stable_partition(amounts.begin(), amounts.end(), goes);
  for (auto amount = gone; amount != amounts.end(); ++amount) {
    small.push_back(static_cast<std::size_t>(program.target_of[amount->point]));
    targets.erase(std::find(targets.begin(), targets.end(), small.back()));
  }
  amounts.erase(gone, amounts.end());
  return small;
}

void expect_as_told(const Program& program, const Forecast& after,
                    const std::vector<std::optional<model::Range>>& before, PlanLine& line) {
  const JobInfo& job = program.jobs[*line.job];
  for (Predicted& each : line.expected) {
    if (std::count(line.read_after.begin(), line.read_after.end(), each.point) == 0) continue;
    const auto asks = [&](const Amount& amount) { return amount.point == each.point; };
    const auto amount = std::find_if(line.amounts.begin(), line.amounts.end(), asks);
    const bool rounded = job.work_to && !has_posts(program, job) && before[each.point] && amount != line.amounts.end();
    if (const auto share = rounded ? share_told(program, after, job, *amount) : std::nullopt) {
      const double from = before[each.point]->middle();
      each.value = model::exactly(from + *share * (each.value.middle() - from));
    }
    each.verdict = after.verdict_on(static_cast<std::size_t>(program.target_of[each.point]), each.value);
  }
}

std::string posts_text(const Program& program) {
  return fmt::format("the posts stand {:g} mm apart and the outer strings {:g} mm, so each post moves both sides",
                     program.post_span_mm, program.string_span_mm);
}

std::vector<Amount> amounts_for(const Program& program, const Forecast& forecast, const JobInfo& job,
                                const std::vector<std::size_t>& targets) {
  std::vector<Amount> amounts;
  std::vector<PointId> asking;
  for (const std::size_t target : targets) {
    asking.push_back(program.targets[target].point);
    if (auto amount = asked(program, forecast, job, target)) amounts.push_back(std::move(*amount));
  }
  if (has_posts(program, job) && !amounts.empty()) {
    if (amounts.size() < targets.size()) return {};  // a post hangs on both sides
    turn_posts(program, amounts);
  }
  std::vector<Amount> told;
  for (Amount& amount : amounts) {
    const bool asks = std::find(asking.begin(), asking.end(), amount.point) != asking.end();
    if (!asks && std::abs(*amount.travel) < least_post_mm) continue;
    if (amount.travel) amount.text = in_words(program, forecast, job, amount);
    if (!amount.text.empty()) told.push_back(std::move(amount));
  }
  return told;
}

}  // namespace stringline
