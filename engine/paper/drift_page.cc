// See drift_page.h.
#include "engine/paper/drift_page.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/paper/drift_parts.h"
#include "engine/paper/history_chart.h"
#include "engine/paper/page_parts.h"
#include "engine/paper/then_now.h"

namespace stringline {
namespace {

constexpr std::size_t visits_a_table = 6;  // more do not fit the width of a sheet

std::string first_upper(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') text.front() = static_cast<char>(text.front() - 32);
  return text;
}

void work_done(HtmlWriter& out, const std::vector<WorkDone>& work, const char* title) {
  out.leaf("h2", title);
  if (work.empty())
    out.leaf("p", "None in the logs.");
  else
    page_table(out, {"day", "visit", "work"}, work_rows(work));
}

void charts(HtmlWriter& out, const History& history) {
  const auto groups = history_groups(history);
  const auto over_time = [](const HistoryGroup& group) { return numbers_in(*group.row) > 1; };
  if (std::none_of(groups.begin(), groups.end(), over_time)) return;
  out.leaf("h2", "Each reading over time").open("div", {{"class", "charts"}});
  std::size_t number = 0;
  for (const HistoryGroup& group : groups) {
    if (over_time(group)) draw_history(out, history, *group.row, group.name, ++number);
  }
  out.close();
  out.leaf(
      "p",
      "Dot: a reading, with a bar as tall as its tool tells apart. Open dot: converted from another method. Arrow: the "
      "reading says only that it lies on that side. Shaded: what the house wants today. Triangle on the line of days: "
      "work was done. *: moved since the reading before it. What was read once is in the table alone.",
      {{"class", "small"}});
}

void tables(HtmlWriter& out, const DriftHead& head, const History& history) {
  out.leaf("h2", "All readings");
  for (std::size_t from = 0; from < head.shown.size(); from += visits_a_table) {
    const HistoryBlock block = history_block(head, history, from, std::min(from + visits_a_table, head.shown.size()));
    std::vector<std::string> heads{"reading"};
    for (std::size_t i = 0; i < block.days.size(); ++i)
      heads.push_back(fmt::format("{}, {}", block.days[i], block.visits[i]));
    page_table(out, heads, block.rows);
  }
}

}  // namespace

std::string drift_page(const DriftHead& head, const Drift& drift, const SeenVisit& then, const SeenVisit& now) {
  HtmlWriter out;
  out.open("header").leaf("h1", head.instrument);
  page_entries(out, {{"then", fmt::format("visit {}, {}", head.shown.front()->visit, dates_of(*head.shown.front()))},
                     {"now", fmt::format("visit {}, {}", head.shown.back()->visit, dates_of(*head.shown.back()))}});
  out.close();
  out.leaf("h2", "First of all");
  page_entries(out, drift_circumstances(drift));
  draw_then_now(out, then, now, {"The strings from the side, then and now", "then", "now"});
  for (const DriftSection& section : drift_sections(drift)) {
    out.leaf("h2", first_upper(section.title));
    page_table(out, section.heads, section.rows);
  }
  work_done(out, drift.work, "Work done since");
  out.leaf("h2", "How to read this");
  page_entries(out, drift_notes(head, drift));
  return html_page(head.instrument + ": then and now", out.take());
}

std::string history_page(const DriftHead& head, const History& history) {
  HtmlWriter out;
  const std::size_t count = head.shown.size();
  out.open("header").leaf("h1", head.instrument);
  out.leaf("p", fmt::format("{} {}{}", count, count == 1 ? "visit" : "visits",
                            head.house.empty() ? "" : ", by the specs of " + head.house));
  out.close();
  charts(out, history);
  tables(out, head, history);
  page_entries(out, history_notes(head, history));
  work_done(out, history.work, "Work done");
  return html_page(head.instrument + ": over time", out.take());
}

}  // namespace stringline
