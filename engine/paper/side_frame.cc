// See side_frame.h.
#include "engine/paper/side_frame.h"

#include <algorithm>
#include <cmath>

#include "engine/model/frets.h"

namespace stringline {
namespace {

constexpr double most_height = 170;
constexpr int label_size = 13;

}  // namespace

double SideFrame::x(double share) const {
  return side_left + (share - start) / (1 - start) * (side_width - side_left - side_right);
}

double SideFrame::px_along(double scale_mm) const {
  return (side_width - side_left - side_right) / ((1 - start) * scale_mm);
}

void SideFrame::reach(double height) {
  lowest = std::min(lowest, height);
  highest = std::max(highest, height);
}

void SideFrame::reach(const DrawnLine& line) {
  reach(line.nut);
  reach(line.saddle);
  for (const double top : line.frets) reach(top);
}

double stretch_of(const std::vector<SideFrame>& frames, double scale_mm) {
  for (const double stretch : {100.0, 80.0, 60.0, 50.0, 40.0, 30.0, 25.0, 20.0, 15.0, 10.0, 5.0, 2.0}) {
    const bool fits = std::all_of(frames.begin(), frames.end(), [&](const SideFrame& frame) {
      return (frame.highest - frame.lowest) * frame.px_along(scale_mm) * stretch <= most_height;
    });
    if (fits) return stretch;
  }
  return 1;
}

double fret_x(const SideFrame& frame, int fret) { return frame.x(model::fret_share(fret)); }

double fret_top(const SideFrame& frame, const SideDrawing& side, const DrawnLine& line, int fret) {
  return frame.y(line.frets[static_cast<std::size_t>(fret - side.first_fret - 1)]);
}

void draw_line(HtmlWriter& out, const SideFrame& frame, const SideDrawing& side, const DrawnLine& line,
               svg::Stroke stroke) {
  svg::line(out, frame.x(side.start), frame.y(line.nut), frame.x(1), frame.y(line.saddle), stroke);
  std::string tops;
  const int last = side.first_fret + static_cast<int>(line.frets.size());
  for (int fret = side.first_fret + 1; fret <= last; ++fret)
    svg::add_point(tops, fret_x(frame, fret), fret_top(frame, side, line, fret));
  svg::polyline(out, tops, {*stroke.dash == '\0' ? 0.6 : 1.0, stroke.dash});
}

void draw_board(HtmlWriter& out, const SideFrame& frame, const SideDrawing& side, const DrawnLine& line) {
  std::string edge;
  const int last = side.first_fret + static_cast<int>(line.frets.size());
  for (int fret = side.first_fret + 1; fret <= last; ++fret) {
    const double x = fret_x(frame, fret);
    const double y = fret_top(frame, side, line, fret);
    svg::line(out, x, y, x, y + fret_length, {2, ""});
    svg::add_point(edge, x, y + fret_length);
  }
  svg::polyline(out, edge, {1.6, ""});
  const double joint = frame.x(side.joint);
  const double under = frame.bottom() + fret_length;
  svg::line(out, joint, under + 20, joint, under + 30, {1.6, ""});
  svg::label(out, joint + 5, under + 31, "body joint", 11, "start");
}

void draw_posts(HtmlWriter& out, const SideFrame& frame, const SideDrawing& side, const DrawnLine& line) {
  const double foot = frame.bottom() + fret_length;
  const auto post = [&](double x, double y) {
    out.empty("rect", {{"x", svg::px(x - 3)},
                       {"y", svg::px(y)},
                       {"width", "6"},
                       {"height", svg::px(foot - y)},
                       {"fill", "#fff"},
                       {"stroke", "#111"},
                       {"stroke-width", "1.4"}});
  };
  post(frame.x(side.start), frame.y(line.nut));
  post(frame.x(1), frame.y(line.saddle));
  svg::label(out, frame.x(side.start), foot + 14, "nut", 11);
  svg::label(out, frame.x(1) + 4, foot + 14, "saddle", 11);
}

void draw_edge(HtmlWriter& out, const SideFrame& frame, const DrawnReading& reading) {
  if (!reading.edge) return;
  const auto& [before, past] = *reading.edge;
  svg::line(out, frame.x(before.share), frame.y(before.height), frame.x(past.share), frame.y(past.height),
            {0.8, "1.5 2.5"});
}

void ReadingLabels::place(const std::string& text, double x, double clear, bool under) {
  const double wide = svg::width_of_label(text, label_size);
  double end = under ? x + 0.5 * wide : std::max(x - 8, wide + 2);
  const double mark = frame_.x(frame_.joint) - 8;  // left of the body joint's own mark and word
  if (under && end > mark && x < mark) end = std::max(mark, wide + 2);
  double at = under ? frame_.bottom() + fret_length + 30 : clear - 7;
  for (const Placed& other : labels_) {
    const bool meets = end > other.begin && end - wide < other.end && std::abs(other.y - at) < 14;
    if (meets) at = under ? other.y + 14 : other.y - 14;
  }
  labels_.push_back({end - wide, end, at});
  svg::label(out_, end, at, text, label_size, "end");
}

}  // namespace stringline
