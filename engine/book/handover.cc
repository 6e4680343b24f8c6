// See handover.h.
#include "engine/book/handover.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "engine/estimate/gather.h"
#include "engine/estimate/owner_words.h"
#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

void add_once(std::vector<std::string>& texts, std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
  if (!text.empty() && std::count(texts.begin(), texts.end(), text) == 0) texts.push_back(std::move(text));
}

std::int64_t days_up(const Number& time) {
  const auto days = in_unit(time.quantity.value, Unit::day);
  return days ? days->num() / days->den() + (days->num() % days->den() > 0 ? 1 : 0) : 0;
}

// Seen when it leaves: read, or once read and made stale by work since.
bool was_seen(const PointState& state) {
  return state.status == PointState::Status::read ? !state.assumed && !state.by_job
                                                  : state.status == PointState::Status::stale;
}

// "0.30 mm", "0.30 mm to 0.42 mm"; words where one is no number.
std::string span_text(const Judgement& judgement, const std::vector<PointId>& points) {
  std::vector<std::string> words;
  std::optional<Value> least;
  std::optional<Value> most;
  bool numbers = true;
  for (const PointId point : points) {
    const PointState& state = judgement.points[point];
    add_once(words, state.contact ? "touching" : in_words(state.value));
    numbers = numbers && !state.contact && state.value.kind == Kind::number && state.value.number.is_point();
    if (!numbers) continue;
    if (!least || *state.value.number.lo < *least->number.lo) least = state.value;
    if (!most || *state.value.number.lo > *most->number.lo) most = state.value;
  }
  if (numbers && words.size() > 1) return fmt::format("{} to {}", to_text(*least), to_text(*most));
  return fmt::format("{}", fmt::join(words, ", "));
}

bool same_method(const PointState& a, const PointState& b) {
  return a.method.has_value() == b.method.has_value() && (!a.method || a.method->text == b.method->text);
}

class Making {
 public:
  Making(const OpenVisit& visit, const std::optional<Judgement>& before, const Plan& plan, Date today)
      : visit_(visit),
        program_(visit.program),
        judgement_(visit.judgement),
        before_(before),
        plan_(plan),
        scene_(program_, judgement_),
        evaluator_(program_, scene_) {
    out_.date = today;
  }

  Handover run() {
    head();
    what_is_left();
    readings();
    out_.work = work_done(program_);
    for (WorkDone& done : out_.work) {
      done.text = plain_name(done.text);
      for (std::size_t i = 0; visit_.house != nullptr && i < visit_.house->parts.size(); ++i) {
        const PartTree& part = visit_.house->parts[i];
        if (part.name.text == done.fitted) done.text = fmt::format("new strings, {}", set_text(part));
      }
    }
    declined();
    come_back();
    air();
    care();
    out_.told = said_before(program_, judgement_).told;
    return std::move(out_);
  }

 private:
  void head() {
    const VisitTree& tree = *visit_.tree;
    out_.shop = program_.house;
    out_.visit = program_.visit;
    if (tree.owner) out_.owner = tree.owner->text;
    out_.instrument = tree.instrument.label ? tree.instrument.label->text : program_.label;
    if (tree.player.says) out_.says = tree.player.says->text;
    if (visit_.house != nullptr) out_.contact = contact_of(*visit_.house);
    if (tree.instrument.id) out_.instrument_id = tree.instrument.id->text;
    if (visit_.house != nullptr) out_.date_form = visit_.house->show_date;
    for (const Entry& entry : program_.log) {
      if (entry.closed && !entry.struck) out_.date = entry.date;
    }
  }

  void what_is_left() {
    const bool open =
        std::any_of(plan_.left.begin(), plan_.left.end(), [](const LeftAlone& left) { return left.open; });
    out_.finished = plan_.lines.empty() && plan_.conflicts.empty() && !open;
    for (const PlanLine& line : plan_.lines) {
      const bool job = line.form == PlanLine::Form::job || line.form == PlanLine::Form::offer;
      add_once(out_.next, job ? program_.jobs[*line.job].label : "read " + name_points(program_, line.points));
    }
    for (const Conflict& conflict : plan_.conflicts) add_once(out_.next, conflict.why);
    for (const LeftAlone& left : plan_.left) {
      if (left.open) add_once(out_.next, fmt::format("{}: {}", left.what, left.why));
    }
  }

  void readings() {
    std::vector<ReadingId> order(program_.readings.size());
    std::iota(order.begin(), order.end(), ReadingId{0});
    std::stable_sort(order.begin(), order.end(), [&](ReadingId a, ReadingId b) { return turn(a) < turn(b); });
    for (const ReadingId id : order) {
      std::vector<std::pair<Finding, std::vector<PointId>>> groups;
      const ReadingInfo& reading = program_.readings[id];
      for (PointId point = reading.first; point < reading.first + reading.count; ++point) {
        const auto found = finding(point);
        if (!found) continue;
        const auto like = [&](const auto& group) { return alike(group.first, *found); };
        const auto group = std::find_if(groups.begin(), groups.end(), like);
        if (group == groups.end())
          groups.push_back({*found, {point}});
        else
          group->second.push_back(point);
      }
      for (auto& [found, points] : groups) out_.readings.push_back(whole(std::move(found), points, groups.size() > 1));
    }
  }

