// See members.h.
#include "engine/check/members.h"

#include <algorithm>
#include <functional>

#include "engine/value/pitch.h"

namespace stringline {
namespace {

std::vector<std::uint16_t> where(std::size_t size, const std::function<bool(std::size_t)>& chosen) {
  std::vector<std::uint16_t> members;
  for (std::size_t i = 0; i < size; ++i) {
    if (chosen(i)) members.push_back(static_cast<std::uint16_t>(i));
  }
  return members;
}

bool is_number(const std::string& word) {
  return !word.empty() && word.size() < 6 && word.find_first_not_of("0123456789") == std::string::npos;
}

// 4a, 4b: of a course of two.
bool is_mate(const std::string& word) {
  return word.size() > 1 && (word.back() == 'a' || word.back() == 'b') && is_number(word.substr(0, word.size() - 1));
}

}  // namespace

bool names_unwritten_mate(const Program& program, Axis axis, const std::string& word) {
  const bool open = !program.strings.empty() && !program.strings.front().gauge;
  return axis == Axis::string && open && is_mate(word);
}

bool names_one_course(Axis axis, const std::string& word) {
  return axis == Axis::string && (word == "bass" || word == "treble" || is_number(word) || parse_pitch(word));
}

std::optional<std::pair<std::vector<std::uint16_t>, bool>> members_named(const Program& program, Axis axis,
                                                                         const std::string& word) {
  const auto& members = program.axes[static_cast<std::size_t>(axis)];
  const auto group = [&](const std::function<bool(std::size_t)>& chosen) {
    return std::pair(where(members.size(), chosen), false);
  };
  if (word == "all") return group([](std::size_t) { return true; });
  const auto exact = where(members.size(), [&](std::size_t i) { return members[i].name == word; });
  if (!exact.empty()) return std::pair(exact, true);
  if (axis != Axis::string) {
    if (axis != Axis::fret) return std::nullopt;
    const std::size_t dots = word.find("..");
    if (dots == std::string::npos || !is_number(word.substr(0, dots)) || !is_number(word.substr(dots + 2)))
      return std::nullopt;
    const int lo = std::stoi(word.substr(0, dots));
    const int hi = std::stoi(word.substr(dots + 2));
    return group([&](std::size_t i) { return members[i].number >= lo && members[i].number <= hi; });
  }
  const auto& strings = program.strings;
  if (is_number(word)) {
    const int course = std::stoi(word);
    auto mates = group([&](std::size_t i) { return strings[i].course == course; });
    if (mates.first.empty()) return std::nullopt;
    return mates;
  }
  // In a profile, where no strings are written, each mate stands for its course; a visit must say that there are two.
  if (!program.has_visit && names_unwritten_mate(program, axis, word)) {
    const int course = std::stoi(word);
    auto mates = where(strings.size(), [&](std::size_t i) { return strings[i].course == course; });
    if (!mates.empty()) return std::pair(std::move(mates), true);
  }
  const std::size_t dots = word.find("..");
  if (dots != std::string::npos && is_number(word.substr(0, dots)) && is_number(word.substr(dots + 2))) {
    const int lo = std::stoi(word.substr(0, dots));
    const int hi = std::stoi(word.substr(dots + 2));
    return group([&](std::size_t i) { return strings[i].course >= lo && strings[i].course <= hi; });
  }
  int treble = 0;  // outermost courses of full length
  int bass = 0;
  for (const StringInfo& string : strings) {
    if (string.first_fret > 0) continue;
    treble = treble == 0 ? string.course : std::min(treble, string.course);
    bass = std::max(bass, string.course);
  }
  if (word == "treble") return group([&](std::size_t i) { return strings[i].course == treble; });
  if (word == "bass") return group([&](std::size_t i) { return strings[i].course == bass; });
  if (word == "outer")
    return group([&](std::size_t i) { return strings[i].course == treble || strings[i].course == bass; });
  if (word == "inner") {
    return group([&](std::size_t i) { return strings[i].course != treble && strings[i].course != bass; });
  }
  if (word == "wound" || word == "plain") {
    // While nobody said what is fitted, the thicker half counts as wound.
    const int courses = strings.empty() ? 0 : strings.back().course;
    return group([&](std::size_t i) {
      const bool wound = strings[i].gauge ? strings[i].gauge->wound : strings[i].course > (courses + 1) / 2;
      return wound == (word == "wound");
    });
  }
  const auto pitch = parse_pitch(word);
  if (!pitch) return std::nullopt;
  const auto tuned =
      where(strings.size(), [&](std::size_t i) { return strings[i].pitch && *strings[i].pitch == *pitch; });
  if (tuned.empty()) return std::nullopt;
  const bool one_course = std::all_of(
      tuned.begin(), tuned.end(), [&](std::size_t i) { return strings[i].course == strings[tuned.front()].course; });
  if (!one_course) return std::nullopt;
  return std::pair(tuned, tuned.size() == 1);
}

std::string known_members(const Program& program, const std::vector<Axis>& axes) {
  std::string known;
  const auto add = [&](const std::string& text) { known += (known.empty() ? "" : ", ") + text; };
  for (const Axis axis : axes) {
    const auto& members = program.axes[static_cast<std::size_t>(axis)];
    const bool numbered = axis == Axis::fret || axis == Axis::string;
    if (numbered && !members.empty()) add("1.." + std::to_string(members.back().number));
    if (!numbered) {
      for (const AxisMember& member : members) add(member.name);
    }
    if (axis != Axis::string) continue;
    if (members.size() > 1 && members.front().number == members[1].number)
      add(members[0].name + ", " + members[1].name + " ..");
    int course = 0;
    for (const StringInfo& string : program.strings) {
      if (string.course == course || !string.pitch) continue;
      course = string.course;
      if (members_named(program, axis, string.pitch->written)) add(string.pitch->written);
    }
  }
  return known;
}

}  // namespace stringline
