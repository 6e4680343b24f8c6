// See earlier.h.
#include "engine/book/earlier.h"

namespace stringline {

std::optional<Date> first_date(const VisitTree& visit) {
  return visit.log.empty() ? std::nullopt : visit.log.front().date;
}

bool came_before(const VisitTree& other, const VisitTree& visit) {
  const auto then = first_date(other);
  const auto now = first_date(visit);
  return then && other.id.text != visit.id.text && (!now || *then < *now);
}

}  // namespace stringline