  // Without its values.
  std::optional<Finding> finding(PointId point) const {
    const int at = program_.target_of[point];
    if (at < 0 || !was_seen(judgement_.points[point])) return std::nullopt;
    const TargetState& target = judgement_.targets[static_cast<std::size_t>(at)];
    const bool told = target.verdict == Verdict::within || target.verdict == Verdict::high ||
                      target.verdict == Verdict::low || target.verdict == Verdict::too_close ||
                      target.verdict == Verdict::stale;
    if (!told) return std::nullopt;
    Finding found;
    found.verdict = target.verdict;
    const auto& want = program_.targets[static_cast<std::size_t>(at)].want;
    found.own_range = want && want->form != Want::Form::aim;
    if (want && want->form == Want::Form::aim && target.aim) {
      Value aim = judgement_.points[point].value;
      aim.number = Interval::exactly(*target.aim);
      found.asked = to_text(aim);
      found.at_asked = !target.asked;
    }
    if (target.lo || target.hi) found.wanted = wanted_text(program_, judgement_, point);
    found.method = method_note(program_, judgement_, point);
    if (target.verdict == Verdict::stale) found.since = judgement_.points[point].stale_by;
    found.left_because = why_left(point, target.verdict);
    return found;
  }

  std::string why_left(PointId point, Verdict verdict) const {
    if (verdict != Verdict::high && verdict != Verdict::low) return "";
    for (const LeftAlone& left : plan_.left) {
      if (std::count(left.points.begin(), left.points.end(), point) > 0) return left.why;
    }
    return "";
  }

  static bool alike(const Finding& a, const Finding& b) {
    return a.verdict == b.verdict && a.method == b.method && a.wanted == b.wanted && a.own_range == b.own_range &&
           a.asked == b.asked && a.at_asked == b.at_asked && a.since == b.since && a.left_because == b.left_because;
  }

  // `some`: other members of the reading stand elsewhere.
  Finding whole(Finding found, const std::vector<PointId>& points, bool some) const {
    const ReadingId id = program_.points[points.front()].reading;
    found.reading = program_.readings[id].name;
    found.what = owner_name(program_, id);
    const bool all = points.size() == program_.readings[id].count && !some;
    if (!all) {
      for (const PointId point : points) {
        found.members.push_back(member_of(program_, point));
        std::replace(found.members.back().begin(), found.members.back().end(), '.', ' ');
      }
      const std::string counted = counted_by(program_.readings[id]);  // a bare number says nothing to an owner
      if (!counted.empty()) found.members.front().insert(0, counted + (points.size() > 1 ? "s " : " "));
    }
    found.now = span_text(judgement_, points) + found.method;
    if (!before_) return found;
    const bool read_then = std::all_of(points.begin(), points.end(), [&](PointId point) {
      const PointState& then = before_->points[point];
      return then.status == PointState::Status::read && !then.assumed && same_method(then, judgement_.points[point]);
    });
    if (read_then) found.before = span_text(*before_, points);
    return found;
  }

  // The turn of a reading in the house's order; what has none comes last.
  int turn(ReadingId id) const {
    const TargetInfo* target = program_.target(program_.readings[id].first);
    return target == nullptr || target->phase < 0 ? static_cast<int>(program_.phases.size()) : target->phase;
  }

  void declined() {
    for (const JobId job : judgement_.declined) {
      const bool missed =
          std::any_of(plan_.left.begin(), plan_.left.end(), [&](const LeftAlone& left) { return left.job == job; });
      if (missed || judgement_.closed)
        out_.declined.push_back({program_.jobs[job].label, stays_without(program_, judgement_, job)});
    }
  }

  void come_back() {
    for (const ReadingInfo& reading : program_.readings) {
      const PointState& state = judgement_.points[reading.first];
      if (!reading.good_for || reading.count == 0 || !was_seen(state)) continue;
      const auto days = in_unit(reading.good_for->value, Unit::day);
      const auto until = days ? add_days(state.date, days->num() / days->den()) : std::nullopt;
      if (until) out_.good_until.emplace_back(owner_name(program_, program_.points[reading.first].reading), *until);
    }
    if (visit_.house == nullptr) return;
    const HouseTree& house = *visit_.house;
    if (house.handover.come_back) out_.come_back = add_days(out_.date, days_up(*house.handover.come_back));
    if (!house.paper.warranty || judgement_.done.empty()) return;
    out_.warranty_days = days_up(*house.paper.warranty);
    out_.warranty_until = add_days(out_.date, *out_.warranty_days);
  }

  void air() {
    for (const ReadingInfo& reading : program_.readings) {
      if (reading.type.dimension != dimension::humidity || reading.count != 1) continue;
      const PointState& state = judgement_.points[reading.first];
      if (state.status != PointState::Status::read || state.assumed || program_.target(reading.first) == nullptr)
        continue;
      out_.air = to_text(state.value);
      out_.air_wish = scene_.target_text(reading.first);
    }
  }

  void care() {
    const auto known = [](const std::string& text) {
      return text.find('?') == std::string::npos ? text : std::string();
    };
    out_.strings = known(gauges_of(program_));
    out_.tuning = known(pitches_of(program_));
    for (const JobId job : judgement_.done) {
      for (const TypedText& text : program_.jobs[job].aftercare) add_once(out_.aftercare, evaluator_.text(text));
    }
    if (visit_.house == nullptr) return;
    for (const Word& word : visit_.house->handover.care) add_once(out_.care, word.text);
  }

  const OpenVisit& visit_;
  const Program& program_;
  const Judgement& judgement_;
  const std::optional<Judgement>& before_;
  const Plan& plan_;
  Scene scene_;
  Evaluator evaluator_;
  Handover out_;
};

}  // namespace

Handover handover(const OpenVisit& visit, const std::optional<Judgement>& before, const Plan& plan, Date today) {
  return Making(visit, before, plan, today).run();
}

}  // namespace stringline
