// See words.h.
#include "engine/plan/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "engine/text/plain_name.h"

namespace stringline {

std::string member_of(const Program& program, PointId point) {
  const std::string& name = program.points[point].name;
  const std::string& reading = program.reading_of(point).name;
  return name.size() > reading.size() ? name.substr(reading.size() + 1) : "";
}

namespace {

// The whole number that a member is; nothing for a side, a pickup or a mate of a course.
std::optional<int> number_in(const std::string& member) {
  const bool digits = !member.empty() && member.size() < 6 &&
                      std::all_of(member.begin(), member.end(), [](char c) { return c >= '0' && c <= '9'; });
  return digits ? std::optional(std::stoi(member)) : std::nullopt;
}

}  // namespace

bool is_job(const Program& program, const std::string& words) {
  return std::any_of(program.jobs.begin(), program.jobs.end(), [&](const JobInfo& job) { return job.label == words; });
}

std::string join_members(const std::vector<std::string>& members) {
  constexpr std::size_t least = 4;
  std::string out;
  for (std::size_t at = 0; at < members.size();) {
    std::size_t end = at + 1;
    const auto first = number_in(members[at]);
    while (first && end < members.size() && number_in(members[end]) == *first + static_cast<int>(end - at)) ++end;
    if (end - at < least) end = at + 1;
    out += (out.empty() ? "" : ", ") + members[at];
    if (end - at >= least) out += " to " + members[end - 1];
    at = end;
  }
  return out;
}

std::string counted_by(const ReadingInfo& reading) {
  if (reading.axes.size() != 1) return "";
  return reading.axes.front() == Axis::string ? "string" : reading.axes.front() == Axis::fret ? "fret" : "";
}

std::string members_text(const std::string& counted, const std::vector<std::string>& members) {
  const std::string text = join_members(members);
  return counted.empty() || text.empty() ? text : fmt::format("{}{} {}", counted, members.size() > 1 ? "s" : "", text);
}

std::string name_members(const Program& program, const std::vector<PointId>& points) {
  std::vector<std::string> names;
  for (const PointId point : points) {
    names.push_back(member_of(program, point));
    std::replace(names.back().begin(), names.back().end(), '.', ' ');
  }
  return members_text(counted_by(program.reading_of(points.front())), names);
}

std::string name_points(const Program& program, const std::vector<PointId>& points) {
  std::vector<std::pair<ReadingId, std::vector<PointId>>> members;  // in the order in which they are given
  for (const PointId point : points) {
    const ReadingId id = program.points[point].reading;
    const auto same = [&](const auto& each) { return each.first == id; };
    auto found = std::find_if(members.begin(), members.end(), same);
    if (found == members.end()) found = members.insert(members.end(), {id, {}});
    found->second.push_back(point);
  }
  std::string out;
  for (const auto& [reading, named] : members) {
    std::string name = program.readings[reading].name;
    std::replace(name.begin(), name.end(), '_', ' ');
    if (!out.empty()) out += ", ";
    out += name;
    const std::string text = name_members(program, named);
    const bool whole = named.size() == program.readings[reading].count;
    if (!text.empty() && !whole) out += fmt::format(" ({})", text);
  }
  return out;
}

std::string name_readings(const Program& program, const std::vector<PointId>& points) {
  std::vector<PointId> sorted = points;
  std::sort(sorted.begin(), sorted.end());
  sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
  return name_points(program, sorted);
}

namespace {

Unit unit_of(const Program& program, const Judgement& judgement, PointId point) {
  const Unit written = judgement.points[point].value.unit;
  return written == Unit::none ? program.reading_of(point).unit : written;
}

// A single reading as the log has it: the tool's step is for what is worked out.
bool is_as_written(const PointState& state, Ratio value) {
  const bool one = state.entry > 0 && state.readings == 1 && !state.by_job && !state.contact;
  return one && state.value.number.lo == value && state.value.number.hi == value;
}

}  // namespace

std::string shown(const Program& program, const Judgement& judgement, PointId point, Ratio value) {
  const ReadingInfo& reading = program.reading_of(point);
  const Unit unit = unit_of(program, judgement, point);
  const bool same_unit = reading.read_to && reading.read_to->unit == unit;
  const bool stepped = same_unit && !is_as_written(judgement.points[point], value);
  return to_text(value, unit, stepped ? std::optional(reading.read_to->value) : std::nullopt, reading.type.difference);
}

std::string shown(const Program& program, const Judgement& judgement, PointId point, model::Range value) {
  const ReadingInfo& reading = program.reading_of(point);
  const Unit unit = unit_of(program, judgement, point);
  const Ratio hundredth = *Ratio::make(1, 100);
  const bool metric = info(unit).dimension == dimension::length && unit == Unit::mm;
  const auto step = metric ? hundredth : reading.read_to ? reading.read_to->value : hundredth;
  const auto text = [&](double end) {
    const auto ratio = Ratio::floor_of(end + 1e-9);
    return ratio ? to_text(*ratio, unit, step, reading.type.difference) : std::string("(not known)");
  };
  const std::string lo = text(value.lo);
  const std::string hi = text(value.hi);
  return lo == hi ? lo : lo + " to " + hi;
}

namespace {

std::string converted_text(const Program& program, const Judgement& judgement, PointId point) {
  const int at = program.target_of[point];
  if (at < 0) return "";
  const auto& converted = judgement.targets[static_cast<std::size_t>(at)].converted;
  if (!converted || !converted->lo || !converted->hi) return "";
  return shown(program, judgement, point, model::Range{converted->lo->to_double(), converted->hi->to_double()});
}

}  // namespace

std::string method_note(const Program& program, const Judgement& judgement, PointId point) {
  const auto& read = judgement.points[point].method;
  std::string note = read ? " " + read->text : "";
  const std::string converted = converted_text(program, judgement, point);
  if (converted.empty()) return note;
  const auto& stated = program.target(point)->gap;
  return note + fmt::format(" ({} {})", converted, stated ? stated->text : program.reading_of(point).gap->text);
}

std::string stated_by(const Program& program, PointId point) {
  const TargetInfo* target = program.target(point);
  const auto& own = program.reading_of(point).gap;
  return target != nullptr && target->gap && own && target->gap->text != own->text ? " " + target->gap->text : "";
}

std::string wanted_text(const Program& program, const Judgement& judgement, PointId point) {
  return Scene(program, judgement).target_text(point) + stated_by(program, point);
}

namespace {

bool has_wished_aim(const Program& program, const Judgement& judgement, std::size_t target) {
  const auto& want = program.targets[target].want;
  return want && want->form == Want::Form::aim && judgement.targets[target].aim;
}

}  // namespace

bool is_as_asked(const Program& program, const Judgement& judgement, std::size_t target) {
  const PointId point = program.targets[target].point;
  const PointState& state = judgement.points[point];
  if (!has_wished_aim(program, judgement, target) || state.status != PointState::Status::read) return false;
  const auto& converted = judgement.targets[target].converted;
  const Interval& value = converted ? *converted : state.value.number;
  if (!value.lo || !value.hi) return false;
  const auto& read_to = program.reading_of(point).read_to;
  const double step = read_to ? read_to->value.to_double() : 0.0;
  const double middle = (value.lo->to_double() + value.hi->to_double()) / 2;
  return std::abs(middle - judgement.targets[target].aim->to_double()) <= step + 1e-9;
}

std::string reason_of(const Program& program, const Judgement& judgement, std::size_t target) {
  const Scene scene(program, judgement);
  const TargetState& state = judgement.targets[target];
  const PointId id = program.targets[target].point;
  const PointState& point = judgement.points[id];
  std::string value = point.contact ? "contact" : in_words(scene.reading(id).value);
  const std::string converted = converted_text(program, judgement, id);
  const auto& own = program.reading_of(id).gap;
  if (!converted.empty() && own)
    value = fmt::format("{} (read {}: {})", converted, point.method ? point.method->text : own->text, value);
  else if (point.method)
    value += fmt::format(" (read {})", point.method->text);
  std::string text = fmt::format(" is {}, {}", value, to_text(state.verdict));
  if (has_wished_aim(program, judgement, target) && !is_as_asked(program, judgement, target))
    text += fmt::format("; the player asks for {}", to_text(*state.aim, unit_of(program, judgement, id), std::nullopt,
                                                            program.reading_of(id).type.difference));
  const auto& want = program.targets[target].want;
  const char* who = want && want->form == Want::Form::range ? "the player wants"
                    : state.left                            ? "left as it was means"
                                                            : "the house wants";
  return text + fmt::format("; {} {}", who, wanted_text(program, judgement, id));
}

std::string what_and_how(const ReadingInfo& reading) {
  if (!reading.gap) return reading.of;
  return reading.of.empty() ? reading.gap->text : reading.of + ", " + reading.gap->text;
}

}  // namespace stringline
