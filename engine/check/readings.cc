// Readings: axes, kinds, methods, points. See passes.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/check/evaluate.h"
#include "engine/check/passes.h"
#include "engine/diag/suggest.h"
#include "engine/model/frets.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

struct KindWord {
  const char* word;
  Kind kind;
  Dimension dimension;
  Unit unit;
};
const std::vector<KindWord>& kind_words() {
  static const std::vector<KindWord> words{
      {"length", Kind::number, dimension::length, Unit::mm},
      {"cents", Kind::number, dimension::cents, Unit::cents},
      {"humidity", Kind::number, dimension::humidity, Unit::relative_humidity},
      {"temperature", Kind::number, dimension::temperature, Unit::deg_c},
      {"time", Kind::number, dimension::time, Unit::hour},
      {"force", Kind::number, dimension::force, Unit::newton},
      {"frequency", Kind::number, dimension::frequency, Unit::hertz},
      {"number", Kind::number, dimension::number, Unit::none},
      {"truth", Kind::truth, dimension::number, Unit::none},
      {"tuning", Kind::tuning, dimension::number, Unit::none},
  };
  return words;
}

void read_axes(const ReadingTree& tree, Program& program, ReadingInfo& reading, Diagnostics& out) {
  if (!tree.per) return;
  for (const Word& word : *tree.per) {
    const auto axis = find_axis(word.text);
    if (!axis) {
      out.report(
          Code::bad_axis, word.span,
          fmt::format("unknown axis '{}'{}", word.text, did_you_mean(word.text, {"side", "string", "fret", "pickup"})));
      reading.wrong = true;
      continue;
    }
    if (program.axes[static_cast<std::size_t>(*axis)].empty()) {
      reading.wrong = true;
      if (program.wrong_axes[static_cast<std::size_t>(*axis)]) continue;  // told where it is laid out
      const char* fact = *axis == Axis::string ? "tuning: [E4, B3, ..]"
                         : *axis == Axis::fret ? "frets: 22"
                                               : "pickups: [neck, bridge]";
      out.report(Code::bad_axis, word.span, fmt::format("this instrument has no {}s", word.text),
                 fmt::format("say them under facts: {}", fact));
      continue;
    }
    reading.axes.push_back(*axis);
  }
}

void read_kind(const ReadingTree& tree, Program& program, ReadingInfo& reading, Diagnostics& out) {
  if (tree.gap) {
    reading.source = ReadingInfo::Source::gap;
    reading.type = {Kind::number, dimension::length, false, 0};
    reading.unit = Unit::mm;
    return;
  }
  if (!tree.is) {
    reading.wrong = true;
    out.report(Code::incomplete_reading, tree.name.span,
               fmt::format("the reading '{}' says neither gap: nor is:", tree.name.text),
               "gap: {at: 12} for a clearance under the string, else is: length, cents, [sound, cracked], ..");
    return;
  }
  if (const auto* states = std::get_if<StatesTree>(&*tree.is)) {
    StateSet set{tree.name.text, {}};
    for (const Word& state : states->states) set.states.push_back(state.text);
    reading.type = {Kind::state, {}, false, static_cast<StateSetId>(program.state_sets.size())};
    program.state_sets.push_back(std::move(set));
    return;
  }
  if (std::holds_alternative<ExprPtr>(*tree.is)) {
    reading.source = ReadingInfo::Source::computed;
    return;
  }
  const Word& word = std::get<Word>(*tree.is);
  std::vector<std::string> words;
  for (const KindWord& kind : kind_words()) {
    words.emplace_back(kind.word);
    if (word.text != kind.word) continue;
    reading.type = {kind.kind, kind.dimension, false, 0};
    reading.unit = kind.unit;
    return;
  }
  reading.wrong = true;
  out.report(Code::unknown_word, word.span,
             fmt::format("unknown kind of reading '{}'{}", word.text, did_you_mean(word.text, words)));
}

