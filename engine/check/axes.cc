#include "engine/check/axes.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>

#include "engine/diag/suggest.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

const FactTree* find(const LayeredProfile& profile, const char* name) {
  const auto found = profile.facts.find(name);
  return found == profile.facts.end() ? nullptr : &found->second.tree;
}

// The courses a visit or house names, or nothing.
const std::vector<Course>* courses(const std::optional<StringsTree>& strings, const HouseTree* house,
                                   Diagnostics& out) {
  if (!strings) return nullptr;
  if (!strings->set) return &strings->courses;
  if (house == nullptr) return nullptr;
  std::vector<std::string> names;
  for (const PartTree& part : house->parts) {
    if (part.name.text == strings->set->text && !part.strings.empty()) return &part.strings;
    if (!part.strings.empty()) names.push_back(part.name.text);
  }
  out.report(
      Code::unknown_part, strings->set->span,
      fmt::format("the house has no string set '{}'{}", strings->set->text, did_you_mean(strings->set->text, names)),
      "name a set under parts:, or list the gauges: [10p, 13p, 17p, 26w, 36w, 46w]");
  return nullptr;
}

// Twice as many on one side: somebody counted the strings of double courses one by one.
std::string how_to_fit(std::size_t strings, std::size_t pitches) {
  if (strings == 2 * pitches)
    return "two strings that are fretted as one are one course, joined with '+': [10p+10p, ..]; else write this "
           "instrument's tuning: [..] too";
  if (pitches == 2 * strings)
    return "one pitch stands for a whole course: tuning: [D5, A4, ..]; else list every string's gauge";
  return "write this instrument's tuning: [..] too";
}

// From the first item to the last.
Span span_of(const std::vector<ExprPtr>& items) {
  return {items.front()->span.source, items.front()->span.begin, items.back()->span.end};
}

std::optional<int> whole_fact(const LayeredProfile& profile, const char* name, int least, std::size_t most,
                              Diagnostics& out) {
  const FactTree* fact = find(profile, name);
  if (fact == nullptr) return std::nullopt;
  const auto* choice = std::get_if<ExprChoice>(&fact->value);
  const auto* leaf = choice == nullptr ? nullptr : std::get_if<ExprPtr>(&choice->node);
  const Number* number = leaf == nullptr ? nullptr : std::get_if<Number>(&(*leaf)->node);
  const Ratio value = number == nullptr ? Ratio(-1) : number->quantity.value;
  const bool whole = number != nullptr && number->quantity.unit == Unit::none && value.den() == 1;
  if (whole && value.num() >= least && value.num() <= static_cast<std::int64_t>(most))
    return static_cast<int>(value.num());
  const Span span = choice != nullptr ? choice->span : fact->name.span;
  if (whole && value.num() > least) {
    out.report(Code::beyond_an_instrument, span,
               fmt::format("{} {} are more than an instrument may have", value.num(), name),
               fmt::format("write how many the board has, at most {}", most));
    return std::nullopt;
  }
  out.report(number == nullptr ? Code::not_constant : Code::bad_form, span,
             fmt::format("'{}' must be a whole number from {} to {}", name, least, most),
             fmt::format("write the number itself, everything else is laid out along it: {}: 22", name));
  return std::nullopt;
}

void lay_out_pickups(const LayeredProfile& profile, Program& program, Diagnostics& out) {
  const FactTree* fact = find(profile, "pickups");
  if (fact == nullptr) return;
  const auto* names = std::get_if<std::vector<ExprPtr>>(&fact->value);
  auto& members = program.axes[static_cast<std::size_t>(Axis::pickup)];
  bool& wrong = program.wrong_axes[static_cast<std::size_t>(Axis::pickup)];
  wrong = names == nullptr || names->size() > limits::max_pickups;
  if (names == nullptr) {
    out.report(Code::wrong_shape, fact->name.span, "'pickups' must be a list of names", "pickups: [neck, bridge]");
    return;
  }
  if (wrong) {
    out.report(Code::too_many, span_of(*names),
               fmt::format("{} pickups are more than an instrument may have", names->size()),
               fmt::format("at most {}; one name for coils that are set together", limits::max_pickups));
  }
  for (const ExprPtr& item : *names) {
    const Name* name = std::get_if<Name>(&item->node);
    if (name == nullptr || !name->members.empty()) {
      out.report(Code::bad_form, item->span, "a pickup is named by one word: neck, middle, bridge");
      wrong = true;
      continue;
    }
    if (members.size() == limits::max_pickups) continue;
    members.push_back({name->name, static_cast<int>(members.size())});
  }
}

