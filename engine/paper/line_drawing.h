// The numbers of the string-line drawing: where frets, strings and readings lie, in the model's own heights.
//
// For the bass and the treble string: the fret tops and the string as the readings that stand put them (judge/heights.h), the
// same as the list is expected to leave them, and every gap that was read over a fret as the height of one point:
//   open, or held before it only     the reading above the fret's line        action at 12, nut gap, action_17 with a capo
//   held on both sides               the reading below the straight edge      relief at 7 held at 1 and 16
// so a point's height is linear in its reading. Frets are drawn on the neck's line plus the rise that was read of each;
// gaps are counted from the line alone, as heights.h does.
// Where the readings that stand do not determine the strings, nothing is drawn and the smallest set of readings that would do
// is named. Where the expected readings are an interval, both of its ends are drawn.
// Units: mm, shares of the scale. Limits: those of model/string_line.h, phi in the middle of what the shop knows.
// Tested by tests/unit/picture_test.cc.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/judge/clean.h"
#include "engine/plan/plan.h"

namespace stringline {

struct DrawnReading {
  PointId point = 0;
  double share = 0;       // of the scale
  double value = 0;       // what was read
  double read_to = 0;     // what its tool tells apart
  double height = 0;      // of the point
  double from = 0;        // height it is counted from
  bool downward = false;  // counted down from a straight edge
  struct Place {
    double share = 0;
    double height = 0;
  };
  std::optional<std::pair<Place, Place>> edge;  // the straight edge, then
  std::optional<double> low;  // the target's limits and aim, as heights; `low` is the lower on the picture
  std::optional<double> high;
  std::optional<double> aim;
};

// One side's string and frets, once.
struct DrawnLine {
  double nut = 0;  // the slot's floor
  double saddle = 0;
  std::vector<double> frets;  // tops; the string's first fret first
};

struct SideDrawing {
  int string = 0;      // place on the string axis
  std::string name;    // "bass side, string 6"
  double start = 0;    // where the string starts, as a share of the scale
  int first_fret = 0;  // of it
  double joint = 0;    // the body joint's share
  DrawnLine now;
  std::optional<DrawnLine> before;  // as it came in; nothing where that is not known, or nothing was done since
  std::vector<DrawnLine> after;     // none where it can not be told; two where it is an interval
  std::vector<DrawnReading> readings;
  std::vector<int> stopping;  // frets that stop notes at the action that is aimed at
};

struct LineDrawing {
  std::vector<SideDrawing> sides;  // empty: nothing can be drawn
  std::vector<PointId> missing;    // why not: these readings; empty: the profile says too little of the neck
  bool work = false;               // the list has jobs that move strings or frets
};

// `before`: as it came in (judge/came_in.h), or null.
[[nodiscard]] LineDrawing line_drawing(const Program& program, const Judgement& judgement, const Plan& plan,
                                       const std::vector<CleanSide>& clean, const Judgement* before = nullptr);
// Only what the readings that stand say; nothing of work.
[[nodiscard]] LineDrawing line_drawing(const Program& program, const Judgement& judgement);

}  // namespace stringline
