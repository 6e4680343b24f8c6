// What is known of an instrument from its last visit, and how far it has moved since. See judge.h.
#include "engine/judge/judge.h"
#include "engine/judge/pull.h"

namespace stringline {

// The distance from the last visit; 0 at the first. What that one left unread or stale no reading of today tells, so nothing is
// asked for.
Result Scene::change(PointId point) const {
  const Result now = reading(point);
  const Unit unit = program_.reading_of(point).unit;
  if (!now.needs.empty()) return Nothing(program_).change(point);
  if (judgement_.last == nullptr) return number_result(Interval::exactly(0), unit);
  const auto before = judgement_.last->readings.find(program_.points[point].name);
  if (before == judgement_.last->readings.end()) return number_result(Interval::anything(), unit);
  const auto moved = subtract(now.value.number, before->second.number);
  const auto distance = moved ? absolute(*moved) : std::nullopt;
  return number_result(distance.value_or(Interval::anything()), unit);
}

LastVisit last_visit_of(const Program& program, const Judgement& judgement) {
  LastVisit last;
  last.visit = program.visit;
  if (!program.log.empty()) last.date = program.log.back().date;
  last.pull = pull_of(program).all;
  const Scene scene(program, judgement);
  for (PointId point = 0; point < program.points.size(); ++point) {
    if (program.reading_of(point).type.kind != Kind::number) continue;
    const Result found = scene.reading(point);  // nothing where it is stale, void or not read
    const bool known = !found.failure && (found.value.number.lo || found.value.number.hi);
    if (known) last.readings[program.points[point].name] = found.value;
  }
  return last;
}

}  // namespace stringline