// The pitches of the player's tuning, string 1 first; empty when nobody said. Too many are one mistake: then what runs over the
// strings is looked at as if there were all that can be.
std::vector<Pitch> tuning(const LayeredProfile& profile, Program& program, Diagnostics& out) {
  std::vector<Pitch> pitches;
  const FactTree* fact = find(profile, "tuning");
  if (fact == nullptr) return pitches;
  const auto* list = std::get_if<std::vector<ExprPtr>>(&fact->value);
  if (list == nullptr) return pitches;
  for (const ExprPtr& item : *list) {
    if (const auto* pitch = std::get_if<PitchLiteral>(&item->node)) pitches.push_back(pitch->pitch);
  }
  if (pitches.size() <= limits::max_strings) return pitches;
  out.report(Code::too_many, span_of(*list),
             fmt::format("a tuning of {} strings is more than an instrument may have", pitches.size()),
             fmt::format("at most {}; one pitch stands for a whole course", limits::max_strings));
  program.wrong_axes[static_cast<std::size_t>(Axis::string)] = true;
  pitches.resize(limits::max_strings);
  return pitches;
}

void lay_out_starts(const LayeredProfile& profile, Program& program, Diagnostics& out) {
  const FactTree* fact = find(profile, "starts");
  if (fact == nullptr) return;
  const auto* map = std::get_if<std::vector<FactTree::MapItem>>(&fact->value);
  if (map == nullptr) {
    out.report(Code::not_constant, fact->name.span, "'starts' is a map from a string to its first fret: {5: 5}");
    return;
  }
  for (const FactTree::MapItem& item : *map) {
    const Number* fret = item.value ? std::get_if<Number>(&item.value->node) : nullptr;
    bool found = false;
    for (StringInfo& string : program.strings) {
      if (fret == nullptr || std::to_string(string.course) != item.key.text) continue;
      string.first_fret = static_cast<int>(fret->quantity.value.num());
      found = true;
    }
    if (!found) out.report(Code::unknown_member, item.key.span, fmt::format("there is no string '{}'", item.key.text));
  }
}

// A length written as such, in mm.
std::optional<double> length_of(const ExprPtr& value) {
  const Number* number = value ? std::get_if<Number>(&value->node) : nullptr;
  const bool length = number != nullptr && info(number->quantity.unit).dimension == dimension::length;
  return length && number->quantity.value > Ratio(0) ? std::optional(number->quantity.value.to_double()) : std::nullopt;
}

// The string that a member of `scales` means: the outer ones by their side, any by its number; -1: none.
int string_named(const Program& program, const std::string& member) {
  const auto& strings = program.strings;
  if (strings.empty()) return -1;
  if (member == "treble") return 0;
  for (std::size_t i = strings.size(); i > 0; --i) {
    const bool fits =
        member == "bass" ? strings[i - 1].first_fret == 0 : std::to_string(strings[i - 1].course) == member;
    if (fits) return static_cast<int>(i) - 1;
  }
  return -1;
}

