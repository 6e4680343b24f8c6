// See sheet_page.h.
#include "engine/paper/sheet_page.h"

#include <fmt/format.h>

#include "engine/paper/html.h"
#include "engine/paper/sheet.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

void write_in(HtmlWriter& out, const std::string& name, const char* size = "pencil") {
  out.open("span", {{"class", "write"}});
  if (!name.empty()) out.leaf("span", name);
  out.leaf("span", "", {{"class", size}}).close();
}

// Words to tick, one of them; a star marks the one that is taken while none is.
void choices(HtmlWriter& out, const std::string& name, const std::vector<std::string>& states,
             const std::string& assumed = "") {
  out.open("div", {{"class", "boxes"}});
  if (!name.empty()) out.leaf("span", name, {{"class", "name"}});
  for (const std::string& state : states) {
    out.open("span", {{"class", "circle"}}).leaf("span", "", {{"class", "tick"}});
    out.leaf("span", plain_name(state) + (state == assumed ? " *" : "")).close();
  }
  out.close();
}

void head(HtmlWriter& out, const Program& program) {
  out.open("header").leaf("h1", program.label + ": what to measure");
  out.leaf("p", program.house.empty() ? "by the profile alone" : "by the specs of " + program.house);
  out.leaf("p",
           "Top to bottom, in the order of work. Leave empty what was not read. *: taken while nothing is ticked.");
  out.open("div", {{"class", "boxes"}});
  for (const char* field : {"date", "owner", "instrument", "strings", "due", "the player says"})
    write_in(out, field, "pencil wide");
  out.close();
  out.open("div", {{"class", "facts"}});
  for (const FactInfo& fact : program.facts) {
    if (fact.type.kind == Kind::state) choices(out, plain_name(fact.name), program.state_sets[fact.type.states].states);
  }
  out.close().close();
}

void entry(HtmlWriter& out, const char* word, const std::string& text) {
  if (!text.empty()) out.leaf("dt", word).leaf("dd", text);
}

// One box a member; of two axes the outer one opens a row of its own.
void boxes(HtmlWriter& out, const Program& program, const ReadingInfo& info) {
  const auto members = [&](std::size_t axis) -> const std::vector<AxisMember>& {
    return program.axes[static_cast<std::size_t>(info.axes[axis])];
  };
  const auto row = [&](const std::string& name, std::size_t axis) {
    out.open("div", {{"class", members(axis).size() > 6 ? "boxes narrow" : "boxes"}});
    if (!name.empty()) out.leaf("span", name, {{"class", "name"}});
    for (const AxisMember& member : members(axis)) write_in(out, member.name);
    out.close();
  };
  if (info.axes.empty()) {
    out.open("div", {{"class", "boxes"}});
    write_in(out, "", info.type.kind == Kind::tuning ? "pencil wide" : "pencil");
    out.close();
  } else if (info.axes.size() == 1) {
    row("", 0);
  } else {
    for (const AxisMember& outer : members(0)) row(outer.name, 1);
  }
}

void item(HtmlWriter& out, const Program& program, const SheetReading& item) {
  const ReadingInfo& reading = program.readings[item.reading];
  const std::string unit(info(reading.unit).written);
  out.open("li", {{"class", "line"}});
  out.leaf("span", "", {{"class", "square"}, {"aria-hidden", "true"}}).open("div");
  out.leaf("p", plain_name(reading.name) + (unit.empty() ? "" : ", " + unit), {{"class", "what"}});
  out.open("dl");
  entry(out, "how", item.how);
  entry(out, "with", item.with + (item.with.empty() || item.to.empty() ? "" : ", to ") + item.to);
  for (const std::string& wanted : item.wanted) entry(out, wanted == item.wanted.front() ? "target" : "", wanted);
  const bool ticked = !item.states.empty() && reading.axes.empty();
  if (!item.assumed.empty() && !ticked)
    entry(out, "else", "taken as " + plain_name(item.assumed) + " while nothing is written");
  out.close();
  if (ticked)
    choices(out, "", item.states, item.assumed);
  else {
    if (!item.states.empty())
      out.leaf("p", plain_name(fmt::format("one of {}", fmt::join(item.states, ", "))), {{"class", "small"}});
    boxes(out, program, reading);
  }
  out.close().close();
}

}  // namespace

std::string sheet_page(const Program& program) {
  HtmlWriter out;
  head(out, program);
  std::string section;
  out.open("div", {{"class", "sheet"}});  // in two columns on paper; on a screen each section has its own
  for (const SheetReading& each : sheet_readings(program)) {
    if (each.heading != section) {
      if (!section.empty()) out.close();
      out.leaf("h2", each.heading).open("ol", {{"class", "work columns"}});
    }
    section = each.heading;
    item(out, program, each);
  }
  if (!section.empty()) out.close();
  out.close();
  return html_page(program.label + ": what to measure", out.take());
}

}  // namespace stringline
