#include "engine/paper/drift.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/diag/render.h"
#include "engine/paper/lines.h"

namespace stringline {
namespace {

constexpr std::size_t visits_a_block = 6;  // of a history; more would not fit a terminal's width

std::string with_verdict(const DriftValue& value) {
  const std::string mark = value.converted_from.empty() ? "" : "~";
  return mark + value.text + (value.verdict ? fmt::format(", {}", to_text(*value.verdict)) : "");
}

std::string cell(const std::optional<DriftValue>& value) { return value ? with_verdict(*value) : "-"; }

// "+0.5 mm", "-0.14 mm or more", "+0.45 mm to +0.55 mm"; an estimate at the hundredth of its unit.
std::string change_text(const Interval& change, const Value& like) {
  const std::optional<Ratio> step = change.estimate ? divide(info(like.unit).factor, Ratio(100)) : std::nullopt;
  const auto end = [&](Ratio value) {
    if (value == Ratio(0)) return std::string("0");
    const auto size = absolute(value);
    const std::string text = size ? to_text(*size, like.unit, step, true) : std::string("(not known)");
    return (value.negative() ? "-" : "+") + text;
  };
  if (change.lo && change.hi) {
    const std::string lo = end(*change.lo);
    const std::string hi = end(*change.hi);
    return lo == hi ? lo : fmt::format("{} to {}", lo, hi);
  }
  if (change.lo) return fmt::format("{} or above", end(*change.lo));
  return change.hi ? fmt::format("{} or below", end(*change.hi)) : "";
}

std::string change_of(const DriftRow& row) {
  return row.change && row.now ? change_text(*row.change, row.now->value) : "";
}

// The smallest change that would count as moved, at the hundredth of its unit.
std::string limit_of(const DriftRow& row) {
  if (!row.limit || !row.now) return "";
  const Unit unit = row.now->value.unit;
  const auto value = Ratio::ceil_of(*row.limit);
  return value ? to_text(*value, unit, divide(info(unit).factor, Ratio(100)), true) : "";
}

// Lines that differ in their member alone become one: "nut gap (4, 5, 6)".
class Members {
 public:
  void add(const std::string& reading, const std::string& member, std::vector<std::string> cells) {
    if (!lines_.empty() && lines_.back().reading == reading && lines_.back().cells == cells)
      lines_.back().members.push_back(member);
    else
      lines_.push_back({reading, {member}, std::move(cells)});
  }
  [[nodiscard]] bool empty() const { return lines_.empty(); }
  void append_to(std::vector<std::vector<std::string>>& rows) const {
    for (const Line& line : lines_) {
      std::vector<std::string> row = line.cells;
      const bool one = line.members.front().empty();
      row.insert(row.begin(), one ? line.reading : fmt::format("{} ({})", line.reading, fmt::join(line.members, ", ")));
      rows.push_back(std::move(row));
    }
  }

