#include "engine/estimate/owner_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/mentions.h"
#include "engine/judge/clean.h"
#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

void add_once(std::vector<std::string>& texts, std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
  if (!text.empty() && std::count(texts.begin(), texts.end(), text) == 0) texts.push_back(std::move(text));
}

bool is_out(Verdict verdict) { return verdict == Verdict::high || verdict == Verdict::low; }

// The places of a reading where a target is out, the farthest first.
std::vector<PointId> out_of(const Program& program, const Judgement& judgement, const std::vector<PointId>& points) {
  std::vector<PointId> out;
  for (const PointId point : points) {
    const int at = program.target_of[point];
    if (at >= 0 && is_out(judgement.targets[static_cast<std::size_t>(at)].verdict)) out.push_back(point);
  }
  const auto value = [&](PointId point) { return judgement.points[point].value.number.hi.value_or(Ratio(0)); };
  std::stable_sort(out.begin(), out.end(), [&](PointId a, PointId b) {
    const auto high = judgement.targets[static_cast<std::size_t>(program.target_of[a])].verdict == Verdict::high;
    return high ? value(a) > value(b) : value(a) < value(b);
  });
  return out;
}

std::string value_text(const Program& program, const Judgement& judgement, PointId point) {
  const PointState& state = judgement.points[point];
  if (state.contact) return "touching";
  const auto& lo = state.value.number.lo;
  return lo ? shown(program, judgement, point, *lo) : in_words(state.value);
}

// " on the bass side", " on string 5", " at fret 9"; empty where the reading has no members.
std::string place_of(const Program& program, PointId point) {
  std::string text;
  for (std::size_t axis = 0; axis < axis_count; ++axis) {
    const int at = program.points[point].at[axis];
    if (at < 0) continue;
    const std::string& name = program.axes[axis][static_cast<std::size_t>(at)].name;
    switch (static_cast<Axis>(axis)) {
      case Axis::side: text += fmt::format(" on the {} side", name); break;
      case Axis::string: text += " on string " + name; break;
      case Axis::fret: text += " at fret " + name; break;
      case Axis::pickup: text += fmt::format(" at the {} pickup", name); break;
    }
  }
  return text;
}

std::map<ReadingId, std::vector<PointId>> by_reading(const Program& program, const std::vector<PointId>& points) {
  std::map<ReadingId, std::vector<PointId>> groups;
  for (const PointId point : points) groups[program.points[point].reading].push_back(point);
  return groups;
}

// "3 to 8, 11"; 0 is the open string.
std::string frets_text(const std::set<int>& frets) {
  std::string out;
  for (auto at = frets.begin(); at != frets.end();) {
    int last = *at;
    const int first = last;
    for (++at; at != frets.end() && *at == last + 1; ++at) last = *at;
    out += fmt::format("{}{}", out.empty() ? "" : ", ", first == 0 ? std::string("open") : std::to_string(first));
    if (last > first) out += fmt::format(" to {}", last);
  }
  return out;
}

// The notes that stop on a later fret at the height aimed at, and how low the strings can go without and with the work.
void add_clean(const Program& program, const Judgement& judgement, std::vector<std::string>& stays) {
  for (const CleanSide& side : clean_sides(program, judgement)) {
    if (side.stopped.empty()) continue;
    std::set<int> frets;
    for (const model::StoppedNote& note : side.stopped) frets.insert(note.fretted);
    const auto height = [&](double mm) { return shown(program, judgement, side.point, model::exactly(mm)); };
    std::string text =
        fmt::format("with the {} strings at {}, notes at {} {} buzz or choke", member_of(program, side.point),
                    height(side.aim), frets.size() == 1 ? "fret" : "frets", frets_text(frets));
    if (side.lowest_now) text += fmt::format("; they ring clean from {} up", height(*side.lowest_now));
    if (side.lowest_now && side.lowest_levelled && *side.lowest_levelled < *side.lowest_now)
      text += fmt::format(", and with the work from {}", height(*side.lowest_levelled));
    add_once(stays, std::move(text));
  }
}

bool is_fret_work(const Program& program, const JobInfo& job) {
  if (job.moves == Control::fret_plane) return true;
  return std::any_of(job.sets.begin(), job.sets.end(), [&](const JobInfo::Set& set) {
    return !set.points.empty() && program.reading_of(set.points.front()).follows == "fret_plane";
  });
}

