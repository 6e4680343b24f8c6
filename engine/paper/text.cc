#include "engine/paper/text.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/diag/render.h"

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
    out += out.empty() ? ": " : ", ";
    out += members.empty() ? text : fmt::format("{} {}", fmt::join(members, " and "), text);
  }
  return out;
}

std::string minutes_text(const JobInfo& job) {
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

// One job: what and how much, because, why here, steps, time, who pays, cautions.
void job_lines(const Program& program, const Evaluator& evaluator, const PlanLine& line, int number, bool ended_early,
               std::string& out) {
  const JobInfo& job = program.jobs[*line.job];
  const std::string head = line.form == PlanLine::Form::offer ? "offered: " : "";
  out += fmt::format("{:3}. {}{}{}\n", number, head, job.label, amounts_text(line.amounts));
  for (const std::string& because : line.because) out += fmt::format("     because {}\n", because);
  if (!line.why_here.empty()) out += fmt::format("     here    {}\n", line.why_here);
  for (const TypedText& step : job.steps) out += fmt::format("     - {}\n", evaluator.text(step));
  const std::string minutes = minutes_text(job);
  const bool covered = job.covered && !ended_early;  // a list that ends early is no set-up
  const std::string paid = covered              ? "in the " + program.package
                           : line.waits_for_yes ? "NEEDS A YES"
                           : ended_early        ? "not a set-up"
                                                : "extra";
  out += fmt::format("     {}{}{}\n", minutes, minutes.empty() ? "" : "; ", paid);
  for (const TypedText& caution : job.cautions) out += fmt::format("     ! {}\n", evaluator.text(caution));
}

void reading_lines(const Program& program, const PlanLine& line, int number, std::string& out) {
  out +=
      fmt::format("{:3}. read {}{}", number,
                  line.form == PlanLine::Form::read_again ? "again: " : "first: ", name_points(program, line.points));
  if (line.if_low && line.if_low == line.if_high) {
    out += fmt::format("; if out: {}", program.jobs[*line.if_low].label);
  } else {
    if (line.if_low) out += fmt::format("; if low: {}", program.jobs[*line.if_low].label);
    if (line.if_high) out += fmt::format("; if high: {}", program.jobs[*line.if_high].label);
  }
  out += "\n";
  for (const std::string& because : line.because) out += fmt::format("     because {}\n", because);
}

}  // namespace

std::string work_text(const Program& program, const Judgement& judgement, const Plan& plan, const std::string& title) {
  const Scene scene(program, judgement);
  const Evaluator evaluator(program, scene);
  std::string out = fmt::format("{}\n{}, by the specs of {}\n", title, program.label, program.house);
  for (const std::string& told : plan.told) out += fmt::format("\n  NOTE {}\n", told);
  if (plan.ended_early) out += "\n  The list ends here until that is settled.\n";
  out += "\n";
  if (plan.lines.empty()) out += "  nothing to do: everything that was read is within the house's specs\n";
  int number = 0;
  for (const PlanLine& line : plan.lines) {
    ++number;
    const bool reading = line.form == PlanLine::Form::read_again || line.form == PlanLine::Form::read_first;
    if (reading)
      reading_lines(program, line, number, out);
    else
      job_lines(program, evaluator, line, number, plan.ended_early, out);
  }
  if (!plan.charge.empty()) out += fmt::format("\n  due meanwhile: {}\n", plan.charge);
  if (!plan.left.empty()) out += "\nleft alone\n";
  for (const LeftAlone& left : plan.left) out += fmt::format("  {}: {}\n", left.what, left.why);
  std::string assumed;
  for (PointId point = 0; point < program.points.size(); ++point) {
    const PointState& state = judgement.points[point];
    const ReadingInfo& reading = program.reading_of(point);
    if (!state.assumed || point != reading.first) continue;
    assumed += fmt::format("{}{} {}", assumed.empty() ? "" : ", ", name_reading(reading), to_text(state.value));
  }
  if (!assumed.empty()) out += fmt::format("\nassumed, not written: {}\n", assumed);
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