 private:
  struct Line {
    std::string reading;
    std::vector<std::string> members;
    std::vector<std::string> cells;
  };
  std::vector<Line> lines_;
};

void section(std::string& out, const char* title, std::vector<std::string> heads, const Members& members) {
  if (members.empty()) return;
  std::vector<std::vector<std::string>> lines{std::move(heads)};
  members.append_to(lines);
  out += fmt::format("\n{}\n", title);
  table(out, lines, 2);
}

void rows_text(std::string& out, const Drift& drift, Moved which, const char* title) {
  Members members;
  for (const DriftRow& row : drift.rows) {
    if (row.moved == which)
      members.add(row.reading, row.member, {cell(row.then), cell(row.now), change_of(row), limit_of(row)});
  }
  section(out, title, {"", "then", "now", "change", "counts above"}, members);
}

void not_comparable_text(std::string& out, const Drift& drift) {
  Members members;
  for (const DriftRow& row : drift.rows) {
    if (!row.moved) members.add(row.reading, row.member, {cell(row.then), cell(row.now), row.why_not});
  }
  section(out, "not comparable", {"", "then", "now", ""}, members);
}

std::string climate_text(const DriftRow& row) {
  if (!row.moved) return fmt::format("then {}; now {}; {}", cell(row.then), cell(row.now), row.why_not);
  const char* less = *row.moved == Moved::no ? ", which the tools do not tell apart" : "";
  return fmt::format("then {}; now {}; {}{}", cell(row.then), cell(row.now), change_of(row), less);
}

void circumstances_text(std::string& out, const Drift& drift) {
  for (const DriftRow& row : drift.climate) entry(out, row.reading, climate_text(row));
  if (drift.climate.empty()) entry(out, "humidity", "not read at either visit");
  for (const Circumstance& each : drift.circumstances) {
    if (each.differs())
      entry(out, each.word, fmt::format("then {}; now {}", each.then, each.now));
    else if (each.word != "profile")
      entry(out, each.word, "the same");
  }
}

void work_done_text(std::string& out, const std::vector<WorkDone>& work, const char* title, const char* none) {
  out += fmt::format("\n{}\n", title);
  if (work.empty()) out += fmt::format("  {}\n", none);
  std::vector<std::vector<std::string>> lines;
  for (const WorkDone& done : work) lines.push_back({to_text(done.date), done.visit, done.text});
  table(out, lines, 2);
}

void notes(std::string& out, const DriftHead& head, bool converted) {
  out += "\n";
  entry(out, "verdicts",
        head.house.empty() ? "by the specs as they are today"
                           : fmt::format("all by the specs of {} as they are today", head.house));
  if (converted) entry(out, "~", "converted by the model from the method it was read by");
  for (const std::string& path : head.left_out) entry(out, "left out", path);
}

bool is_converted(const std::optional<DriftValue>& value) { return value && !value->converted_from.empty(); }

}  // namespace

std::string dates_of(const Program& program) {
  if (program.log.empty()) return "no date";
  const std::string first = to_text(program.log.front().date);
  const std::string last = to_text(program.log.back().date);
  return first == last ? first : fmt::format("{} to {}", first, last);
}

std::string drift_text(const DriftHead& head, const Drift& drift) {
  std::string out = head.instrument + "\n";
  out += fmt::format("then: visit {}, {}\n", head.shown.front()->visit, dates_of(*head.shown.front()));
  out += fmt::format("now:  visit {}, {}\n\n", head.shown.back()->visit, dates_of(*head.shown.back()));
  circumstances_text(out, drift);
  rows_text(out, drift, Moved::yes, "moved by more than the two tools' resolution explains");
  rows_text(out, drift, Moved::can_not_tell, "moved or not: can not be told from what was read");
  rows_text(out, drift, Moved::no, "not moved, as far as the tools tell");
  not_comparable_text(out, drift);
  work_done_text(out, drift.work, "work done since", "none in the logs");
  const auto converted = [](const DriftRow& row) { return is_converted(row.then) || is_converted(row.now); };
  notes(out, head, std::any_of(drift.rows.begin(), drift.rows.end(), converted));
  return printable(out);
}

namespace {

std::string history_cell(const HistoryCell& cell) {
  if (!cell.value) return "-";
  const std::string text = (cell.value->converted_from.empty() ? "" : "~") + cell.value->text;
  if (!cell.comparable) return text + " !";
  return text + (cell.moved == Moved::yes ? " *" : cell.moved == Moved::can_not_tell ? " ?" : "");
}

void block_text(std::string& out, const DriftHead& head, const History& history, std::size_t from) {
  const std::size_t to = std::min(from + visits_a_block, head.shown.size());
  std::vector<std::vector<std::string>> lines(2, std::vector<std::string>{""});
  for (std::size_t i = from; i < to; ++i) {
    const Program& visit = *head.shown[i];
    lines[0].push_back(visit.log.empty() ? "no date" : to_text(visit.log.front().date));
    lines[1].push_back(shortened(visit.visit, 16));
  }
  Members members;
  for (const HistoryRow& row : history.rows) {
    std::vector<std::string> line;
    for (std::size_t i = from; i < to; ++i) line.push_back(history_cell(row.cells[i]));
    members.add(row.reading, row.member, std::move(line));
  }
  members.append_to(lines);
  out += "\n";
  table(out, lines, 2);
}

}  // namespace

std::string history_text(const DriftHead& head, const History& history) {
  std::string out =
      fmt::format("{}: {} {}\n", head.instrument, head.shown.size(), head.shown.size() == 1 ? "visit" : "visits");
  for (std::size_t from = 0; from < head.shown.size(); from += visits_a_block) block_text(out, head, history, from);
  const auto any = [&](auto wanted) {
    return std::any_of(history.rows.begin(), history.rows.end(),
                       [&](const HistoryRow& row) { return std::any_of(row.cells.begin(), row.cells.end(), wanted); });
  };
  out += "\n";
  if (any([](const HistoryCell& cell) { return cell.moved == Moved::yes; }))
    entry(out, "*", "moved since the reading before it by more than the two tools' resolution explains");
  if (any([](const HistoryCell& cell) { return cell.moved == Moved::can_not_tell; }))
    entry(out, "?", "moved or not: can not be told from what was read");
  if (any([](const HistoryCell& cell) { return is_converted(cell.value); }))
    entry(out, "~", "converted by the model to the method of the last visit that read it");
  if (any([](const HistoryCell& cell) { return !cell.comparable; }))
    entry(out, "!", "read by another method; the readings of that visit do not say what the last one's would show");
  for (const std::string& path : head.left_out) entry(out, "left out", path);
  work_done_text(out, history.work, "work done", "none in the logs");
  return printable(out);
}

}  // namespace stringline
