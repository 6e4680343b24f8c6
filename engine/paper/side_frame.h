// What pictures of a neck from the side share: how heights become a picture, and the parts that all of them draw.
//
// Heights are stretched by one round number, the same for all sides of a page. Units: mm, shares of the scale, and the
// picture's own, in which it is `side_width` wide; on a phone one of these is about two thirds of a pixel.
// Tested by tests/unit/picture_test.cc.
#pragma once

#include <vector>

#include "engine/paper/line_drawing.h"
#include "engine/paper/svg.h"

namespace stringline {

inline constexpr double side_width = 480;
inline constexpr double side_left = 30;
inline constexpr double side_right = 26;
inline constexpr double side_below = 58;
inline constexpr double fret_length = 9;

// Line styles with one meaning on every page.
inline constexpr svg::Stroke stroke_as_it_is{1.6, ""};
inline constexpr svg::Stroke stroke_expected{1.3, "7 4"};
inline constexpr svg::Stroke stroke_before{1.3, "9 3 2 3"};

struct SideFrame {
  double start = 0;   // share at the left edge
  double lowest = 0;  // heights
  double highest = 0;
  double px_per_mm = 1;  // upward
  double above = 58;     // of the picture, over the highest
  double joint = 2;      // share at which the body joint is marked under the board

  [[nodiscard]] double x(double share) const;
  [[nodiscard]] double y(double height) const { return above + (highest - height) * px_per_mm; }
  [[nodiscard]] double bottom() const { return y(lowest); }
  [[nodiscard]] double picture_height() const { return bottom() + side_below; }
  [[nodiscard]] double px_along(double scale_mm) const;  // of a millimetre of length
  void reach(double height);
  void reach(const DrawnLine& line);
};

// How often a millimetre of length fits into one of height: the largest round number with which all frames fit the paper.
[[nodiscard]] double stretch_of(const std::vector<SideFrame>& frames, double scale_mm);

[[nodiscard]] double fret_x(const SideFrame& frame, int fret);
[[nodiscard]] double fret_top(const SideFrame& frame, const SideDrawing& side, const DrawnLine& line, int fret);
// The string, and a thin line through the fret tops in the same dashes.
void draw_line(HtmlWriter& out, const SideFrame& frame, const SideDrawing& side, const DrawnLine& line,
               svg::Stroke stroke);
// The frets of `line` on their board, which is drawn a fret's length under the tops, and the body joint.
void draw_board(HtmlWriter& out, const SideFrame& frame, const SideDrawing& side, const DrawnLine& line);
void draw_posts(HtmlWriter& out, const SideFrame& frame, const SideDrawing& side, const DrawnLine& line);
// The straight edge a downward reading is counted from.
void draw_edge(HtmlWriter& out, const SideFrame& frame, const DrawnReading& reading);

// Labels at readings, moved apart where two would meet.
class ReadingLabels {
 public:
  ReadingLabels(HtmlWriter& out, const SideFrame& frame) : out_(out), frame_(frame) {}
  // Ends near `x`; no lower than `clear`, or under the board.
  void place(const std::string& text, double x, double clear, bool under);

 private:
  struct Placed {
    double begin, end, y;
  };
  HtmlWriter& out_;
  const SideFrame& frame_;
  std::vector<Placed> labels_;
};

}  // namespace stringline