// "9 cents sharp".
std::string off_text(const Judgement& judgement, PointId point) {
  const Ratio value = judgement.points[point].value.number.lo.value_or(Ratio(0));
  return fmt::format("{} {}", to_text(value.negative() ? negate(value).value_or(value) : value, Unit::cents),
                     value.negative() ? "flat" : "sharp");
}

// Sharp and flat are words for a pitch that is wanted at 0; one that is wanted elsewhere keeps its number.
bool is_off_zero(const Program& program, const Judgement& judgement, PointId point) {
  if (program.reading_of(point).type.dimension != dimension::cents) return false;
  const int at = program.target_of[point];
  if (at < 0) return true;
  const TargetState& target = judgement.targets[static_cast<std::size_t>(at)];
  return (!target.lo || *target.lo <= Ratio(0)) && (!target.hi || *target.hi >= Ratio(0));
}

std::string owner_value(const Program& program, const Judgement& judgement, PointId point) {
  return is_off_zero(program, judgement, point) ? off_text(judgement, point) : value_text(program, judgement, point);
}

// A height or an octave that the job would bring to its aim keeps its error.
void add_unmoved(const Program& program, const Judgement& judgement, const JobInfo& job,
                 std::vector<std::string>& stays) {
  for (const JobInfo::Set& set : job.sets) {
    if (set.value) continue;
    for (const auto& [reading, points] : by_reading(program, out_of(program, judgement, set.points))) {
      const bool cents = program.readings[reading].type.dimension == dimension::cents;
      if (!cents && !program.readings[reading].gap) continue;
      std::vector<std::string> members;
      const Interval& first = judgement.points[points.front()].value.number;
      const auto same = [&](PointId point) { return judgement.points[point].value.number == first; };
      const bool one =
          points.size() == program.readings[reading].count && std::all_of(points.begin(), points.end(), same);
      for (const PointId point : points) {
        if (one && !members.empty()) break;
        members.push_back(owner_value(program, judgement, point) + (one ? "" : place_of(program, point)) +
                          method_note(program, judgement, point));
      }
      const bool octave = cents && program.readings[reading].axes == std::vector{Axis::string} &&
                          is_off_zero(program, judgement, points.front());
      const std::string what = octave ? "notes up the neck stay" : owner_name(program, reading) + " stays";
      add_once(stays, fmt::format("{} {}", what, fmt::join(members, ", ")));
    }
  }
}

std::vector<std::string> reasons_of_rules(const Program& program, const Judgement& judgement, JobId job) {
  const Scene scene(program, judgement);
  const Evaluator evaluator(program, scene);
  std::vector<std::string> reasons;
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    const RuleInfo& rule = program.rules[i];
    const auto names = [&](const std::vector<JobChoice>& choices) {
      return std::any_of(choices.begin(), choices.end(), [&](const JobChoice& choice) {
        if (const auto* leaf = std::get_if<std::optional<JobId>>(&choice.node)) return *leaf == job;
        const auto leaves = jobs_in(choice);
        return std::count(leaves.begin(), leaves.end(), job) > 0;
      });
    };
    if (!rule.because || judgement.rules[i].fired.empty() || (!names(rule.jobs) && !names(rule.offers))) continue;
    for (const Hand& hand : judgement.rules[i].fired) add_once(reasons, evaluator.text(*rule.because, hand));
  }
  return reasons;
}

}  // namespace

std::string owner_name(const Program& program, ReadingId id) {
  const ReadingInfo& reading = program.readings[id];
  if (!reading.for_owner.empty()) return reading.for_owner;
  if (!reading.of.empty()) return reading.of;
  if (!reading.gap) return plain_name(reading.name);
  const Gap& gap = *reading.gap;
  if (gap.held.size() > 1) return "the curve of the neck";
  if (gap.at.pickup) return "the strings' height over the pickup";
  if (gap.at.first || gap.at.fret == 1.0) return "the strings' height at the nut";
  return fmt::format("the strings' height at fret {:.0f}", gap.at.fret);
}

std::vector<std::string> why(const Program& program, const Judgement& judgement, const PlanLine& line) {
  const Scene scene(program, judgement);
  const JobInfo& job = program.jobs[*line.job];
  std::vector<std::string> reasons;
  if (job.for_owner) {
    add_once(reasons, Evaluator(program, scene).text(*job.for_owner));
    return reasons;
  }
  constexpr std::size_t most = 3;
  for (std::string& reason : reasons_of_rules(program, judgement, *line.job)) {
    if (reasons.size() < most) add_once(reasons, std::move(reason));
  }
  return reasons;
}

