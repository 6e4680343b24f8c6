// See made_of.h.
#include "engine/judge/made_of.h"

#include <algorithm>

#include "engine/check/mentions.h"

namespace stringline {

std::vector<PointId> made_of(const Program& program, const std::vector<PointId>& moved) {
  std::vector<PointId> open;
  for (PointId point = 0; point < program.points.size(); ++point) {
    const bool computed = program.reading_of(point).source == ReadingInfo::Source::computed;
    if (computed && std::count(moved.begin(), moved.end(), point) == 0) open.push_back(point);
  }
  std::vector<bool> touched(program.points.size());
  for (const PointId point : moved) touched[point] = true;
  std::vector<PointId> made;
  const auto hangs_on_it = [&](PointId point) {
    const auto parts = mentioned_in(program, *program.reading_of(point).formula, program.points[point].at);
    return std::any_of(parts.begin(), parts.end(), [&](PointId part) { return touched[part]; });
  };
  for (bool more = true; more;) {  // until a round finds no other: what is computed may be made of what is computed
    const auto rest =
        std::stable_partition(open.begin(), open.end(), [&](PointId point) { return !hangs_on_it(point); });
    more = rest != open.end();
    for (auto each = rest; each != open.end(); ++each) touched[*each] = true;
    made.insert(made.end(), rest, open.end());
    open.erase(rest, open.end());
  }
  std::sort(made.begin(), made.end());
  return made;
}

}  // namespace stringline