// Fanned frets: the strings between two that are named stand evenly between them, those beyond are as long as the last.
void lay_out_scales(const LayeredProfile& profile, Program& program, Diagnostics& out) {
  const FactTree* fact = find(profile, "scales");
  if (fact == nullptr) return;
  const auto* map = std::get_if<std::vector<FactTree::MapItem>>(&fact->value);
  if (map == nullptr) {
    out.report(Code::not_constant, fact->name.span, "'scales' is a map from strings to their lengths",
               "{bass: 27 in, treble: 25 1/2 in}; the strings between them stand evenly");
    return;
  }
  std::map<int, double> named;
  for (const FactTree::MapItem& item : *map) {
    const int string = string_named(program, item.key.text);
    const auto length = length_of(item.value);
    if (string < 0)
      out.report(Code::unknown_member, item.key.span, fmt::format("there is no string '{}'", item.key.text),
                 "bass, treble, or a string's number");
    else if (!length)
      out.report(Code::not_constant, item.value ? item.value->span : item.key.span,
                 fmt::format("the scale of '{}' must be a length", item.key.text), "write it as 25 1/2 in or 648 mm");
    else
      named[string] = *length;
  }
  if (named.empty()) return;
  for (std::size_t i = 0; i < program.strings.size(); ++i) {
    const int at = static_cast<int>(i);
    const auto after = named.lower_bound(at);
    const auto end = after == named.end() ? std::prev(named.end()) : after;
    const auto begin = end->first <= at || end == named.begin() ? end : std::prev(end);
    const double share = begin == end ? 0 : static_cast<double>(at - begin->first) / (end->first - begin->first);
    program.strings[i].scale_mm = begin->second + share * (end->second - begin->second);
  }
}

}  // namespace

void lay_out_axes(const LayeredProfile& profile, const HouseTree* house, const VisitTree* visit, Program& program,
                  Diagnostics& out) {
  program.axes[static_cast<std::size_t>(Axis::side)] = {{"bass", 0}, {"treble", 1}};
  lay_out_pickups(profile, program, out);
  const bool told = find(profile, "frets") != nullptr;
  const auto frets = whole_fact(profile, "frets", 0, limits::max_frets, out);
  // A number that can not be read is one mistake: what runs over the frets is looked at as if there were all that can be.
  program.wrong_axes[static_cast<std::size_t>(Axis::fret)] = told && !frets;
  program.frets = frets.value_or(told ? static_cast<int>(limits::max_frets) : 0);
  for (int fret = 1; fret <= program.frets; ++fret) {
    program.axes[static_cast<std::size_t>(Axis::fret)].push_back({std::to_string(fret), fret});
  }
  const std::vector<Pitch> pitches = tuning(profile, program, out);
  const std::vector<Course>* fitted = visit == nullptr ? nullptr : courses(visit->instrument.strings, house, out);
  const std::vector<Course>* slots = visit == nullptr ? nullptr : courses(visit->instrument.slots, house, out);
  if (slots == nullptr) slots = fitted;
  const std::size_t count = !pitches.empty() ? pitches.size() : fitted != nullptr ? fitted->size() : 0;
  const bool wrong = program.wrong_axes[static_cast<std::size_t>(Axis::string)];
  if (wrong) {
    fitted = nullptr;
    slots = nullptr;
  }
  if (fitted != nullptr && fitted->size() != count) {
    const Span span = visit->instrument.strings->span;
    out.report(Code::strings_do_not_fit, span, fmt::format("{} strings for a tuning of {}", fitted->size(), count),
               how_to_fit(fitted->size(), count));
    fitted = nullptr;
    slots = nullptr;
  }
  if (slots != nullptr && slots->size() != count) slots = fitted;
  auto& members = program.axes[static_cast<std::size_t>(Axis::string)];
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t mates = fitted == nullptr ? 1 : (*fitted)[i].strings.size();
    for (std::size_t mate = 0; mate < mates; ++mate) {
      StringInfo string;
      string.course = static_cast<int>(i) + 1;
      if (fitted != nullptr) string.gauge = (*fitted)[i].strings[mate];
      if (slots != nullptr) string.slot_gauge = (*slots)[i].strings[std::min(mate, (*slots)[i].strings.size() - 1)];
      if (i < pitches.size()) string.pitch = pitches[i];
      std::string name = std::to_string(i + 1);
      if (mates > 1) name += static_cast<char>('a' + mate);
      members.push_back({name, string.course});
      program.strings.push_back(std::move(string));
    }
  }
  if (wrong) return;
  lay_out_starts(profile, program, out);
  lay_out_scales(profile, program, out);
}

}  // namespace stringline
