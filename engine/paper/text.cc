#include "engine/paper/text.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/diag/render.h"
#include "engine/paper/lines.h"
#include "engine/paper/parts.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// One job: what and how much, because, why here, what to expect and to read again, steps, time, who pays, cautions.
void job_lines(const Program& program, const Judgement& judgement, const PlanLine& line, int number, bool ended_early,
               std::string& out) {
  const Scene scene(program, judgement);
  const Evaluator evaluator(program, scene);
  const JobInfo& job = program.jobs[*line.job];
  const std::string amounts = amounts_text(program, line.amounts);
  numbered(out, number,
           fmt::format("{}{}{}{}{}", line.form == PlanLine::Form::offer ? "offered: " : "", job.label,
                       job.label == job.name ? "" : " (" + job.name + ")", amounts.empty() ? "" : ": ", amounts));
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

void reading_lines(const Program& program, const Judgement& judgement, const PlanLine& line, int number,
                   const std::vector<std::string>& reasons, std::string& out) {
  const bool never = judgement.points[line.points.front()].status == PointState::Status::not_read;
  const char* how = line.form == PlanLine::Form::read_first ? " first" : never ? "" : " again";
  std::vector<std::string> parts = follow_texts(program, line);
  parts.insert(parts.begin(), fmt::format("read{}: {}", how, name_points(program, line.points)));
  numbered(out, number, fmt::format("{}", fmt::join(parts, "; ")));
  for (const std::string& because : reasons) entry(out, "because", because);
  for (const std::string& warning : line.warnings) entry(out, "mind", warning);
  if (!line.expected.empty()) entry(out, "expect", expected_text(program, judgement, line.expected));
  if (!line.amounts.empty()) entry(out, "then", amounts_text(program, line.amounts) + ", if it reads as expected");
}

}  // namespace

std::string lines_text(const Program& program, const Judgement& judgement, const Plan& plan) {
  std::string out;
  int number = 0;
  const auto reasons = reading_reasons(plan);
  for (const PlanLine& line : plan.lines) {
    ++number;
    const bool reading = line.form == PlanLine::Form::read_again || line.form == PlanLine::Form::read_first;
    if (reading)
      reading_lines(program, judgement, line, number, reasons[static_cast<std::size_t>(number - 1)], out);
    else
      job_lines(program, judgement, line, number, plan.ended_early, out);
  }
  return printable(out);
}

std::string work_text(const Program& program, const Judgement& judgement, const Plan& plan, const std::string& title,
                      const std::string& sound) {
  const std::string by = program.house.empty() ? "the profile alone" : "the specs of " + program.house;
  std::string out = fmt::format("{}\n{}, by {}\n", folded(title), folded(program.label), folded(by));
  if (!plan.told.empty()) out += "\n";
  for (const std::string& told : plan.told) entry(out, "NOTE", told);
  if (plan.ended_early) out += "\n  The list ends here until that is settled.\n";
  out += "\n";
  if (plan.lines.empty() && !judgement.closed) out += fmt::format("  {}\n", no_work_text(program, judgement, plan));
  out += lines_text(program, judgement, plan);
  for (const Conflict& conflict : plan.conflicts) entry(out, "CONFLICT", conflict.why);
  if (!plan.charge.empty()) out += fmt::format("\n  due meanwhile: {}\n", folded(fee_text(program, plan.charge)));
  if (!plan.left.empty()) out += "\nleft alone\n";
  for (const LeftAlone& left : plan.left) {
    out += fmt::format("  {}\n", folded(left.what));
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
  for (const CleanSide& side : sides) {
    if (side.stopped.empty()) continue;
    out += out.empty() ? "\nfrets and action\n" : "";
    out += fmt::format("  {}\n", side_text(program, judgement, side));
    entry(out, "", stops_text(side));
    entry(out, "", lowest_text(program, judgement, side));
  }
  return printable(out);
}

std::string chords_text(const Program& program, const std::vector<SourChord>& chords) {
  std::string out;
  std::set<std::string> taken;
  bool explained = false;
  const auto signed_cents = [](double cents) { return fmt::format("{:+.1f}", cents); };
  for (const SourChord& chord : chords) {
    out += out.empty() ? "\nthe player's chords\n" : "";
    if (!chord.missing.empty()) {
      out += fmt::format("  {}: not known without {}\n", chord.written, fmt::join(chord.missing, ", "));
      continue;
    }
    out += fmt::format("  {}: {}\n", chord.written, spread_text(chord));
    if (!chord.heard) continue;
    explained = true;
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
  if (explained) entry(out, "", "what is named after \"of it\" goes with a set-up to the house's aims");
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
