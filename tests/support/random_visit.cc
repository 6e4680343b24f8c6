#include "tests/support/random_visit.h"

#include <algorithm>

#include "engine/check/evaluate.h"

namespace stringline::testing {
namespace {

// One of a dimension's units whose written number is the base value.
std::optional<Unit> base_unit(Dimension dimension) {
  for (const UnitInfo& unit : all_units()) {
    if (unit.dimension == dimension && unit.factor == Ratio(1) && unit.offset == Ratio(0)) return unit.unit;
  }
  if (dimension == info(Unit::hour).dimension) return Unit::hour;
  return std::nullopt;
}

struct Span2 {
  double lo = 0;
  double hi = 3;
};

// Where readings of a point may lie: what is plausible, else round its target, else a range that is usual for the unit.
Span2 room(const Program& program, PointId point, Unit unit) {
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  const double factor = info(unit).factor.to_double();
  const auto end = [&](const TypedPtr& expr, double otherwise) {
    if (!expr) return otherwise;
    const Result result = evaluator.evaluate(*expr, program.points[point].at);
    return result.failure || !result.value.number.lo ? otherwise : result.value.number.lo->to_double() / factor;
  };
  const ReadingInfo& reading = program.reading_of(point);
  Span2 all{unit == Unit::cents ? -20.0 : 0.0, unit == Unit::mm ? 3.0 : unit == Unit::relative_humidity ? 90.0 : 20.0};
  if (reading.plausible) {
    all.lo = end(reading.plausible->lo, all.lo);
    all.hi = std::max(end(reading.plausible->hi, all.hi), all.lo);
  }
  return all;
}

Span2 target_room(const Program& program, PointId point, Unit unit, Span2 all) {
  const TargetInfo* target = program.target(point);
  if (target == nullptr || !target->range) return all;
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  const auto rows = evaluator.possible(*target->range, program.points[point].at);
  if (rows.leaves.empty()) return all;
  const TypedRange& row = *rows.leaves.back();
  const double factor = info(unit).factor.to_double();
  const auto end = [&](const TypedPtr& expr, double otherwise) {
    if (!expr) return otherwise;
    const Result result = evaluator.evaluate(*expr, program.points[point].at);
    return result.failure || !result.value.number.lo ? otherwise : result.value.number.lo->to_double() / factor;
  };
  const double lo = end(row.lo, all.lo);
  const double hi = end(row.hi, all.hi);
  const double width = hi > lo ? hi - lo : 0.1;
  return {std::clamp(lo - width, all.lo, all.hi), std::clamp(hi + width, all.lo, all.hi)};
}

}  // namespace

std::string RandomVisit::number(PointId point) {
  const ReadingInfo& reading = program_.reading_of(point);
  const auto unit = base_unit(reading.type.dimension);
  if (!unit || reading.type.difference) return {};
  const Span2 all = room(program_, point, *unit);
  const Span2 span = below(4) == 0 ? all : target_room(program_, point, *unit, all);
  const double at = span.lo + (span.hi - span.lo) * below(65) / 64.0;
  const auto hundredths = static_cast<std::int64_t>(at * 100);
  const auto value = Ratio::make(hundredths, 100);
  const std::string_view name = info(*unit).written;
  return to_decimal(*value) + (name.empty() ? "" : " " + std::string(name));
}

std::string RandomVisit::value(PointId point) {
  const ReadingInfo& reading = program_.reading_of(point);
  if (reading.source == ReadingInfo::Source::computed) return {};
  switch (reading.type.kind) {
    case Kind::number: return number(point);
    case Kind::state: {
      const auto& states = program_.state_sets[reading.type.states].states;
      return states[static_cast<std::size_t>(below(4) == 0 ? below(static_cast<int>(states.size())) : 0)];
    }
    case Kind::truth: return below(2) == 0 ? "true" : "false";
    case Kind::tuning: {
      std::string list;
      for (const StringInfo& string : program_.strings) {
        if (!string.pitch) return {};
        list += (list.empty() ? "" : ", ") + string.pitch->written;
      }
      return "[" + list + "]";
    }
    case Kind::pitch:
    case Kind::range: break;
  }
  return {};
}

Readings RandomVisit::readings(bool odd) {
  static const int shares[] = {2, 10, 30, 30, 31, 32};  // of 32
  const int share = shares[below(6)];
  Readings all;
  for (PointId point = 0; point < program_.points.size(); ++point) {
    if (below(32) >= share) continue;
    std::string text = value(point);
    if (text.empty()) continue;
    const ReadingInfo& reading = program_.reading_of(point);
    if (odd && below(12) == 0) {
      const bool number = reading.type.kind == Kind::number;
      switch (below(5)) {
        case 0: text = "unknown"; break;
        case 1: text = "not_measurable"; break;
        case 2: text = number ? "at least " + text : text; break;
        case 3: text = number ? "at most " + text : text; break;
        default: text = reading.gap && reading.read_to ? "contact" : text;
      }
    }
    all[program_.points[point].name] = text;
  }
  return all;
}

std::string RandomVisit::head() {
  std::string text = "visit: v1\nprofile: " + profile_ + "\ninstrument:\n  id: R-1\n  strings: [";
  int course = 0;
  for (const StringInfo& string : program_.strings) {
    if (string.course == course) continue;
    course = string.course;
    text += (course > 1 ? ", " : "") + std::to_string(8 + 6 * course) + (course > 3 ? "w" : "p");
  }
  text += "]\n";
  std::string choices;
  for (const FactInfo& fact : program_.facts) {
    if (fact.type.kind != Kind::state || below(3) == 0) continue;
    const auto& states = program_.state_sets[fact.type.states].states;
    choices +=
        "  " + fact.name + ": " + states[static_cast<std::size_t>(below(static_cast<int>(states.size())))] + "\n";
  }
  return text + (choices.empty() ? "" : "player:\n" + choices);
}

std::string RandomVisit::text(const std::string& head, const Readings& readings) {
  std::string log = "log:\n  - date: 2026-03-02\n";
  if (readings.empty()) return head + log + "    note: nothing read yet\n";
  log += "    read:\n";
  for (const auto& [point, value] : readings) log += "      " + point + ": " + value + "\n";
  return head + log;
}

}  // namespace stringline::testing
