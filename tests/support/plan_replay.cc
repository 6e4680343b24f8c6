#include "tests/support/plan_replay.h"

#include <algorithm>
#include <cmath>

namespace replay {
namespace {

using oracle::Real;
using stringline::Axis;
using stringline::Control;
using stringline::JobId;
using stringline::JobInfo;
using stringline::PlanLine;
using stringline::PointId;
using stringline::Program;

int member(const Program& program, PointId point, Axis axis) {
  return program.points[point].at[static_cast<std::size_t>(axis)];
}

// Bass is the last string, treble the first; a reading of neither kind is taken at the bass.
int string_of(const Program& program, PointId point, std::size_t strings) {
  const int string = member(program, point, Axis::string);
  if (string >= 0) return string;
  return member(program, point, Axis::side) == 1 ? 0 : static_cast<int>(strings) - 1;
}

Real between(Real bass, Real treble, int string, std::size_t strings) {
  const Real toward_bass = static_cast<Real>(string) / static_cast<Real>(strings - 1);
  return treble + (bass - treble) * toward_bass;
}

oracle::Instrument one_string(const Instrument& all, int string) {
  oracle::Instrument one;
  one.joint = all.joint;
  one.bend = all.bend;
  one.phi = all.phi;
  one.nut = all.nut[static_cast<std::size_t>(string)];
  one.saddle = between(all.saddle_bass, all.saddle_treble, string, all.nut.size());
  return one;
}

double read_to(const Program& program, PointId point) {
  const auto& step = program.reading_of(point).read_to;
  return step ? step->value.to_double() : 0.0;
}

class Bench {
 public:
  Bench(const Program& program, const stringline::Judgement& judgement, const stringline::Plan& plan, Instrument start)
      : program_(program), judgement_(judgement), plan_(plan), now_(std::move(start)), seen_(program.points.size()) {
    for (PointId point = 0; point < program.points.size(); ++point) {
      if (program.reading_of(point).gap) seen_[point] = gap(program_, now_, point);
    }
  }

  Replay run() {
    for (const PlanLine& line : plan_.lines) {
      if (line.form == PlanLine::Form::job)
        job(line);
      else if (line.form == PlanLine::Form::read_again && read(line))
        return {wrong_, now_, true};
    }
    finish();
    return {wrong_, now_, false};
  }

 private:
  void complain(PointId point, const std::string& what, double value) {
    wrong_.push_back(program_.points[point].name + ": " + what + " (" + std::to_string(value) + ")");
  }

  double aim(PointId point) const {
    return judgement_.targets[static_cast<std::size_t>(program_.target_of[point])].aim->to_double();
  }

  bool out(PointId point, bool& high, double slack_more = 0) const {
    const auto& target = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
    const double value = gap(program_, now_, point);
    const double slack = read_to(program_, point) + slack_more;
    high = target.hi && value > target.hi->to_double() + slack;
    return high || (target.lo && value < target.lo->to_double() - slack);
  }

  void job(const PlanLine& line) {
    const JobInfo& info = program_.jobs[*line.job];
    for (const PointId point : line.points) {
      if (!program_.reading_of(point).gap) continue;
      const double moved = std::abs(gap(program_, now_, point) - seen_[point]);
      if (moved > least_move(point)) complain(point, "a job used a stale reading", moved);
    }
    check_amounts(info, line);
    if (info.moves) {
      for (const PointId point : line.read_after) bring(*info.moves, point);
    }
    for (const auto& expected : line.expected) check_expected(expected);
    for (const PointId point : line.read_after) seen_[point] = gap_or_zero(point);
  }

  // What the tool tells apart, and what the rounding of the readings behind a prediction may add.
  double least_move(PointId point) const { return 1.25 * read_to(program_, point) + 0.01; }

  double gap_or_zero(PointId point) const { return program_.reading_of(point).gap ? gap(program_, now_, point) : 0.0; }

  // The travels that were printed bring the readings to their aims, as near as the tool could tell.
  void check_amounts(const JobInfo& info, const PlanLine& line) {
    Instrument then = now_;
    for (const auto& amount : line.amounts) {
      if (!amount.travel || !program_.reading_of(amount.point).gap) return;
      turn(then, *info.moves, amount.point, static_cast<Real>(*amount.travel));
    }
    for (const auto& amount : line.amounts) {
      if (std::count(line.points.begin(), line.points.end(), amount.point) == 0) continue;
      const double off = std::abs(gap(program_, then, amount.point) - aim(amount.point));
      if (off > 1.6 * read_to(program_, amount.point)) complain(amount.point, "the amount misses the aim", off);
    }
  }

  // As `move`, but where the bridge stands on two posts it is a post that goes up, and the strings beside it with it.
  void turn(Instrument& it, Control control, PointId point, Real travel) const {
    const Real posts = static_cast<Real>(program_.post_span_mm);
    const int side = member(program_, point, Axis::side);
    if (control != Control::saddle_height || posts <= 0 || side < 0) return move(it, control, point, travel);
    const Real inset = (posts - static_cast<Real>(program_.string_span_mm)) / 2;
    Real& near = side == 1 ? it.saddle_treble : it.saddle_bass;
    Real& far = side == 1 ? it.saddle_bass : it.saddle_treble;
    near += travel * (posts - inset) / posts;
    far += travel * inset / posts;
  }

  void check_expected(const stringline::Predicted& expected) {
    if (!program_.reading_of(expected.point).gap) return;
    const double value = gap(program_, now_, expected.point);
    const double slack = read_to(program_, expected.point) + 0.07;  // readings were rounded, and a rod multiplies that
    if (value < expected.value.lo - slack || value > expected.value.hi + slack)
      complain(expected.point, "what came was not expected", value - expected.value.lo);
  }

