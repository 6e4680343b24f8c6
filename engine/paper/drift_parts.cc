// See drift_parts.h.
#include "engine/paper/drift_parts.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/plan/words.h"

namespace stringline {
namespace {

std::string with_verdict(const DriftValue& value) {
  const std::string mark = value.converted_from.empty() ? "" : "~";
  return mark + value.text + (value.verdict ? fmt::format(", {}", to_text(*value.verdict)) : "");
}

std::string cell(const std::optional<DriftValue>& value) { return value ? with_verdict(*value) : "-"; }

// The hundredth of a unit, of an inch or a centimetre finer.
std::optional<Ratio> small_part(Unit unit) {
  const std::int64_t parts = unit == Unit::in ? 10'000 : unit == Unit::cm ? 1000 : 100;
  return divide(info(unit).factor, Ratio(parts));
}

// "+0.5 mm", "-0.14 mm or more", "+0.45 mm to +0.55 mm"; an estimate at the small part of its unit.
std::string change_text(const Interval& change, const Value& like) {
  const std::optional<Ratio> step = change.estimate ? small_part(like.unit) : std::nullopt;
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

// The smallest change that would count as moved, at the small part of its unit, or finer where that would show zero.
std::string limit_of(const DriftRow& row) {
  if (!row.limit || !row.now) return "";
  const Unit unit = row.now->value.unit;
  const auto value = Ratio::ceil_of(*row.limit);
  if (!value) return "";
  auto step = *value > Ratio(0) ? small_part(unit) : std::nullopt;
  while (step && *value < *step) step = divide(*step, Ratio(10));
  return to_text(*value, unit, step, true);
}

// Lines that differ in their member alone become one: "nut gap (strings 4, 5, 6)".
class Members {
 public:
  template <class Row>
  void add(const Row& row, std::vector<std::string> cells) {
    if (lines_.empty() || lines_.back().reading != row.reading || lines_.back().cells != cells)
      lines_.push_back({row.reading, row.counted, {}, std::move(cells)});
    lines_.back().members.push_back(row.member);
    std::replace(lines_.back().members.back().begin(), lines_.back().members.back().end(), '.', ' ');
  }
  [[nodiscard]] std::vector<std::vector<std::string>> rows() const {
    std::vector<std::vector<std::string>> rows;
    for (const Line& line : lines_) {
      std::vector<std::string> row = line.cells;
      const bool one = line.members.front().empty();
      row.insert(row.begin(),
                 one ? line.reading : fmt::format("{} ({})", line.reading, members_text(line.counted, line.members)));
      rows.push_back(std::move(row));
    }
    return rows;
  }

 private:
  struct Line {
    std::string reading;
    std::string counted;
    std::vector<std::string> members;
    std::vector<std::string> cells;
  };
  std::vector<Line> lines_;
};

void add_moved(std::vector<DriftSection>& sections, const Drift& drift, Moved which, const char* title) {
  Members members;
  for (const DriftRow& row : drift.rows) {
    if (row.moved == which) members.add(row, {cell(row.then), cell(row.now), change_of(row), limit_of(row)});
  }
  DriftSection section{title, {"reading", "then", "now", "change", "counts above"}, members.rows()};
  if (!section.rows.empty()) sections.push_back(std::move(section));
}

void add_not_comparable(std::vector<DriftSection>& sections, const Drift& drift) {
  Members members;
  for (const DriftRow& row : drift.rows) {
    if (!row.moved) members.add(row, {cell(row.then), cell(row.now), row.why_not});
  }
  DriftSection section{"not comparable", {"reading", "then", "now", "why"}, members.rows()};
  if (!section.rows.empty()) sections.push_back(std::move(section));
}

std::string climate_text(const DriftRow& row) {
  if (!row.moved) return fmt::format("then {}; now {}; {}", cell(row.then), cell(row.now), row.why_not);
  const char* less = *row.moved == Moved::no ? ", which the tools do not tell apart" : "";
  return fmt::format("then {}; now {}; {}{}", cell(row.then), cell(row.now), change_of(row), less);
}

bool is_converted(const std::optional<DriftValue>& value) { return value && !value->converted_from.empty(); }

std::string history_cell(const HistoryCell& cell) {
  if (!cell.value) return "-";
  const std::string text = (cell.value->converted_from.empty() ? "" : "~") + cell.value->text;
  if (!cell.comparable) return text + " !";
  return text + (cell.moved == Moved::yes ? " *" : cell.moved == Moved::can_not_tell ? " ?" : "");
}

}  // namespace

std::vector<WordAndText> drift_circumstances(const Drift& drift) {
  std::vector<WordAndText> all;
  for (const DriftRow& row : drift.climate) all.emplace_back(row.reading, climate_text(row));
  if (drift.climate.empty()) all.emplace_back("humidity", "not read at either visit");
  for (const Circumstance& each : drift.circumstances) {
    if (each.differs())
      all.emplace_back(each.word, fmt::format("then {}; now {}", each.then, each.now));
    else if (each.word != "profile")
      all.emplace_back(each.word, "the same");
  }
  return all;
}

std::vector<DriftSection> drift_sections(const Drift& drift) {
  std::vector<DriftSection> sections;
  add_moved(sections, drift, Moved::yes, "moved by more than the two tools' resolution explains");
  add_moved(sections, drift, Moved::can_not_tell, "moved or not: can not be told from what was read");
  add_moved(sections, drift, Moved::no, "not moved, as far as the tools tell");
  add_not_comparable(sections, drift);
  return sections;
}

std::vector<WordAndText> drift_notes(const DriftHead& head, const Drift& drift) {
  std::vector<WordAndText> notes{
      {"verdicts", head.house.empty() ? "by the specs as they are today"
                                      : fmt::format("all by the specs of {} as they are today", head.house)}};
  if (std::any_of(drift.rows.begin(), drift.rows.end(),
                  [](const DriftRow& row) { return is_converted(row.then) || is_converted(row.now); }))
    notes.emplace_back("~", "converted by the model from the method it was read by");
  for (const std::string& path : head.left_out) notes.emplace_back("left out", path);
  return notes;
}

HistoryBlock history_block(const DriftHead& head, const History& history, std::size_t from, std::size_t to) {
  HistoryBlock block;
  for (std::size_t i = from; i < to; ++i) {
    const Program& visit = *head.shown[i];
    block.days.push_back(visit.log.empty() ? "no date" : to_text(visit.log.front().date));
    block.visits.push_back(visit.visit);
  }
  Members members;
  for (const HistoryRow& row : history.rows) {
    std::vector<std::string> line;
    for (std::size_t i = from; i < to; ++i) line.push_back(history_cell(row.cells[i]));
    members.add(row, std::move(line));
  }
  block.rows = members.rows();
  return block;
}

std::vector<HistoryGroup> history_groups(const History& history) {
  std::vector<HistoryGroup> groups;
  Members members;
  std::vector<std::string> before;
  for (const HistoryRow& row : history.rows) {
    std::vector<std::string> line;
    for (const HistoryCell& cell : row.cells) line.push_back(history_cell(cell));
    for (const auto& limit : {row.lowest, row.highest}) line.push_back(limit ? to_decimal(*limit) : "none");
    const bool same = !groups.empty() && groups.back().row->reading == row.reading && line == before;
    if (!same) groups.push_back({"", &row});
    members.add(row, line);
    before = std::move(line);
  }
  const auto rows = members.rows();
  for (std::size_t i = 0; i < groups.size(); ++i) groups[i].name = rows[i].front();
  return groups;
}

std::size_t numbers_in(const HistoryRow& row) {
  return static_cast<std::size_t>(std::count_if(row.cells.begin(), row.cells.end(), [](const HistoryCell& cell) {
    return cell.value && cell.comparable && cell.value->value.kind == Kind::number;
  }));
}

std::vector<WordAndText> history_notes(const DriftHead& head, const History& history) {
  const auto any = [&](auto wanted) {
    return std::any_of(history.rows.begin(), history.rows.end(),
                       [&](const HistoryRow& row) { return std::any_of(row.cells.begin(), row.cells.end(), wanted); });
  };
  std::vector<WordAndText> notes;
  if (any([](const HistoryCell& cell) { return cell.moved == Moved::yes; }))
    notes.emplace_back("*", "moved since the reading before it by more than the two tools' resolution explains");
  if (any([](const HistoryCell& cell) { return cell.moved == Moved::can_not_tell; }))
    notes.emplace_back("?", "moved or not: can not be told from what was read");
  if (any([](const HistoryCell& cell) { return is_converted(cell.value); }))
    notes.emplace_back("~", "converted by the model to the method of the last visit that read it");
  if (any([](const HistoryCell& cell) { return !cell.comparable; }))
    notes.emplace_back("!",
                       "read by another method; the readings of that visit do not say what the last one's would show");
  for (const std::string& path : head.left_out) notes.emplace_back("left out", path);
  return notes;
}

std::vector<std::vector<std::string>> work_rows(const std::vector<WorkDone>& work) {
  std::vector<std::vector<std::string>> rows;
  for (const WorkDone& done : work) rows.push_back({to_text(done.date), done.visit, done.text});
  return rows;
}

}  // namespace stringline
