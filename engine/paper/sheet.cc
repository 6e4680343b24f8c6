#include "engine/paper/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "engine/check/evaluate.h"
#include "engine/check/mentions.h"
#include "engine/diag/render.h"
#include "engine/paper/lines.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

constexpr std::size_t page_width = 100;

// Comment lines of at most the page's width.
std::string comment(const std::string& indent, const std::string& words) {
  const std::string text = printable(folded(words));
  std::string out;
  std::string line = indent + "#";
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = std::min(text.find(' ', from), text.size());
    if (line.size() > indent.size() + 1 && line.size() + 1 + end - from > page_width) {
      out += line + "\n";
      line = indent + "#";
    }
    line += " " + text.substr(from, end - from);
    from = end + 1;
  }
  return out + line + "\n";
}

class Sheet {
 public:
  explicit Sheet(const Program& program) : program_(program), nothing_(program), evaluator_(program, nothing_) {}

  std::string readings() {
    std::string out;
    std::string section;
    for (const SheetReading& item : items()) {
      if (item.heading != section) out += comment("      ", "--- " + item.heading);
      section = item.heading;
      for (const std::string& line : comments(item)) out += comment("      ", line);
      const ReadingInfo& info = program_.readings[item.reading];
      out += fmt::format("      {}:{}\n", info.name, members(info));
    }
    return out;
  }

  std::vector<SheetReading> items() {
    collect();
    std::vector<SheetReading> items;
    for (const auto& [id, heading] : order_) items.push_back(item(id, heading));
    return items;
  }

 private:
  // Gates and stops first, then by phase, then the rest; each reading once.
  void collect() {
    for (const GateInfo& gate : program_.gates) add_all(*gate.open_when, "before anything counts");
    for (const StopInfo& stop : program_.stops) add_all(*stop.when, "what would end the work");
    for (int phase = 0; phase < static_cast<int>(program_.phases.size()); ++phase) {
      for (const TargetInfo& target : program_.targets) {
        if (target.phase == phase)
          add_point(target.point, "for the turn: " + program_.phases[static_cast<std::size_t>(phase)].name);
      }
    }
    for (const TargetInfo& target : program_.targets) add_point(target.point, "for the record");
    for (ReadingId id = 0; id < program_.readings.size(); ++id) add(id, "if there is reason to");
  }

  void add(ReadingId id, const std::string& heading) {
    if (program_.readings[id].source == ReadingInfo::Source::computed) return;
    const auto same = [&](const auto& each) { return each.first == id; };
    if (std::none_of(order_.begin(), order_.end(), same)) order_.emplace_back(id, heading);
  }

  // What is computed is never read: what it is computed from is.
  void add_point(PointId point, const std::string& heading) {
    const ReadingInfo& reading = program_.reading_of(point);
    if (reading.formula) return add_all(*reading.formula, heading);
    add(program_.points[point].reading, heading);
  }

  void add_all(const Typed& expr, const std::string& heading) {
    for (const PointId point : mentioned_in(program_, expr)) add_point(point, heading);
  }

  SheetReading item(ReadingId id, const std::string& heading) const {
    const ReadingInfo& info = program_.readings[id];
    SheetReading item;
    item.reading = id;
    item.heading = heading;
    item.how = what_and_how(info);
    item.with = info.with;
    if (info.read_to) item.to = to_text(info.read_to->value, info.read_to->unit, std::nullopt, true);
    if (info.type.kind == Kind::state) item.states = program_.state_sets[info.type.states].states;
    if (info.assume) item.assumed = to_text(evaluator_.evaluate(*info.assume).value);
    item.wanted = ranges(info);
    return item;
  }

  std::vector<std::string> comments(const SheetReading& item) const {
    std::string how = item.how;
    const auto add = [&](const std::string& word, const std::string& more, const std::string& after = "") {
      if (!more.empty()) how += (how.empty() ? "" : "; ") + word + more + after;
    };
    add("with ", item.with);
    add("to ", item.to);
    add("one of ", fmt::format("{}", fmt::join(item.states, ", ")));
    add("taken as ", item.assumed, " while nothing is written");
    std::vector<std::string> lines;
    if (!how.empty()) lines.push_back(how);
    lines.insert(lines.end(), item.wanted.begin(), item.wanted.end());
    const ReadingInfo& info = program_.readings[item.reading];
    if (is_long(info)) {
      const AxisMember& member = axis(info.axes.front()).front();
      lines.push_back(fmt::format("{}: .. is for all of them; one by one: {{{}: .., ..}}", info.name, member.name));
    }
    return lines;
  }