  // True when a job followed, or the reading says which job is next: the list is then made again.
  bool read(const PlanLine& line) {
    for (const auto& expected : line.expected) check_expected(expected);
    std::vector<PointId> low;
    std::vector<PointId> high;
    for (const PointId point : line.points) {
      if (!program_.reading_of(point).gap) continue;
      seen_[point] = gap(program_, now_, point);
      bool is_high = false;
      if (program_.target(point) == nullptr || !out(point, is_high)) continue;
      (is_high ? high : low).push_back(point);
      if (is_high ? !line.if_high : !line.if_low) open_.push_back(point);  // the line leaves it to a person
    }
    const bool lower = follow(line.if_high, high);
    return follow(line.if_low, low) || lower || !line.may_follow.empty();
  }

  bool follow(const std::optional<JobId>& job, const std::vector<PointId>& points) {
    if (!job || !program_.jobs[*job].moves || points.empty()) return false;
    for (const PointId point : points) bring(*program_.jobs[*job].moves, point);
    return true;
  }

  // Turns the control until the reading is at its aim: gaps are linear in it, so one trial move tells how far.
  void bring(Control control, PointId point) {
    if (!program_.reading_of(point).gap || program_.target(point) == nullptr) return;
    Instrument trial = now_;
    move(trial, control, point, 0.01L);
    const double before = gap(program_, now_, point);
    const double per_mm = (gap(program_, trial, point) - before) / 0.01;
    if (std::abs(per_mm) < 1e-9) return complain(point, "its job does not move it", per_mm);
    move(now_, control, point, static_cast<Real>((aim(point) - before) / per_mm));
  }

  void move(Instrument& it, Control control, PointId point, Real travel) const {
    const bool treble = member(program_, point, Axis::side) == 1;
    const auto pickup = static_cast<std::size_t>(std::max(0, member(program_, point, Axis::pickup)));
    const auto string = static_cast<std::size_t>(string_of(program_, point, it.nut.size()));
    switch (control) {
      case Control::neck_bend: {
        it.bend += travel;
        const Real lift = 4 * it.phi * travel * (1 / oracle::share(it.joint) - 1);
        it.saddle_bass += lift;
        it.saddle_treble += lift;
        return;
      }
      case Control::nut_height: it.nut[string] += travel; return;
      case Control::saddle_height: (treble ? it.saddle_treble : it.saddle_bass) += travel; return;
      case Control::pickup_height: (treble ? it.pickup_treble : it.pickup_bass)[pickup] += travel; return;
      case Control::saddle_place:
      case Control::fret_plane: return;
    }
  }

  void finish() {
    for (const auto& left : plan_.left) open_.insert(open_.end(), left.points.begin(), left.points.end());
    for (const auto& conflict : plan_.conflicts)
      open_.insert(open_.end(), conflict.points.begin(), conflict.points.end());
    for (const auto& target : program_.targets) {
      const PointId point = target.point;
      bool high = false;
      const auto& state = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
      if (!program_.reading_of(point).gap || target.phase < 0 || state.verdict == stringline::Verdict::not_applicable)
        continue;
      if (std::abs(gap(program_, now_, point) - seen_[point]) > least_move(point))
        complain(point, "it moved and was not read again", gap(program_, now_, point) - seen_[point]);
      if (out(point, high, least_move(point)) && std::count(open_.begin(), open_.end(), point) == 0)
        complain(point, "out at the end and nowhere listed", gap(program_, now_, point));
    }
  }

  const Program& program_;
  const stringline::Judgement& judgement_;
  const stringline::Plan& plan_;
  Instrument now_;
  std::vector<double> seen_;  // what each gap was when it was last read
  std::vector<PointId> open_;
  std::vector<std::string> wrong_;
};

}  // namespace

Instrument random_instrument(std::mt19937& random, int strings, int pickups, Real joint_fret) {
  const auto from = [&](double lo, double hi) {
    return static_cast<Real>(std::uniform_real_distribution<double>(lo, hi)(random));
  };
  Instrument it;
  it.joint = joint_fret;
  it.bend = from(0.0, 0.6);
  it.phi = from(0.0, 1.0);
  for (int i = 0; i < strings; ++i) it.nut.push_back(from(0.2, 0.9));
  it.saddle_bass = from(1.5, 6.5);
  it.saddle_treble = from(1.5, 6.0);
  for (int i = 0; i < pickups; ++i) {
    it.pickup_bass.push_back(from(-3.0, 1.0));
    it.pickup_treble.push_back(from(-3.0, 1.0));
  }
  return it;
}

double gap(const Program& program, const Instrument& instrument, PointId point) {
  const stringline::Gap& method = *program.reading_of(point).gap;
  oracle::Instrument one = one_string(instrument, string_of(program, point, instrument.nut.size()));
  std::vector<int> held;
  for (const auto& station : method.held) held.push_back(static_cast<int>(station.fret));
  if (method.at.pickup) {
    const auto pickup = static_cast<std::size_t>(member(program, point, Axis::pickup));
    one.pickup =
        member(program, point, Axis::side) == 1 ? instrument.pickup_treble[pickup] : instrument.pickup_bass[pickup];
    return static_cast<double>(oracle::gap_at_pickup(one, 0.85L, held));
  }
  const Real x = oracle::share(static_cast<Real>(method.at.fret));
  return static_cast<double>(oracle::string_height(one, x, held) - oracle::line(one, x));
}

Replay carry_out(const Program& program, const stringline::Judgement& judgement, const stringline::Plan& plan,
                 Instrument instrument) {
  return Bench(program, judgement, plan, std::move(instrument)).run();
}

}  // namespace replay
