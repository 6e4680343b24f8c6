#include "engine/paper/text.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/diag/render.h"
#include "engine/paper/lines.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Members with the same amount are named together.
std::string amounts_text(const std::vector<Amount>& amounts) {
  std::vector<std::pair<std::string, std::vector<std::string>>> groups;
  for (const Amount& amount : amounts) {
    if (groups.empty() || groups.back().first != amount.text) groups.push_back({amount.text, {}});
    if (!amount.member.empty()) groups.back().second.push_back(amount.member);
  }
  std::string out;
  for (const auto& [text, members] : groups) {
    out += out.empty() ? "" : ", ";
    out += members.empty() ? text : fmt::format("{} {}", fmt::join(members, ", "), text);
  }
  return out;
}

// "action (bass) 1.44 to 1.84 mm, within": members of a reading with more than two of them as one span.
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

std::string name_reading(const ReadingInfo& reading) {
  std::string name = reading.name;
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

std::string paid_text(const Program& program, const Judgement& judgement, const PlanLine& line, bool ended_early) {
  const JobInfo& job = program.jobs[*line.job];
  const bool asked = std::count(judgement.asked.begin(), judgement.asked.end(), *line.job) > 0;
  if (line.waits_for_yes) return asked ? "asked, waiting for the owner's YES" : "NEEDS A YES from the owner";
  if (ended_early) return "not a set-up";
  if (program.package.empty()) return "";
  return job.covered ? "in the " + program.package : "extra";
}

// One job: what and how much, because, why here, what to expect and to read again, steps, time, who pays, cautions.
void job_lines(const Program& program, const Judgement& judgement, const PlanLine& line, int number, bool ended_early,
               std::string& out) {
  const Scene scene(program, judgement);
  const Evaluator evaluator(program, scene);
  const JobInfo& job = program.jobs[*line.job];
  const std::string amounts = amounts_text(line.amounts);
  out += fmt::format("{:3}. {}{}{}{}\n", number, line.form == PlanLine::Form::offer ? "offered: " : "", job.label,
                     amounts.empty() ? "" : ": ", amounts);
  for (const std::string& because : line.because) entry(out, "because", because);
  if (!line.why_here.empty()) entry(out, "here", line.why_here);
  for (const std::string& warning : line.warnings) entry(out, "mind", warning);
  std::vector<std::string> steps;
  for (const TypedText& step : job.steps) steps.push_back(evaluator.text(step));
  if (!steps.empty()) entry(out, "how", fmt::format("{}", fmt::join(steps, "; ")));
  if (!line.expected.empty()) entry(out, "expect", expected_text(program, judgement, line.expected));
  if (!line.read_after.empty()) entry(out, "then", "read again: " + name_readings(program, line.read_after));
  const std::string time = time_text(job);
  const std::string paid = paid_text(program, judgement, line, ended_early);
  const std::string both = time + (time.empty() || paid.empty() ? "" : "; ") + paid;
  if (!both.empty()) entry(out, "time", both);
  for (const TypedText& caution : job.cautions) entry(out, "careful", evaluator.text(caution));
}

std::string follow_text(const Program& program, const PlanLine& line) {
  const auto job = [&](JobId id) { return program.jobs[id].label; };
  if (line.if_low && line.if_low == line.if_high) return fmt::format("; if out: {}", job(*line.if_low));
  return (line.if_low ? fmt::format("; if low: {}", job(*line.if_low)) : "") +
         (line.if_high ? fmt::format("; if high: {}", job(*line.if_high)) : "");
}

void reading_lines(const Program& program, const Judgement& judgement, const PlanLine& line, int number,
                   std::string& out) {
  const bool never = judgement.points[line.points.front()].status == PointState::Status::not_read;
  const char* how = line.form == PlanLine::Form::read_first ? " first" : never ? "" : " again";
  out +=
      fmt::format("{:3}. read{}: {}{}\n", number, how, name_points(program, line.points), follow_text(program, line));
  for (const std::string& because : line.because) entry(out, "because", because);
  for (const std::string& warning : line.warnings) entry(out, "mind", warning);
  if (!line.expected.empty()) entry(out, "expect", expected_text(program, judgement, line.expected));
  if (!line.amounts.empty()) entry(out, "then", amounts_text(line.amounts) + ", if it reads as expected");
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

// Assumptions with the same value stand together: "0 mm: backbow, rocker".
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

}  // namespace

std::string lines_text(const Program& program, const Judgement& judgement, const Plan& plan) {
  std::string out;
  int number = 0;
  for (const PlanLine& line : plan.lines) {
    ++number;
    const bool reading = line.form == PlanLine::Form::read_again || line.form == PlanLine::Form::read_first;
    if (reading)
      reading_lines(program, judgement, line, number, out);
    else
      job_lines(program, judgement, line, number, plan.ended_early, out);
  }
  return printable(out);
}

std::string work_text(const Program& program, const Judgement& judgement, const Plan& plan, const std::string& title,
                      const std::string& sound) {
  std::string out = fmt::format("{}\n{}, by the specs of {}\n", title, program.label, program.house);
  if (!plan.told.empty()) out += "\n";
  for (const std::string& told : plan.told) entry(out, "NOTE", told);
  if (plan.ended_early) out += "\n  The list ends here until that is settled.\n";
  out += "\n";
  if (plan.lines.empty() && !judgement.closed)
    out += "  nothing to do: everything that was read is within the house's specs\n";
  out += lines_text(program, judgement, plan);
  for (const Conflict& conflict : plan.conflicts) entry(out, "CONFLICT", conflict.why);
  if (!plan.charge.empty()) out += fmt::format("\n  due meanwhile: {}\n", plan.charge);
  if (!plan.left.empty()) out += "\nleft alone\n";
  for (const LeftAlone& left : plan.left) {
    out += fmt::format("  {}\n", left.what);
    entry(out, "because", left.why);
  }
  out += sound;
  const std::string assumed = assumed_text(program, judgement);
  if (!assumed.empty()) {
    out += "\nassumed, not written\n";
    entry(out, "", assumed);
  }
  return printable(out);
}

// What the frets as they are do to the action that is aimed at.
std::string clean_text(const Program& program, const Judgement& judgement, const std::vector<CleanSide>& sides) {
  std::string out;
  const auto mm = [&](PointId point, double value) { return shown(program, judgement, point, model::exactly(value)); };
  for (const CleanSide& side : sides) {
    if (side.stopped.empty()) continue;
    out += out.empty() ? "\nfrets and action\n" : "";
    std::set<int> over;
    for (const model::StoppedNote& note : side.stopped) over.insert(note.stopped_at);
    out += fmt::format("  {} at {}\n", name_points(program, {side.point}), mm(side.point, side.aim));
    entry(out, "",
          fmt::format("notes at {} {} touch fret {}", side.stopped.size() == 1 ? "fret" : "frets",
                      frets_text(side.stopped), fmt::join(over, ", ")));
    const auto lowest = [&](const std::optional<double>& action) {
      return action ? mm(side.point, *action) : std::string("none, the neck or the nut forbids it");
    };
    entry(out, "",
          fmt::format("lowest clean action as the frets are: {}; after a level: {}", lowest(side.lowest_now),
                      lowest(side.lowest_levelled)));
  }
  return printable(out);
}

std::string chords_text(const Program& program, const std::vector<SourChord>& chords) {
  std::string out;
  std::set<std::string> taken;
  const auto signed_cents = [](double cents) { return fmt::format("{:+.1f}", cents); };
  for (const SourChord& chord : chords) {
    out += out.empty() ? "\nthe player's chords\n" : "";
    if (!chord.missing.empty()) {
      out += fmt::format("  {}: not known without {}\n", chord.written, fmt::join(chord.missing, ", "));
      continue;
    }
    out += fmt::format("  {}: {:.1f} cents between its sharpest and its flattest note\n", chord.written, chord.spread);
    for (const SourNote& note : chord.notes) {
      std::string causes;
      for (const SourCause& cause : note.causes)
        causes += fmt::format("{}{} {}", causes.empty() ? "" : ", ", cause.what, signed_cents(cause.cents));
      const auto& member = program.axes[static_cast<std::size_t>(Axis::string)][static_cast<std::size_t>(note.string)];
      out += fmt::format("     string {} at fret {}: {} cents{}\n", member.name, note.fret, signed_cents(note.cents),
                         causes.empty() ? "" : "; of it " + causes);
    }
    for (const std::string& assumed : chord.assumed) taken.insert(assumed);
  }
  if (!out.empty()) entry(out, "", "what is named after \"of it\" goes with a set-up to the house's aims");
  for (const std::string& assumed : taken) entry(out, "", "taken for this: " + assumed);
  return printable(out);
}

std::string ledger_text(const Program& program, const Judgement& judgement) {
  static constexpr const char* names[] = {"fired", "clear", "unknown", "not applicable", "error"};
  std::string out = fmt::format("\nrules: {}", program.rules.size());
  for (std::size_t i = 0; i < judgement.ledger.size(); ++i)
    out += fmt::format(", {} {}", names[i], judgement.ledger[i]);
  out += "\n";
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    const RuleOutcome& outcome = judgement.rules[i];
    out += fmt::format("  {}: {}", program.rules[i].name, names[static_cast<std::size_t>(outcome.state)]);
    std::vector<PointId> points;
    for (const Need& need : outcome.needs) {
      if (!need.fact) points.push_back(need.id);
    }
    if (!points.empty()) out += fmt::format("; needs {}", name_points(program, points));
    if (outcome.failure) out += fmt::format("; {}", outcome.failure->message);
    out += "\n";
  }
  return printable(out);
}

}  // namespace stringline
