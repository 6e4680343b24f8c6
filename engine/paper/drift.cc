#include "engine/paper/drift.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/diag/render.h"
#include "engine/paper/drift_parts.h"
#include "engine/paper/lines.h"

namespace stringline {
namespace {

constexpr std::size_t visits_a_block = 6;  // of a history; more would not fit a terminal's width
constexpr std::size_t visit_width = 16;

// Readings and reasons stand without a head on a terminal.
void section_text(std::string& out, const DriftSection& section) {
  std::vector<std::vector<std::string>> lines{section.heads};
  for (std::string& head : lines.front()) {
    if (head == "reading" || head == "why") head.clear();
  }
  lines.insert(lines.end(), section.rows.begin(), section.rows.end());
  out += fmt::format("\n{}\n", section.title);
  table(out, lines, 2);
}

void work_done_text(std::string& out, const std::vector<WorkDone>& work, const char* title, const char* none) {
  out += fmt::format("\n{}\n", title);
  if (work.empty()) out += fmt::format("  {}\n", none);
  table(out, work_rows(work), 2);
}

void block_text(std::string& out, const HistoryBlock& block) {
  std::vector<std::vector<std::string>> lines{{""}, {""}};
  lines[0].insert(lines[0].end(), block.days.begin(), block.days.end());
  for (const std::string& visit : block.visits) lines[1].push_back(shortened(visit, visit_width));
  lines.insert(lines.end(), block.rows.begin(), block.rows.end());
  out += "\n";
  table(out, lines, 2);
}

}  // namespace

std::string dates_of(const Program& program) {
  if (program.log.empty()) return "no date";
  const std::string first = to_text(program.log.front().date);
  const std::string last = to_text(program.log.back().date);
  return first == last ? first : fmt::format("{} to {}", first, last);
}

std::string drift_text(const DriftHead& head, const Drift& drift) {
  std::string out = folded(head.instrument) + "\n";
  out += fmt::format("then: visit {}, {}\n", head.shown.front()->visit, dates_of(*head.shown.front()));
  out += fmt::format("now:  visit {}, {}\n\n", head.shown.back()->visit, dates_of(*head.shown.back()));
  for (const auto& [word, text] : drift_circumstances(drift)) entry(out, word, text);
  for (const DriftSection& section : drift_sections(drift)) section_text(out, section);
  work_done_text(out, drift.work, "work done since", "none in the logs");
  out += "\n";
  for (const auto& [word, text] : drift_notes(head, drift)) entry(out, word, text);
  return printable(out);
}

std::string history_text(const DriftHead& head, const History& history) {
  const std::size_t count = head.shown.size();
  std::string out = fmt::format("{}: {} {}\n", folded(head.instrument), count, count == 1 ? "visit" : "visits");
  for (std::size_t from = 0; from < count; from += visits_a_block)
    block_text(out, history_block(head, history, from, std::min(from + visits_a_block, count)));
  out += "\n";
  for (const auto& [word, text] : history_notes(head, history)) entry(out, word, text);
  work_done_text(out, history.work, "work done", "none in the logs");
  return printable(out);
}

}  // namespace stringline