  // What the house wants, members with one range together.
  std::vector<std::string> ranges(const ReadingInfo& info) const {
    std::vector<std::pair<std::string, std::vector<std::string>>> groups;
    for (PointId point = info.first; point < info.first + info.count; ++point) {
      const TargetInfo* target = program_.target(point);
      if (target == nullptr || !target->range) continue;
      const std::string text = range_text(*target);
      const std::string& name = program_.points[point].name;
      const std::string member = name.size() > info.name.size() ? name.substr(info.name.size() + 1) : "";
      const auto same = [&](const auto& group) { return group.first == text; };
      auto found = std::find_if(groups.begin(), groups.end(), same);
      if (found == groups.end()) found = groups.insert(groups.end(), {text, {}});
      found->second.push_back(member);
    }
    std::vector<std::string> lines;
    for (const auto& [text, names] : groups) {
      const bool whole = groups.size() == 1;
      lines.push_back(whole ? fmt::format("the house wants {}", text)
                            : fmt::format("the house wants, at {}, {}", fmt::join(names, ", "), text));
    }
    return lines;
  }

  // "3 thou to 6 thou for tapping, 6 thou to 9 thou otherwise": which row it is hangs on the player.
  std::string range_text(const TargetInfo& target) const {
    const auto rows = evaluator_.possible(*target.range, program_.points[target.point].at);
    if (rows.leaves.size() == 1) return leaf_text(target.point, *rows.leaves.front());
    std::vector<std::pair<std::string, std::string>> all;
    walk(target.point, *target.range, "", all);
    std::string out;
    for (const auto& [row, range] : all) out += fmt::format("{}{} {}", out.empty() ? "" : ", ", range, row);
    return out;
  }

  void walk(PointId point, const TypedChoice<TypedRange>& choice, const std::string& row,
            std::vector<std::pair<std::string, std::string>>& into) const {
    if (const auto* leaf = std::get_if<TypedRange>(&choice.node)) {
      into.emplace_back(row, leaf_text(point, *leaf));
      return;
    }
    for (const auto& [key, below] : std::get<1>(choice.node)->rows) {
      const std::string own = key_text(key, std::get<1>(choice.node)->selector->type);
      walk(point, below, row.empty() ? own : row + " " + own, into);
    }
  }

  // How a row is named; a number's or a band's selector stands in the profile.
  static std::string key_text(const TypedRowKey& key, const Type& type) {
    const Unit unit = type.dimension == dimension::length ? Unit::mm : Unit::none;
    const auto end = [&](const std::optional<Ratio>& value) { return value ? to_text(*value, unit) : std::string(); };
    switch (key.kind) {
      case TypedRowKey::Kind::state: return "for " + key.state;
      case TypedRowKey::Kind::truth: return key.truth ? "where so" : "else";
      case TypedRowKey::Kind::number: return "for " + to_text(key.number, unit);
      case TypedRowKey::Kind::pitch: return "for " + key.pitch.written;
      case TypedRowKey::Kind::band:
        return !key.lo ? "up to " + end(key.hi)
                       : (key.lo_belongs ? "from " : "over ") + end(key.lo) + (key.hi ? " up to " + end(key.hi) : "");
      case TypedRowKey::Kind::otherwise: break;
    }
    return "otherwise";
  }

  std::string leaf_text(PointId point, const TypedRange& range) const {
    const Hand& hand = program_.points[point].at;
    Value value;
    value.unit = program_.reading_of(point).unit;
    if (range.lo) value.number.lo = evaluator_.evaluate(*range.lo, hand).value.number.lo;
    if (range.hi) value.number.hi = evaluator_.evaluate(*range.hi, hand).value.number.hi;
    return to_text(value);
  }

  static bool is_long(const ReadingInfo& info) {
    constexpr std::size_t most = 12;
    return info.count > most || info.axes.size() > 2;
  }

  // A map of its members; over two axes, a line for each of the first.
  std::string members(const ReadingInfo& info) const {
    if (info.axes.empty() || is_long(info)) return " unknown";
    std::string last;
    for (const AxisMember& member : axis(info.axes.back()))
      last += fmt::format("{}{}: unknown", last.empty() ? "" : ", ", member.name);
    if (info.axes.size() == 1) return " {" + last + "}";
    std::string out;
    for (const AxisMember& member : axis(info.axes.front()))
      out += fmt::format("\n        {}: {{{}}}", member.name, last);
    return out;
  }

