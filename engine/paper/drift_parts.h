// What both papers of `drift` say, as words in tables; drift.h prints them on a terminal, drift_page.h on a page.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/book/drift.h"
#include "engine/paper/drift.h"

namespace stringline {

using WordAndText = std::pair<std::string, std::string>;

struct DriftSection {
  std::string title;
  std::vector<std::string> heads;  // one a column
  std::vector<std::vector<std::string>>
      rows;  // "nut gap (4, 5, 6)" first: rows that differ in their member alone are one
};

// Humidity, tuning, strings: then, now, and whether that differs.
[[nodiscard]] std::vector<WordAndText> drift_circumstances(const Drift& drift);
// What moved, what can not be told, what did not move, what can not be compared; sections without rows are left out.
[[nodiscard]] std::vector<DriftSection> drift_sections(const Drift& drift);
[[nodiscard]] std::vector<WordAndText> drift_notes(const DriftHead& head, const Drift& drift);

// Rows whose cells and limits say the same, as one.
struct HistoryGroup {
  std::string name;                 // nut gap (4, 5, 6)
  const HistoryRow* row = nullptr;  // one of them
};
[[nodiscard]] std::vector<HistoryGroup> history_groups(const History& history);

// Visits [from, to) of a history, a column each: the first two lines of heads are days and visits.
struct HistoryBlock {
  std::vector<std::string> days;
  std::vector<std::string> visits;
  std::vector<std::vector<std::string>> rows;
};
[[nodiscard]] HistoryBlock history_block(const DriftHead& head, const History& history, std::size_t from,
                                         std::size_t to);
[[nodiscard]] std::vector<WordAndText> history_notes(const DriftHead& head, const History& history);

// How often one was read so that the row's method shows it, as a number.
[[nodiscard]] std::size_t numbers_in(const HistoryRow& row);

// Day, visit, what was done.
[[nodiscard]] std::vector<std::vector<std::string>> work_rows(const std::vector<WorkDone>& work);

}  // namespace stringline