std::vector<std::string> measured(const Program& program, const Judgement& judgement, const PlanLine& line) {
  const Scene scene(program, judgement);
  std::vector<std::string> texts;
  for (const auto& [reading, points] : by_reading(program, out_of(program, judgement, line.points))) {
    const PointId worst = points.front();
    const auto same = [&](PointId point) {
      return owner_value(program, judgement, point) == owner_value(program, judgement, worst);
    };
    const bool cents = is_off_zero(program, judgement, worst);
    const int at = program.target_of[worst];
    const bool low = judgement.targets[static_cast<std::size_t>(at)].verdict == Verdict::low;
    const std::string most = std::all_of(points.begin(), points.end(), same) ? ""
                             : low && !cents                                 ? "down to "
                                                                             : "up to ";
    const std::string place = points.size() == 1 ? place_of(program, worst) : "";
    add_once(texts, fmt::format("{}: {}{}{}{}; right is {}", owner_name(program, reading), most,
                                owner_value(program, judgement, worst), place, method_note(program, judgement, worst),
                                wanted_text(program, judgement, worst)));
  }
  return texts;
}

std::vector<std::string> stays_without(const Program& program, const Judgement& judgement, JobId id) {
  const JobInfo& job = program.jobs[id];
  const Scene scene(program, judgement);
  std::vector<std::string> stays;
  if (job.if_left) add_once(stays, Evaluator(program, scene).text(*job.if_left));
  if (is_fret_work(program, job)) add_clean(program, judgement, stays);
  add_unmoved(program, judgement, job, stays);
  return stays;
}

namespace {

// The rules that call or offer a job, each once for every member it fired at.
std::vector<std::size_t> callers(const Program& program, const Judgement& judgement, JobId job) {
  const Scene scene(program, judgement);
  const Evaluator evaluator(program, scene);
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    const RuleInfo& rule = program.rules[i];
    for (const Hand& hand : judgement.rules[i].fired) {
      const auto is_it = [&](const JobChoice& choice) {
        if (const auto* leaf = std::get_if<std::optional<JobId>>(&choice.node)) return *leaf == job;
        const auto rows = evaluator.possible(choice, hand);
        return rows.leaves.size() == 1 && *rows.leaves.front() == job;
      };
      if (std::any_of(rule.jobs.begin(), rule.jobs.end(), is_it) ||
          std::any_of(rule.offers.begin(), rule.offers.end(), is_it))
        found.push_back(i);
    }
  }
  return found;
}

}  // namespace

int calls(const Program& program, const Judgement& judgement, JobId job) {
  return static_cast<int>(callers(program, judgement, job).size());
}

std::vector<Axis> called_over(const Program& program, const Judgement& judgement, JobId job) {
  std::vector<Axis> axes;
  for (const std::size_t rule : callers(program, judgement, job)) {
    if (program.rules[rule].over) axes.push_back(*program.rules[rule].over);
  }
  return axes;
}

Said said_before(const Program& program, const Judgement& judgement) {
  const Scene scene(program, judgement);
  const Evaluator evaluator(program, scene);
  Said said;
  const auto tell = [&](const std::optional<TypedText>& text, const Hand& hand = empty_hand) {
    if (text) add_once(said.told, evaluator.text(*text, hand));
  };
  for (std::size_t i = 0; i < program.stops.size(); ++i) {
    const StopInfo& stop = program.stops[i];
    if (judgement.stops[i].truth != Truth::yes) continue;
    tell(stop.for_owner ? stop.for_owner : stop.say);
    if (stop.refer) add_once(said.refer, evaluator.text(*stop.refer));
  }
  for (std::size_t i = 0; i < program.gates.size(); ++i) {
    const GateInfo& gate = program.gates[i];
    const TruthState& state = judgement.gates[i];
    if (state.truth != Truth::no || (gate.holds_visit && state.by_job)) continue;
    tell(gate.for_owner || !gate.holds_visit ? gate.for_owner : gate.say);
  }
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    const RuleInfo& rule = program.rules[i];
    for (const Hand& hand : judgement.rules[i].fired) {
      tell(rule.for_owner, hand);
      if (rule.choose.empty()) continue;
      OwnerChoice choice{rule.for_owner ? evaluator.text(*rule.for_owner, hand) : "please choose", {}};
      for (const TypedText& way : rule.choose) choice.ways.push_back(evaluator.text(way));
      while (!choice.told.empty() && (choice.told.back() == '\n' || choice.told.back() == ' ')) choice.told.pop_back();
      add_once(said.told, choice.told);
      said.choices.push_back(std::move(choice));
    }
  }
  return said;
}

}  // namespace stringline
