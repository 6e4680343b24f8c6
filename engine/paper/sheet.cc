#include "engine/paper/sheet.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/check/evaluate.h"
#include "engine/check/mentions.h"

namespace stringline {
namespace {

class Sheet {
 public:
  explicit Sheet(const Program& program) : program_(program), nothing_(program), evaluator_(program, nothing_) {}

  std::string readings() {
    std::string out;
    std::string section;
    for (const SheetReading& item : items()) {
      if (item.heading != section) out += fmt::format("      # {}\n", item.heading);
      section = item.heading;
      for (const std::string& comment : comments(item)) out += fmt::format("      # {}\n", comment);
      const ReadingInfo& info = program_.readings[item.reading];
      out += fmt::format("      {}: {}\n", info.name, members(info));
    }
    return out;
  }

  std::vector<SheetReading> items() {
    std::vector<SheetReading> items;
    for (const ReadingId id : order()) items.push_back(item(id));
    return items;
  }

 private:
  // Gates and stops first, then by phase, then the rest; each reading once.
  std::vector<ReadingId> order() {
    std::vector<ReadingId> ids;
    heading_.assign(program_.readings.size(), "");
    const auto add = [&](ReadingId id, const std::string& heading) {
      if (program_.readings[id].source == ReadingInfo::Source::computed || !heading_[id].empty()) return;
      heading_[id] = heading;
      ids.push_back(id);
    };
    const auto add_all = [&](const Typed& expr, const std::string& heading) {
      for (const PointId point : mentioned_in(program_, expr)) add(program_.points[point].reading, heading);
    };
    for (const GateInfo& gate : program_.gates) {
      if (gate.holds_visit) add_all(*gate.open_when, "before anything counts");
    }
    for (const StopInfo& stop : program_.stops) add_all(*stop.when, "what would end the work");
    for (int phase = 0; phase < static_cast<int>(program_.phases.size()); ++phase) {
      for (const TargetInfo& target : program_.targets) {
        if (target.phase == phase)
          add(program_.points[target.point].reading,
              "for the turn: " + program_.phases[static_cast<std::size_t>(phase)].name);
      }
    }
    for (const TargetInfo& target : program_.targets) add(program_.points[target.point].reading, "for the record");
    for (ReadingId id = 0; id < program_.readings.size(); ++id) add(id, "if there is reason to");
    return ids;
  }

  SheetReading item(ReadingId id) const {
    const ReadingInfo& info = program_.readings[id];
    SheetReading item;
    item.reading = id;
    item.heading = heading_[id];
    item.how = info.gap ? info.gap->text : info.of;
    item.with = info.with;
    if (info.read_to) item.to = to_text(info.read_to->value, info.read_to->unit);
    if (info.type.kind == Kind::state) item.states = program_.state_sets[info.type.states].states;
    if (info.assume) item.assumed = to_text(evaluator_.evaluate(*info.assume).value);
    item.wanted = ranges(info);
    return item;
  }

  std::vector<std::string> comments(const SheetReading& item) const {
    std::string how = item.how;
    const auto add = [&](const std::string& word, const std::string& more) {
      if (!more.empty()) how += (how.empty() ? "" : "; ") + word + more;
    };
    add("with ", item.with);
    add("to ", item.to);
    add("one of ", fmt::format("{}", fmt::join(item.states, ", ")));
    std::vector<std::string> lines;
    if (!how.empty()) lines.push_back(program_.readings[item.reading].name + ": " + how);
    if (!item.assumed.empty()) lines.push_back("taken as " + item.assumed + " while nothing is written");
    lines.insert(lines.end(), item.wanted.begin(), item.wanted.end());
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

  std::string range_text(const TargetInfo& target) const {
    const Hand& hand = program_.points[target.point].at;
    const auto rows = evaluator_.possible(*target.range, hand);
    std::string out;
    for (const TypedRange* range : rows.leaves) {
      Value value;
      value.unit = program_.reading_of(target.point).unit;
      if (range->lo) value.number.lo = evaluator_.evaluate(*range->lo, hand).value.number.lo;
      if (range->hi) value.number.hi = evaluator_.evaluate(*range->hi, hand).value.number.hi;
      const std::string text = to_text(value);
      if (out.find(text) == std::string::npos) out += (out.empty() ? "" : " or ") + text;
    }
    return out;
  }

  std::string members(const ReadingInfo& info) const {
    constexpr std::size_t most = 12;
    if (info.axes.empty() || info.count > most) return "unknown";
    if (info.axes.size() > 1) return nested(info);
    std::string out;
    for (const AxisMember& member : program_.axes[static_cast<std::size_t>(info.axes.front())])
      out += fmt::format("{}{}: unknown", out.empty() ? "" : ", ", member.name);
    return "{" + out + "}";
  }

  std::string nested(const ReadingInfo& info) const {
    std::string out;
    for (const AxisMember& outer : program_.axes[static_cast<std::size_t>(info.axes[0])]) {
      std::string inner;
      for (const AxisMember& member : program_.axes[static_cast<std::size_t>(info.axes[1])])
        inner += fmt::format("{}{}: unknown", inner.empty() ? "" : ", ", member.name);
      out += fmt::format("{}{}: {{{}}}", out.empty() ? "" : ", ", outer.name, inner);
    }
    return "{" + out + "}";
  }

  const Program& program_;
  Nothing nothing_;
  Evaluator evaluator_;
  std::vector<std::string> heading_;
};

// The facts a player or an instrument may state, as comments.
std::string choices_text(const Program& program) {
  std::string out;
  for (const FactInfo& fact : program.facts) {
    if (fact.type.kind != Kind::state) continue;
    out += fmt::format("  # {}: one of {}\n", fact.name, fmt::join(program.state_sets[fact.type.states].states, ", "));
  }
  return out;
}

std::string head(const Program& program, const std::string& id) {
  std::string out = fmt::format("visit: {}\nprofile: {}\n", id, program.profile);
  out += "owner: {name: M. Example}\n";
  out += "instrument:\n  id: fill-in                  # lasting: the same at every visit\n  label: fill in\n";
  out += "  # strings: set_10_46         # a set of the house, or gauges: [10p, 13p, 17p, 26w, 36w, 46w]\n";
  out += "player:\n  says: fill in\n" + choices_text(program);
  return out;
}

}  // namespace

std::string sheet_text(const Program& program, Date today) {
  std::string out = fmt::format(
      "# What to measure on: {}, by the specs of {}. Fill in, top to bottom; leave `unknown` what was not read.\n",
      program.label, program.house.empty() ? "the profile alone" : program.house);
  out += head(program, "sheet");
  out += fmt::format("log:\n  - date: {}\n    read:\n", to_text(today));
  return out + Sheet(program).readings();
}

std::vector<SheetReading> sheet_readings(const Program& program) { return Sheet(program).items(); }

std::string new_visit_text(const Program& program, const std::string& id, Date today) {
  std::string out = head(program, id);
  out += fmt::format("# due: {}\n# wants: {{action: leave}}\n", to_text(add_days(today, 14).value_or(today)));
  out += fmt::format("log:\n  - date: {}\n    note: taken in\n", to_text(today));
  return out;
}

}  // namespace stringline
