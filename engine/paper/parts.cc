// See parts.h.
#include "engine/paper/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/members.h"
#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

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

// While nobody wrote the strings, the thicker half is taken as wound. That is told where a target that was judged has another
// key on the last string before the half than on the first behind it.
std::string guessed_strings(const Program& program, const Judgement& judgement) {
  const auto plain = members_named(program, Axis::string, "plain");
  const auto wound = members_named(program, Axis::string, "wound");
  if (!plain || !wound || plain->first.empty() || wound->first.empty() || program.strings.front().gauge) return "";
  const auto target_at = [&](PointId point) { return program.target_of[point]; };
  for (const ReadingInfo& reading : program.readings) {
    if (reading.axes != std::vector{Axis::string}) continue;
    const int before = target_at(reading.first + plain->first.back());
    const int behind = target_at(reading.first + wound->first.front());
    if (before < 0 || behind < 0) continue;
    const bool one_key = program.targets[static_cast<std::size_t>(before)].span ==
                         program.targets[static_cast<std::size_t>(behind)].span;
    for (PointId point = reading.first; !one_key && point < reading.first + reading.count; ++point) {
      const Verdict verdict = judgement.targets[static_cast<std::size_t>(target_at(point))].verdict;
      if (verdict != Verdict::within && verdict != Verdict::high && verdict != Verdict::low) continue;
      return fmt::format("strings 1 to {} plain, {} to {} wound: no strings are written", plain->first.size(),
                         plain->first.size() + 1, program.strings.size());
    }
  }
  return "";
}

}  // namespace

std::vector<AmountGroup> amount_groups(const Program& program, const std::vector<Amount>& amounts) {
  std::vector<AmountGroup> groups;
  for (std::size_t i = 0; i < amounts.size();) {
    std::vector<PointId> points;
    const std::string& text = amounts[i].text;
    for (; i < amounts.size() && amounts[i].text == text; ++i) points.push_back(amounts[i].point);
    groups.push_back({text, amounts[i - 1].member.empty() ? "" : name_members(program, points)});
  }
  return groups;
}

std::string amounts_text(const Program& program, const std::vector<Amount>& amounts) {
  std::string out;
  for (const auto& [text, members] : amount_groups(program, amounts)) {
    out += fmt::format("{}{}", out.empty() ? "" : ", ", text);
    if (!members.empty()) out += " at " + members;
  }
  return out;
}

namespace {

bool is_asked_for(const Program& program, const Judgement& judgement, PointId point, model::Range value) {
  const TargetInfo* target = program.target(point);
  if (target == nullptr || !target->want || target->want->form != Want::Form::aim) return false;
  const auto& aim = judgement.targets[static_cast<std::size_t>(program.target_of[point])].aim;
  return aim &&
         shown(program, judgement, point, value) == shown(program, judgement, point, model::exactly(aim->to_double()));
}

}  // namespace