std::string point_name(const Program& program, const ReadingInfo& reading, const std::array<int, axis_count>& at) {
  std::string name = reading.name;
  for (const Axis axis : reading.axes) {
    const auto a = static_cast<std::size_t>(axis);
    name += "." + program.axes[a][static_cast<std::size_t>(at[a])].name;
  }
  return name;
}

// A step of a tool is a difference, so a temperature's has no offset: 1 degC is one degree, not 274.15 K.
Quantity step_of(const Quantity& written) {
  return {subtract(written.value, info(written.unit).offset).value_or(written.value), written.unit};
}

// False when it reported that there are too many.
bool lay_out_points(Program& program, ReadingId id, Diagnostics& out) {
  ReadingInfo& reading = program.readings[id];
  reading.first = static_cast<PointId>(program.points.size());
  reading.count = 1;
  for (const Axis axis : reading.axes)
    reading.count *= static_cast<PointId>(program.axes[static_cast<std::size_t>(axis)].size());
  if (program.points.size() + reading.count > limits::now().points) {
    out.report(Code::too_many_points, reading.span,
               fmt::format("the readings up to here have more than {} members in all", limits::now().points),
               "read fewer things of each string and fret" + limits::or_allow_more("points"));
    return false;
  }
  for (PointId offset = 0; offset < reading.count; ++offset) {
    PointInfo point;
    point.reading = id;
    PointId rest = offset;
    for (auto axis = reading.axes.rbegin(); axis != reading.axes.rend(); ++axis) {
      const auto a = static_cast<std::size_t>(*axis);
      const auto size = static_cast<PointId>(program.axes[a].size());
      point.at[a] = static_cast<int>(rest % size);
      rest /= size;
    }
    point.name = point_name(program, reading, point.at);
    program.points.push_back(std::move(point));
  }
  return true;
}

std::optional<double> number_fact(const std::string& name, Binder& binder) {
  Program& program = binder.program();
  for (std::size_t i = 0; i < program.facts.size(); ++i) {
    if (program.facts[i].name != name) continue;
    const Type* type = binder.fact_type(name);
    if (type != nullptr) binder.use_fact(name);
    if (type == nullptr || type->kind != Kind::number || !(type->dimension == dimension::number)) return std::nullopt;
    const Result value = Evaluator(program, Nothing(program)).evaluate(*program.facts[i].value);
    if (value.failure || !value.value.number.is_exact()) return std::nullopt;
    return value.value.number.lo->to_double();
  }
  return std::nullopt;
}

std::optional<Station> bind_station(const Word& word, Binder& binder) {
  const Program& program = binder.program();
  Station station;
  if (word.text == "pickup") return Station{true, 0, false};
  if (word.text == "first") return Station{false, 1, true};
  if (word.text == "last") return Station{false, static_cast<double>(program.frets), false};
  if (const auto number = Ratio::parse(word.text))
    station.fret = number->to_double();
  else if (const auto fact = number_fact(word.text, binder))
    station.fret = *fact;
  else {
    std::vector<std::string> names{"first", "mid", "last", "body_joint", "pickup"};
    binder.out().report(Code::bad_method, word.span,
                        fmt::format("'{}' is no place on the string{}", word.text, did_you_mean(word.text, names)),
                        "a fret's number, first, mid, last, body_joint, pickup, or a fact that is a number");
    return std::nullopt;
  }
  const bool inside = station.fret >= 1 && (program.frets == 0 || station.fret <= program.frets);
  if (inside) return station;
  binder.out().report(Code::bad_method, word.span,
                      fmt::format("fret {} is not on a neck of {} frets", word.text, program.frets));
  return std::nullopt;
}

