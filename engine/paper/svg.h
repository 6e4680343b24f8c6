// Lines, words and legends of pictures inside a page. Black on white; lines are told apart by their dashes.
// Coordinates are those of the picture's viewBox, y downward. Tested by tests/unit/picture_test.cc.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/paper/html.h"

namespace stringline::svg {

[[nodiscard]] std::string px(double value);  // two decimals
[[nodiscard]] std::string mm(double value);  // four, for data-attributes

struct Stroke {
  double width = 1;
  const char* dash = "";  // as stroke-dasharray
};

struct Head {
  std::string id;  // of the page's pictures each has its own
  double width = 0;
  double height = 0;
  std::string title;  // what it shows
  std::string words;  // the same for those who do not see it
};

// Opens <svg>, to be closed by the caller.
void open(HtmlWriter& out, const Head& head, const HtmlWriter::Attributes& more = {});
void line(HtmlWriter& out, double x1, double y1, double x2, double y2, Stroke stroke);
void polyline(HtmlWriter& out, const std::string& points, Stroke stroke);
// "x,y" after what is there.
void add_point(std::string& points, double x, double y);
void cross(HtmlWriter& out, double x, double y, double half);
// With a white edge, so that it reads on top of lines.
void label(HtmlWriter& out, double x, double y, std::string_view text, int size, const char* anchor = "middle");
// About how wide a label is.
[[nodiscard]] double width_of_label(std::string_view text, int size);

// Samples of lines with their words, from the right edge leftward; the first entry stands leftmost.
struct Sample {
  Stroke stroke;
  std::string word;
  bool cross = false;  // instead of a line
};
void legend(HtmlWriter& out, double right, double y, const std::vector<Sample>& samples);

}  // namespace stringline::svg
