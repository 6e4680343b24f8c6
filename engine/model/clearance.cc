#include "engine/model/clearance.h"

#include <algorithm>
#include <limits>

#include "engine/model/frets.h"

namespace stringline::model {
namespace {

double rise_of(const std::vector<FretRise>& rises, int fret) {
  double sum = 0.0;
  for (const FretRise& rise : rises) {
    if (rise.fret == fret) sum += rise.height_mm;
  }
  return sum;
}

// Where the string leaves what it is pressed on: a fret, or the nut for the open string.
double start_height(const ClearanceState& state, int fretted, double phi) {
  if (fretted > state.neck.first_fret) return fret_top(state, fretted, phi);
  return state.nut_height + fret_line(state.neck.start(), state.neck.joint()).at(phi) * state.neck_bend;
}

double share_of_way(int fretted, int over) {
  return (fret_share(over) - fret_share(fretted)) / (1.0 - fret_share(fretted));
}

// The saddle height that leaves `margin_mm` under the note.
double least_saddle(const ClearanceState& state, int fretted, int over, double margin_mm, double phi) {
  const double start = start_height(state, fretted, phi);
  return start + (fret_top(state, over, phi) + margin_mm - start) / share_of_way(fretted, over);
}

std::optional<int> neighbour(const ClearanceState& state, const std::vector<int>& named, int fret, int step) {
  for (int at = fret + step; at > state.neck.first_fret && at <= state.neck.frets; at += step) {
    if (std::find(named.begin(), named.end(), at) == named.end()) return at;
  }
  return std::nullopt;
}

}  // namespace

double fret_top(const ClearanceState& state, int fret, double phi) {
  return fret_line(fret_share(fret), state.neck.joint()).at(phi) * state.neck_bend + rise_of(state.rises, fret);
}

double clearance(const ClearanceState& state, int fretted, int over, double phi) {
  const double start = start_height(state, fretted, phi);
  return start + (state.saddle_height - start) * share_of_way(fretted, over) - fret_top(state, over, phi);
}

std::vector<StoppedNote> stopped_notes(const ClearanceState& state, double margin_mm, double phi) {
  std::vector<StoppedNote> stopped;
  for (int fretted = state.neck.first_fret; fretted < state.neck.frets; ++fretted) {
    StoppedNote worst{fretted, 0, std::numeric_limits<double>::infinity()};
    for (int over = fretted + 1; over <= state.neck.frets; ++over) {
      const double here = clearance(state, fretted, over, phi);
      if (here < worst.clearance) worst = {fretted, over, here};
    }
    if (worst.clearance <= margin_mm) stopped.push_back(worst);
  }
  return stopped;
}

std::optional<LowestClean> lowest_clean(const ClearanceState& state, double margin_mm, double phi, int at) {
  LowestClean lowest;
  lowest.saddle_height = -std::numeric_limits<double>::infinity();
  for (int fretted = state.neck.first_fret; fretted < state.neck.frets; ++fretted) {
    for (int over = fretted + 1; over <= state.neck.frets; ++over) {
      const double saddle = least_saddle(state, fretted, over, margin_mm, phi);
      if (saddle > lowest.saddle_height) lowest = {saddle, 0.0, fretted, over};
    }
  }
  if (lowest.stopped_at == 0 || at <= state.neck.first_fret || at > state.neck.frets) return std::nullopt;
  ClearanceState there = state;
  there.saddle_height = lowest.saddle_height;
  lowest.action = clearance(there, state.neck.first_fret, at, phi);
  return lowest;
}

std::optional<Range> lowest_clean_action(const ClearanceState& state, double margin_mm, Range phi, int at) {
  if (!lowest_clean(state, margin_mm, phi.lo, at)) return std::nullopt;
  const auto action = [&](double share) { return lowest_clean(state, margin_mm, share, at)->action; };
  const double highest = std::max(action(phi.lo), action(phi.hi));
  Range bracket = phi;  // convex in phi, so a third can be dropped each round
  while (bracket.width() > 1e-9) {
    const double left = bracket.lo + bracket.width() / 3.0;
    const double right = bracket.hi - bracket.width() / 3.0;
    (action(left) <= action(right) ? bracket.hi : bracket.lo) = action(left) <= action(right) ? right : left;
  }
  const double lowest = std::min({action(phi.lo), action(phi.hi), action(bracket.middle())});
  return Range{lowest, highest};
}

ClearanceState after_full_level(ClearanceState state) {
  double lowest = std::numeric_limits<double>::infinity();
  for (int fret = state.neck.first_fret + 1; fret <= state.neck.frets; ++fret) {
    lowest = std::min(lowest, rise_of(state.rises, fret));
  }
  state.rises.clear();
  for (int fret = 1; fret <= state.neck.frets; ++fret) state.rises.push_back({fret, lowest});
  return state;
}

ClearanceState after_spot_level(const ClearanceState& state, const std::vector<int>& frets) {
  ClearanceState result = state;
  for (const int fret : frets) {
    const std::optional<int> below = neighbour(state, frets, fret, -1);
    const std::optional<int> above = neighbour(state, frets, fret, +1);
    if (!below && !above) continue;
    const double left = rise_of(state.rises, below.value_or(above.value_or(0)));
    const double right = rise_of(state.rises, above.value_or(below.value_or(0)));
    const double excess = rise_of(state.rises, fret) - std::max(left, right);
    if (excess > 0.0) result.rises.push_back({fret, -excess});
  }
  return result;
}

}  // namespace stringline::model