// Held at more than two places, at the place itself or behind the finger the string tells nothing.
bool reaches_free_string(const GapTree& tree, const Gap& gap, Binder& binder) {
  const auto wrong = [&](Span span, std::string text) {
    binder.out().report(Code::bad_method, span, std::move(text),
                        "write where it is held and read it between, or beyond");
    return false;
  };
  if (gap.held.size() > 2) return wrong((*tree.held)[2].span, "a string is held down at one or two places");
  if (gap.at.pickup || gap.at.first) return true;
  for (const Station& held : gap.held) {
    if (held.pickup || held.first || held.fret != gap.at.fret) continue;
    return wrong(tree.at.span, fmt::format("the string is held down at fret {} itself", tree.at.text));
  }
  if (gap.held.size() < 2 || gap.held.front().pickup || gap.held.front().first) return true;
  if (gap.at.fret > gap.held.front().fret) return true;
  return wrong(tree.at.span, fmt::format("fret {} lies behind both places where the string is held", tree.at.text));
}

std::string shown(double fret) {
  return fret == std::floor(fret) ? fmt::format("{}", static_cast<int>(fret)) : fmt::format("{:.1f}", fret);
}

}  // namespace

bool declare_readings(const LayeredProfile& profile, Program& program, Diagnostics& out) {
  for (const auto& [name, layered] : profile.readings) {
    const ReadingTree& tree = layered.tree;
    ReadingInfo reading;
    reading.name = name;
    reading.span = tree.name.span;
    read_axes(tree, program, reading, out);
    read_kind(tree, program, reading, out);
    if (tree.of) reading.of = tree.of->text;
    if (tree.for_owner) reading.for_owner = tree.for_owner->text;
    if (tree.with) reading.with = tree.with->text;
    if (tree.read_to) {
      reading.read_to = step_of(tree.read_to->quantity);
      reading.unit = tree.read_to->quantity.unit;
    }
    if (tree.repeat) reading.repeat = step_of(tree.repeat->quantity);
    if (tree.good_for) reading.good_for = tree.good_for->quantity;
    if (tree.follows) reading.follows = tree.follows->text;
    if (profile.facts.count(name) > 0 || profile.choices.count(name) > 0) {
      out.report(Code::name_twice, tree.name.span, fmt::format("'{}' is a fact and a reading", name),
                 "give one of them another name",
                 {{profile.facts.count(name) > 0 ? profile.facts.at(name).tree.name.span
                                                 : profile.choices.at(name).tree.name.span,
                   "the fact"}});
    }
    program.readings.push_back(std::move(reading));
    if (!lay_out_points(program, static_cast<ReadingId>(program.readings.size() - 1), out)) return false;
  }
  program.target_of.assign(program.points.size(), -1);
  return true;
}

std::optional<Gap> bind_gap(const GapTree& tree, const LayeredProfile&, Binder& binder) {
  Gap gap;
  bool good = true;
  std::string held;
  if (tree.held) {
    for (const Word& word : *tree.held) {
      const auto station = bind_station(word, binder);
      good = good && station.has_value();
      if (!station) continue;
      if (!gap.held.empty() && station->fret <= gap.held.back().fret) {
        binder.out().report(Code::bad_method, word.span, "the held frets must go up the neck");
        good = false;
      }
      held += (held.empty() ? "" : " and ") + shown(station->fret);
      gap.held.push_back(*station);
    }
  }
  if (tree.at.text == "mid") {
    // The fret nearest the middle of the held span, or of nut and body joint where the string is open.
    const double from = gap.held.empty() ? 0.0 : model::fret_share(gap.held.front().fret);
    const double joint = number_fact("body_joint", binder).value_or(12);
    const double to = model::fret_share(gap.held.size() < 2 ? joint : gap.held.back().fret);
    gap.at.fret = std::floor(model::fret_at_share(0.5 * (from + to)) + 0.5);
  } else if (const auto at = bind_station(tree.at, binder)) {
    gap.at = *at;
  } else {
    good = false;
  }
  if (good && !reaches_free_string(tree, gap, binder)) good = false;
  if (!good) return std::nullopt;
  const std::string where = gap.at.pickup  ? "at the pickup"
                            : gap.at.first ? "at the string's first fret"
                                           : "at fret " + shown(gap.at.fret);
  gap.text = where + (held.empty() ? ", open" : ", held at " + held);
  return gap;
}

