// See parts.h.
#include "engine/paper/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/plan/words.h"

namespace stringline {
namespace {

std::string name_reading(const ReadingInfo& reading) {
  std::string name = reading.name;
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

// "3 to 8, 11"; 0 is the open string.
std::string frets_text(const std::vector<model::StoppedNote>& notes) {
  std::string out;
  for (std::size_t i = 0; i < notes.size();) {
    std::size_t last = i;
    while (last + 1 < notes.size() && notes[last + 1].fretted == notes[last].fretted + 1) ++last;
    out += fmt::format("{}{}", out.empty() ? "" : ", ", notes[i].fretted);
    if (last > i) out += fmt::format(" to {}", notes[last].fretted);
    i = last + 1;
  }
  return out;
}

}  // namespace

std::vector<AmountGroup> amount_groups(const std::vector<Amount>& amounts) {
  std::vector<AmountGroup> groups;
  for (const Amount& amount : amounts) {
    if (groups.empty() || groups.back().text != amount.text) groups.push_back({amount.text, {}});
    if (!amount.member.empty()) groups.back().members.push_back(amount.member);
  }
  return groups;
}

std::string amounts_text(const std::vector<Amount>& amounts) {
  std::string out;
  for (const auto& [text, members] : amount_groups(amounts)) {
    out += out.empty() ? "" : ", ";
    out += members.empty() ? text : fmt::format("{} {}", fmt::join(members, ", "), text);
  }
  return out;
}

std::string expected_text(const Program& program, const Judgement& judgement, const std::vector<Predicted>& expected) {
  std::map<ReadingId, std::vector<Predicted>> groups;
  for (const Predicted& each : expected) groups[program.points[each.point].reading].push_back(each);
  std::string out;
  const auto add = [&](const std::vector<PointId>& points, model::Range value, std::optional<Verdict> verdict) {
    out += fmt::format("{}{} {}{}", out.empty() ? "" : "; ", name_points(program, points),
                       shown(program, judgement, points.front(), value),
                       verdict ? fmt::format(", {}", to_text(*verdict)) : "");
  };
  for (const auto& [reading, members] : groups) {
    std::vector<PointId> points;
    model::Range span = members.front().value;
    bool agree = true;
    for (const Predicted& each : members) {
      points.push_back(each.point);
      span = model::hull(span, each.value);
      agree = agree && each.verdict == members.front().verdict;
    }
    if (members.size() > 2)
      add(points, span, agree ? members.front().verdict : std::nullopt);
    else
      for (const Predicted& each : members) add({each.point}, each.value, each.verdict);
  }
  return out;
}

std::string time_text(const JobInfo& job) {
  std::string out;
  if (job.minutes) out += fmt::format("{} min at the bench", to_decimal(job.minutes->value));
  if (job.wait)
    out += fmt::format("{}wait {}", out.empty() ? "" : ", ", to_text(job.wait->second.value, job.wait->second.unit));
  return out;
}

std::string paid_text(const Program& program, const Judgement& judgement, const PlanLine& line, bool ended_early) {
  const JobInfo& job = program.jobs[*line.job];
  const bool asked = std::count(judgement.asked.begin(), judgement.asked.end(), *line.job) > 0;
  if (line.waits_for_yes) return asked ? "asked, waiting for the owner's YES" : "NEEDS A YES from the owner";
  if (ended_early) return "not a set-up";
  if (program.package.empty()) return "";
  return job.covered ? "in the " + program.package : "extra";
}

std::string follow_text(const Program& program, const PlanLine& line) {
  const auto job = [&](JobId id) { return program.jobs[id].label; };
  if (!line.may_follow.empty()) {
    std::vector<std::string> labels;
    for (const JobId id : line.may_follow) labels.push_back(job(id));
    return fmt::format("; it may call for: {}", fmt::join(labels, ", or "));
  }
  if (line.if_low && line.if_low == line.if_high) return fmt::format("; if out: {}", job(*line.if_low));
  return (line.if_low ? fmt::format("; if low: {}", job(*line.if_low)) : "") +
         (line.if_high ? fmt::format("; if high: {}", job(*line.if_high)) : "");
}

std::string assumed_text(const Program& program, const Judgement& judgement) {
  std::map<std::string, std::vector<std::string>> groups;
  for (PointId point = 0; point < program.points.size(); ++point) {
    const PointState& state = judgement.points[point];
    const ReadingInfo& reading = program.reading_of(point);
    if (state.assumed && point == reading.first) groups[to_text(state.value)].push_back(name_reading(reading));
  }
  std::string out;
  for (const auto& [value, names] : groups)
    out += fmt::format("{}{}: {}", out.empty() ? "" : "; ", value, fmt::join(names, ", "));
  return out;
}

std::string side_text(const Program& program, const Judgement& judgement, const CleanSide& side) {
  const std::string aim = shown(program, judgement, side.point, model::exactly(side.aim));
  return fmt::format("{} at {}", name_points(program, {side.point}), aim);
}

std::string stops_text(const CleanSide& side) {
  std::set<int> over;
  for (const model::StoppedNote& note : side.stopped) over.insert(note.stopped_at);
  return fmt::format("notes at {} {} touch fret {}", side.stopped.size() == 1 ? "fret" : "frets",
                     frets_text(side.stopped), fmt::join(over, ", "));
}

std::string lowest_text(const Program& program, const Judgement& judgement, const CleanSide& side) {
  const auto lowest = [&](const std::optional<double>& action) {
    return action ? shown(program, judgement, side.point, model::exactly(*action))
                  : std::string("none, the neck or the nut forbids it");
  };
  return fmt::format("lowest clean action as the frets are: {}; after a level: {}", lowest(side.lowest_now),
                     lowest(side.lowest_levelled));
}

}  // namespace stringline
