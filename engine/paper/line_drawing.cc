// See line_drawing.h.
#include "engine/paper/line_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/check/disturb.h"
#include "engine/judge/heights.h"
#include "engine/model/frets.h"
#include "engine/plan/predict.h"

namespace stringline {
namespace {

const Gap& method_of(const Program& program, const Judgement& judgement, PointId point) {
  const auto& method = judgement.points[point].method;
  return method ? *method : *program.reading_of(point).gap;
}

bool over_a_fret(const Program& program, PointId point) {
  const auto& gap = program.reading_of(point).gap;
  return gap && !gap->at.pickup;
}

bool stands(const Judgement& judgement, PointId point) {
  const PointState& state = judgement.points[point];
  return state.status == PointState::Status::read && state.value.number.is_point();
}

void take_as_read(PointState& state, double value) {
  const auto ratio = Ratio::floor_of(value);
  if (!ratio) return;
  state.status = PointState::Status::read;
  state.value.number = Interval::exactly(*ratio);
  state.method.reset();
}

class Drawing {
 public:
  Drawing(const Program& program, const Judgement& judgement) : program_(program), judgement_(judgement) {
    strings_ = {outer_string(program, true)};
    if (outer_string(program, false) != strings_.front()) strings_.push_back(outer_string(program, false));
  }

  [[nodiscard]] bool possible() const {
    return program_.scale_mm > 0 && program_.frets > 0 && program_.body_joint > 0 && !program_.strings.empty();
  }

  [[nodiscard]] bool determined(const Judgement& judgement) const {
    const Heights heights(program_, judgement);
    return heights.bend() && std::all_of(strings_.begin(), strings_.end(),
                                         [&](int string) { return heights.nut(string) && heights.saddle(string); });
  }

  // The fewest readings by which the strings would be determined: all that could help, less each that can be spared, those
  // without a target first.
  [[nodiscard]] std::vector<PointId> missing() const {
    Judgement all = judgement_;
    std::vector<PointId> added;
    for (PointId point = 0; point < program_.points.size(); ++point) {
      if (!over_a_fret(program_, point) || stands(judgement_, point)) continue;
      const auto place = gap_place(program_, point);
      if (!place || std::count(strings_.begin(), strings_.end(), place->string) == 0) continue;
      added.push_back(point);
      take_as_read(all.points[point], 1.0);
    }
    if (!determined(all)) return {};
    std::stable_sort(added.begin(), added.end(), [&](PointId a, PointId b) {
      return (program_.target(a) != nullptr) < (program_.target(b) != nullptr);
    });
    std::vector<PointId> needed;
    for (const PointId point : added) {
      const PointState kept = all.points[point];
      all.points[point].status = PointState::Status::not_read;
      if (determined(all)) continue;
      all.points[point] = kept;
      needed.push_back(point);
    }
    std::sort(needed.begin(), needed.end());
    return needed;
  }

  [[nodiscard]] std::vector<SideDrawing> sides() const {
    std::vector<SideDrawing> all;
    for (const int string : strings_) all.push_back(side(string));
    return all;
  }

  // The readings as the list is expected to leave them, at the lower or the upper end of what is expected; nothing known of a
  // reading that the list moves and takes again.
  [[nodiscard]] Judgement afterwards(const Plan& plan, bool upper) const {
    Judgement after = judgement_;
    const auto forget = [&](const std::vector<PointId>& points) {
      for (const PointId point : points) after.points[point].status = PointState::Status::not_read;
    };
    for (const PlanLine& line : plan.lines) {
      if (line.form == PlanLine::Form::offer) continue;
      forget(line.form == PlanLine::Form::job ? line.read_after : line.points);
      for (const Predicted& each : line.expected) {
        if (!over_a_fret(program_, each.point)) continue;
        take_as_read(after.points[each.point], upper ? each.value.hi : each.value.lo);
        if (const Gap* method = planned_method(program_, judgement_, each.point))
          after.points[each.point].method = *method;
      }
    }
    return after;
  }

  [[nodiscard]] std::vector<DrawnLine> lines(const Judgement& judgement) const {
    const Heights heights(program_, judgement);
    std::vector<DrawnLine> lines;
    for (const int string : strings_) lines.push_back(line(heights, string));
    return lines;
  }

 private:
  [[nodiscard]] int first_fret(int string) const {
    return program_.strings[static_cast<std::size_t>(string)].first_fret;
  }
  [[nodiscard]] double joint() const { return model::fret_share(program_.body_joint); }
  [[nodiscard]] double neck_at(double share, double bend) const {
    return bend * model::fret_line(share, joint()).at(program_.neck_shape.middle());
  }

  [[nodiscard]] DrawnLine line(const Heights& heights, int string) const {
    const double bend = heights.bend().value_or(0);
    const int first = first_fret(string);
    DrawnLine line;
    line.nut = heights.nut(string).value_or(0) + neck_at(model::fret_share(first), bend);
    line.saddle = heights.saddle(string).value_or(0);
    const auto rises = fret_rises(program_, judgement_);
    for (int fret = first + 1; fret <= program_.frets; ++fret) {
      double top = neck_at(model::fret_share(fret), bend);
      for (const model::FretRise& rise : rises) top += rise.fret == fret ? rise.height_mm : 0.0;
      line.frets.push_back(top);
    }
    return line;
  }