bool is_plausible(const ReadingInfo& reading, const Interval& value, Unit unit, Span span, Binder& binder) {
  if (!reading.plausible) return true;
  const Nothing nothing(binder.program());
  const Evaluator evaluator(binder.program(), nothing);
  const auto end = [&](const TypedPtr& from) -> std::optional<Ratio> {
    if (!from) return std::nullopt;
    const Result result = evaluator.evaluate(*from);
    return result.failure ? std::nullopt : result.value.number.lo;
  };
  const auto lo = end(reading.plausible->lo);
  const auto hi = end(reading.plausible->hi);
  const bool under = lo && value.hi && *value.hi < *lo;
  const bool over = hi && value.lo && *value.lo > *hi;
  if (!under && !over) return true;
  const Ratio outside = under ? *value.hi : *value.lo;
  const Unit other = unit == Unit::mm ? Unit::in : Unit::mm;
  const bool length = reading.type.dimension == dimension::length;
  const auto text = [&](Ratio of, Unit in) { return to_text(of, in, std::nullopt, reading.type.difference); };
  binder.out().report(Code::implausible, span,
                      fmt::format("'{}' of {}{} is outside what is plausible, {} to {}", reading.name,
                                  text(outside, unit), length ? " (" + text(outside, other) + ")" : "",
                                  lo ? text(*lo, unit) : "anything", hi ? text(*hi, unit) : "anything"),
                      "a slip of unit or of a decimal point? else widen plausible: in the profile");
  return false;
}

namespace {

// What is taken while nothing is written is held to the same.
void assumed_is_plausible(const ReadingInfo& reading, Binder& binder) {
  if (!reading.assume || reading.assume->type.kind != Kind::number) return;
  const Nothing nothing(binder.program());
  const Result value = Evaluator(binder.program(), nothing).evaluate(*reading.assume);
  if (!value.failure) (void)is_plausible(reading, value.value.number, value.value.unit, reading.assume->span, binder);
}

}  // namespace

void bind_readings(const LayeredProfile& profile, Binder& binder) {
  Program& program = binder.program();
  for (ReadingInfo& reading : program.readings) {
    if (reading.wrong) continue;
    const ReadingTree& tree = profile.readings.at(reading.name).tree;
    if (tree.gap) reading.gap = bind_gap(*tree.gap, profile, binder);
    const Type* type = binder.reading_type(reading.name);
    if (type == nullptr) continue;
    if (reading.source == ReadingInfo::Source::computed && reading.unit == Unit::none && type->kind == Kind::number) {
      for (const KindWord& kind : kind_words()) {
        if (kind.kind == Kind::number && kind.dimension == type->dimension) reading.unit = kind.unit;
      }
    }
    const std::string what = fmt::format("'{}'", reading.name);
    if (type->kind == Kind::number) {
      for (const auto& [number, key] : {std::pair(tree.read_to, "read_to"), std::pair(tree.repeat, "repeat")}) {
        if (!number || info(number->quantity.unit).dimension == type->dimension) continue;
        binder.out().report(Code::dimension_mismatch, tree.read_to ? tree.read_to_span : tree.name.span,
                            fmt::format("{} is {}, its {}: is {}", what, binder.describe(*type), key,
                                        describe(info(number->quantity.unit).dimension)),
                            "write the unit after the number");
      }
      if (tree.plausible) reading.plausible = binder.bind_range(*tree.plausible, *type, {}, what);
      if (reading.plausible) check_ends(*reading.plausible, binder);
    }
    if (!tree.assume) continue;
    reading.assume = type->kind == Kind::state || type->kind == Kind::number
                         ? binder.bind_as(tree.assume, *type, {}, "what is assumed of " + what)
                         : binder.bind(tree.assume);
    assumed_is_plausible(reading, binder);
  }
}

}  // namespace stringline
