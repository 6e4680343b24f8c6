// See aftermath.h.
#include "engine/judge/aftermath.h"

#include <algorithm>

#include "engine/check/disturb.h"

namespace stringline {

Aftermath::Aftermath(const Program& program) : program_(program), values_(program.points.size()) {}

void Aftermath::did(const JobInfo& job) {
  for (const PointId point : job.disturbs) forget(point);
  if (job.moves && job.by) {  // by how much it moved, no reading tells
    for (const PointId point : disturbed_by(program_, job)) forget(point);
    return;
  }
  for (const JobInfo::Set& set : job.sets) {
    for (const PointId own : set.points) {
      if (set.value || !job.moves)
        forget(own);
      else
        begin(own, *job.moves);
    }
  }
}

void Aftermath::begin(PointId own, Control control) {
  Move move{own, control, expected(own), {}};
  const Carrying carrying(program_, own, control);
  for (PointId point = 0; point < values_.size(); ++point) {
    if (point == own || !values_[point]) continue;
    const auto share = carrying.share(point);
    if (share && (share->lo != 0.0 || share->hi != 0.0)) move.moved.push_back(point);
  }
  forget(own);
  moves_.push_back(std::move(move));
}

void Aftermath::read(PointId point, double value) {
  for (Move& move : moves_) {
    if (move.own != point) continue;
    const Carrying carrying(program_, point, move.control);
    for (const PointId other : move.moved) {
      const auto share = carrying.share(other);
      if (!move.from || !share || !values_[other]) {
        values_[other].reset();
        continue;
      }
      const model::Range by = carried(*share, {value - move.from->hi, value - move.from->lo});
      values_[other] = model::Range{values_[other]->lo + by.lo, values_[other]->hi + by.hi};
    }
  }
  moves_.erase(std::remove_if(moves_.begin(), moves_.end(), [&](const Move& move) { return move.own == point; }),
               moves_.end());
  forget(point);
  values_[point] = model::exactly(value);
}

void Aftermath::forget(PointId point) {
  values_[point].reset();
  for (Move& move : moves_) {
    move.moved.erase(std::remove(move.moved.begin(), move.moved.end(), point), move.moved.end());
    if (move.own == point) move.from.reset();
  }
}

std::optional<model::Range> Aftermath::expected(PointId point) const {
  const auto waits = [&](const Move& move) { return std::count(move.moved.begin(), move.moved.end(), point) > 0; };
  return std::any_of(moves_.begin(), moves_.end(), waits) ? std::nullopt : values_[point];
}

}  // namespace stringline