  const std::vector<AxisMember>& axis(Axis which) const { return program_.axes[static_cast<std::size_t>(which)]; }

  const Program& program_;
  Nothing nothing_;
  Evaluator evaluator_;
  std::vector<std::pair<ReadingId, std::string>> order_;  // with the heading it stands under
};

// "#   style: chordal   # or tapping": without its first two characters a line of the visit.
std::string fact_line(const std::string& name, const std::string& value, const std::string& note) {
  return printable(folded(fmt::format("#   {}: {}{}{}", name, value, note.empty() ? "" : "   # ", note))) + "\n";
}

std::string strings_line(const Program& program, const HouseTree* house) {
  std::size_t courses = 0;
  for (const StringInfo& string : program.strings) courses = std::max(courses, static_cast<std::size_t>(string.course));
  std::vector<std::string> sets;
  for (std::size_t i = 0; house != nullptr && i < house->parts.size(); ++i) {
    if (house->parts[i].strings.size() == courses && courses > 0) sets.push_back(house->parts[i].name.text);
  }
  const std::string gauges = "gauges, string 1 first: [10p, 13p, ..]";
  if (sets.empty()) return fact_line("strings", "[..]", gauges);
  const std::string first = sets.front();
  sets.erase(sets.begin());
  return fact_line("strings", first,
                   fmt::format("or {}{}{}", fmt::join(sets, ", "), sets.empty() ? "" : ", or ", gauges));
}

// How somebody plays; every other fact is the instrument's. A visit takes a fact from either.
bool is_of_the_player(const FactInfo& fact) { return fact.name == "style" || fact.name == "touch"; }

// Facts with states to choose from, and what the profile takes while nothing is said.
std::string choices_text(const Program& program, bool of_the_player) {
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  std::string out;
  for (const FactInfo& fact : program.facts) {
    if (fact.type.kind != Kind::state || is_of_the_player(fact) != of_the_player) continue;
    const auto said = fact.value ? evaluator.evaluate(*fact.value).value.state : std::nullopt;
    std::vector<std::string> others;
    for (const std::string& state : program.state_sets[fact.type.states].states) {
      if (state != said) others.push_back(state);
    }
    const std::string list = fmt::format("{}", fmt::join(others, ", "));
    out += fact_line(fact.name, said.value_or(".."), (said ? "or " : "to be said: ") + list);
  }
  return out;
}

// Everything that is not known yet is a comment: no placeholder is ever taken for a fact.
std::string head(const Program& program, const HouseTree* house, const std::string& id, Date today) {
  std::string out = fmt::format("visit: {}\nprofile: {}\n", id, program.profile);
  out += "# owner: {name: ..}\n";
  out += fmt::format("# due: {}\n", to_text(add_days(today, 14).value_or(today)));
  out += "# instrument:\n" + fact_line("id", "..", "its own for ever: its earlier visits are found by it");
  out += fact_line("label", "..", "") + strings_line(program, house) + choices_text(program, false);
  out += "# player:\n";
  out += fact_line("says", "..", "") + choices_text(program, true);
  out += "# wants: {..}   # a reading: leave, an aim, or a range\n";
  return out;
}

std::string opening(const char* what, const Program& program) {
  return comment("", fmt::format("{} {}, by the specs of {}. Take away \"# \" where there is something to say.", what,
                                 program.label, program.house.empty() ? "the profile alone" : program.house));
}

}  // namespace

std::string sheet_text(const Program& program, const HouseTree* house, const std::string& id, Date today) {
  std::string out = opening("What to measure on:", program) + head(program, house, id, today);
  out += "# From top to bottom; what was not read stays unknown, what can not be read is not_measurable.\n";
  out += fmt::format("log:\n  - date: {}\n    read:\n", to_text(today));
  return out + Sheet(program).readings();
}

std::vector<SheetReading> sheet_readings(const Program& program) { return Sheet(program).items(); }

std::string new_visit_text(const Program& program, const HouseTree* house, const std::string& id, Date today) {
  return opening("A visit of:", program) + head(program, house, id, today) +
         fmt::format("log:\n  - date: {}\n    note: taken in\n", to_text(today));
}

}  // namespace stringline