std::string expected_text(const Program& program, const Judgement& judgement, const std::vector<Predicted>& expected) {
  std::map<ReadingId, std::vector<Predicted>> groups;
  for (const Predicted& each : expected) groups[program.points[each.point].reading].push_back(each);
  std::string out;
  const auto add = [&](const std::vector<PointId>& points, model::Range value, std::optional<Verdict> verdict) {
    out += fmt::format("{}{} {}", out.empty() ? "" : "; ", name_points(program, points),
                       shown(program, judgement, points.front(), value) + stated_by(program, points.front()));
    if (!verdict) return;
    out += fmt::format(", {}", to_text(*verdict));
    if (*verdict != Verdict::within && is_asked_for(program, judgement, points.front(), value))
      out += ", as the player asks";
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
  if (!job.wait) return out;
  const auto& [least, most] = *job.wait;
  const std::string from = least.value == most.value ? "" : to_text(least.value, least.unit) + " to ";
  return out + fmt::format("{}wait {}{}", out.empty() ? "" : ", ", from, to_text(most.value, most.unit));
}

std::string paid_text(const Program& program, const Judgement& judgement, const PlanLine& line, bool ended_early) {
  const JobInfo& job = program.jobs[*line.job];
  const bool asked = std::count(judgement.asked.begin(), judgement.asked.end(), *line.job) > 0;
  if (line.waits_for_yes) return asked ? "asked, waiting for the owner's YES" : "NEEDS A YES from the owner";
  if (ended_early) return program.package.empty() ? "" : "not in the " + program.package;
  if (program.package.empty()) return "";
  return job.covered ? "in the " + program.package : "extra";
}

namespace {

std::string labels_text(const Program& program, const std::vector<JobId>& jobs) {
  std::string out;
  for (const JobId job : jobs) {
    const JobInfo& info = program.jobs[job];
    out += fmt::format("{}{}", out.empty() ? "" : ", or ", info.label);
  }
  return out;
}

std::string answer_text(const Program& program, const Branch& branch) {
  if (branch.job) {
    const std::string& label = program.jobs[*branch.job].label;
    if (branch.declined) return fmt::format("left, the owner said no to '{}'", label);
    return branch.needs_yes ? fmt::format("{}, with a yes from the owner", label) : label;
  }
  if (branch.may.empty()) return "no job of this house answers it";
  const bool asks =
      std::any_of(branch.may.begin(), branch.may.end(), [&](JobId job) { return program.jobs[job].needs_yes; });
  return fmt::format("it may call for: {}{}", labels_text(program, branch.may),
                     asks ? ", with a yes from the owner" : "");
}

}  // namespace

std::vector<std::string> follow_texts(const Program& program, const PlanLine& line) {
  if (!line.may_follow.empty()) return {"it may call for: " + labels_text(program, line.may_follow)};
  std::vector<std::string> texts;
  for (const Branch& branch : line.branches) texts.push_back(answer_text(program, branch));
  if (texts.size() == 2 && texts[0] == texts[1]) return {"if out: " + texts[0]};
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const Branch& branch = line.branches[i];
    texts[i] = fmt::format("if {}{}: {}", to_text(branch.verdict), branch.likely ? ", as is likely" : "", texts[i]);
  }
  return texts;
}

std::string fee_text(const Program& program, const std::string& fee) {
  const auto found = program.money.labels.find(fee);
  return found == program.money.labels.end() ? plain_name(fee) : found->second;
}

std::string spread_text(const SourChord& chord) {
  return fmt::format("{:.1f} cents between its sharpest and its flattest note{}", chord.spread,
                     chord.heard ? "" : ", which nobody hears");
}

std::vector<std::vector<std::string>> reading_reasons(const Plan& plan) {
  std::vector<std::vector<std::string>> reasons(plan.lines.size());
  std::map<std::vector<std::string>, std::size_t> said;
  for (std::size_t i = 0; i < plan.lines.size(); ++i) {
    const PlanLine& line = plan.lines[i];
    if (line.job || line.because.empty()) continue;
    const auto [first, fresh] = said.emplace(line.because, i + 1);
    reasons[i] = fresh ? line.because : std::vector{fmt::format("as for line {}", first->second)};
  }
  return reasons;
}

std::string no_work_text(const Program& program, const Judgement& judgement, const Plan& plan) {
  if (plan.ended_early) return "nothing is planned while it is stopped";
  std::vector<PointId> out;
  bool as_asked = false;
  for (std::size_t i = 0; i < program.targets.size(); ++i) {
    const Verdict verdict = judgement.targets[i].verdict;
    const bool is_out = verdict == Verdict::high || verdict == Verdict::low;
    const bool asked = is_out && is_as_asked(program, judgement, i);
    as_asked = as_asked || asked;
    if ((is_out && !asked) || verdict == Verdict::too_close) out.push_back(program.targets[i].point);
  }
  if (out.empty())
    return std::string("nothing to do: everything that was read is within the house's specs") +
           (as_asked ? ", or as the player asks" : "");
  if (!plan.left.empty() || !plan.conflicts.empty()) return "nothing is planned, for the reasons below";
  return fmt::format("nothing is planned: no job of this profile answers {}", name_points(program, out));
}

std::string assumed_text(const Program& program, const Judgement& judgement) {
  std::map<std::string, std::vector<std::string>> groups;
  for (PointId point = 0; point < program.points.size(); ++point) {
    const PointState& state = judgement.points[point];
    const ReadingInfo& reading = program.reading_of(point);
    if (state.assumed && point == reading.first) groups[in_words(state.value)].push_back(plain_name(reading.name));
  }
  std::string out;
  for (const auto& [value, names] : groups)
    out += fmt::format("{}{}: {}", out.empty() ? "" : "; ", value, fmt::join(names, ", "));
  const std::string strings = guessed_strings(program, judgement);
  return out + (out.empty() || strings.empty() ? "" : "; ") + strings;
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