  [[nodiscard]] SideDrawing side(int string) const {
    const Heights heights(program_, judgement_);
    SideDrawing side;
    side.string = string;
    const auto& member = program_.axes[static_cast<std::size_t>(Axis::string)][static_cast<std::size_t>(string)];
    const char* which = string == strings_.front() ? "bass side, " : "treble side, ";
    side.name = fmt::format("{}string {}", strings_.size() > 1 ? which : "", member.name);
    side.first_fret = first_fret(string);
    side.start = model::fret_share(side.first_fret);
    side.joint = joint();
    side.now = line(heights, string);
    for (PointId point = 0; point < program_.points.size(); ++point) {
      if (over_a_fret(program_, point) && stands(judgement_, point)) add_reading(side, point, *heights.bend());
    }
    return side;
  }

  // Readings of the neck alone are drawn on both sides.
  void add_reading(SideDrawing& side, PointId point, double bend) const {
    const Gap& method = method_of(program_, judgement_, point);
    const auto place = gap_place(program_, point, &method);
    if (!place) return;
    const bool own = place->string == side.string;
    const auto share_at = [&](const Station& station) {
      return model::fret_share(station.first ? side.first_fret + 1 : station.fret);
    };
    DrawnReading drawn;
    drawn.point = point;
    drawn.share = share_at(method.at);
    std::optional<double> before;
    std::optional<double> past;
    for (const Station& held : method.held) {
      const double share = share_at(held);
      if (share < drawn.share)
        before = share;
      else if (!past)
        past = share;
    }
    drawn.downward = before && past;
    const bool of_the_neck = drawn.downward && program_.reading_of(point).axes.empty();
    if (!own && !of_the_neck) return;
    const PointState& state = judgement_.points[point];
    drawn.value = state.value.number.lo->to_double();
    const auto& read_to = program_.reading_of(point).read_to;
    drawn.read_to = read_to ? read_to->value.to_double() : 0.0;
    drawn.from = neck_at(drawn.share, bend);
    if (drawn.downward) {
      const DrawnReading::Place here{*before, neck_at(*before, bend)};
      const DrawnReading::Place there{*past, neck_at(*past, bend)};
      const double slope = (there.height - here.height) / (there.share - here.share);
      drawn.from = here.height + slope * (drawn.share - here.share);
      drawn.edge = {here, there};
    }
    const double sign = drawn.downward ? -1.0 : 1.0;
    drawn.height = drawn.from + sign * drawn.value;
    add_target(drawn, sign);
    side.readings.push_back(drawn);
  }

  // A target that is stated by another method than this reading's has no place at its point.
  void add_target(DrawnReading& drawn, double sign) const {
    const int at = program_.target_of[drawn.point];
    if (at < 0 || judgement_.points[drawn.point].method) return;
    const auto index = static_cast<std::size_t>(at);
    if (program_.targets[index].gap) return;
    const TargetState& target = judgement_.targets[index];
    const auto height = [&](const std::optional<Ratio>& value) {
      return value ? std::optional(drawn.from + sign * value->to_double()) : std::nullopt;
    };
    drawn.low = height(drawn.downward ? target.hi : target.lo);
    drawn.high = height(drawn.downward ? target.lo : target.hi);
    drawn.aim = height(target.aim);
  }

  const Program& program_;
  const Judgement& judgement_;
  std::vector<int> strings_;
};

bool moves_lines(const Program& program, const Plan& plan) {
  return std::any_of(plan.lines.begin(), plan.lines.end(), [&](const PlanLine& line) {
    return line.form == PlanLine::Form::job &&
           std::any_of(line.expected.begin(), line.expected.end(),
                       [&](const Predicted& each) { return over_a_fret(program, each.point); });
  });
}

bool apart(const DrawnLine& a, const DrawnLine& b) {
  constexpr double least = 0.005;  // mm; less is not seen on any picture
  return std::abs(a.nut - b.nut) > least || std::abs(a.saddle - b.saddle) > least;
}

void add_after(LineDrawing& drawing, const Drawing& made, const Plan& plan) {
  const Judgement lower = made.afterwards(plan, false);
  const Judgement upper = made.afterwards(plan, true);
  if (!drawing.work || !made.determined(lower) || !made.determined(upper)) return;
  const auto low = made.lines(lower);
  const auto high = made.lines(upper);
  for (std::size_t i = 0; i < drawing.sides.size(); ++i) {
    drawing.sides[i].after.push_back(low[i]);
    if (apart(low[i], high[i])) drawing.sides[i].after.push_back(high[i]);
  }
}

void add_before(LineDrawing& drawing, const Program& program, const Judgement& before) {
  const Drawing made(program, before);
  if (!made.determined(before)) return;
  const auto lines = made.lines(before);
  for (std::size_t i = 0; i < drawing.sides.size(); ++i) drawing.sides[i].before = lines[i];
}

}  // namespace

LineDrawing line_drawing(const Program& program, const Judgement& judgement) {
  LineDrawing drawing;
  const Drawing made(program, judgement);
  if (!made.possible()) return drawing;
  if (made.determined(judgement))
    drawing.sides = made.sides();
  else
    drawing.missing = made.missing();
  return drawing;
}

LineDrawing line_drawing(const Program& program, const Judgement& judgement, const Plan& plan,
                         const std::vector<CleanSide>& clean, const Judgement* before) {
  LineDrawing drawing = line_drawing(program, judgement);
  drawing.work = moves_lines(program, plan);
  if (drawing.sides.empty()) return drawing;
  for (SideDrawing& side : drawing.sides) {
    for (const CleanSide& each : clean) {
      const auto place = gap_place(program, each.point);
      if (!place || place->string != side.string) continue;
      std::set<int> over;
      for (const model::StoppedNote& note : each.stopped) over.insert(note.stopped_at);
      side.stopping.assign(over.begin(), over.end());
    }
  }
  add_after(drawing, Drawing(program, judgement), plan);
  if (before != nullptr) add_before(drawing, program, *before);
  return drawing;
}

}  // namespace stringline
