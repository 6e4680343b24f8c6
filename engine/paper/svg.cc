// See svg.h.
#include "engine/paper/svg.h"

#include <fmt/format.h>

#include "engine/paper/page.h"

namespace stringline::svg {

std::string px(double value) { return fmt::format("{:.2f}", value); }
std::string mm(double value) { return fmt::format("{:.4f}", value); }

void open(HtmlWriter& out, const Head& head, const HtmlWriter::Attributes& more) {
  HtmlWriter::Attributes attributes{{"viewBox", fmt::format("0 0 {} {}", px(head.width), px(head.height))},
                                    {"role", "img"},
                                    {"aria-labelledby", head.id + "t " + head.id + "d"}};
  attributes.insert(attributes.end(), more.begin(), more.end());
  out.open("svg", attributes);
  out.leaf("title", head.title, {{"id", head.id + "t"}});
  out.leaf("desc", head.words, {{"id", head.id + "d"}});
}

void line(HtmlWriter& out, double x1, double y1, double x2, double y2, Stroke stroke) {
  HtmlWriter::Attributes attributes{{"x1", px(x1)}, {"y1", px(y1)},     {"x2", px(x2)},
                                    {"y2", px(y2)}, {"stroke", "#111"}, {"stroke-width", px(stroke.width)}};
  if (*stroke.dash != '\0') attributes.emplace_back("stroke-dasharray", stroke.dash);
  out.empty("line", attributes);
}

void polyline(HtmlWriter& out, const std::string& points, Stroke stroke) {
  HtmlWriter::Attributes attributes{
      {"points", points}, {"fill", "none"}, {"stroke", "#111"}, {"stroke-width", px(stroke.width)}};
  if (*stroke.dash != '\0') attributes.emplace_back("stroke-dasharray", stroke.dash);
  out.empty("polyline", attributes);
}

void add_point(std::string& points, double x, double y) {
  points += fmt::format("{}{},{}", points.empty() ? "" : " ", px(x), px(y));
}

void cross(HtmlWriter& out, double x, double y, double half) {
  line(out, x - half, y - half, x + half, y + half, {0.4 * half, ""});
  line(out, x - half, y + half, x + half, y - half, {0.4 * half, ""});
}

void label(HtmlWriter& out, double x, double y, std::string_view text, int size, const char* anchor) {
  out.leaf("text", text,
           {{"x", px(x)},
            {"y", px(y)},
            {"font-size", std::to_string(size)},
            {"text-anchor", anchor},
            {"stroke", "#fff"},
            {"stroke-width", "3"},
            {"paint-order", "stroke"}});
}

double width_of_label(std::string_view text, int size) { return 0.65 * size * static_cast<double>(width_of(text)); }

void legend(HtmlWriter& out, double right, double y, const std::vector<Sample>& samples) {
  constexpr int size = 11;
  constexpr double sample = 26;
  double x = right;
  for (auto each = samples.rbegin(); each != samples.rend(); ++each) {
    x -= width_of_label(each->word, size);
    label(out, x, y, each->word, size, "start");
    x -= sample + 5;
    if (each->cross)
      cross(out, x + sample - 6, y - 4, 5);
    else
      line(out, x, y - 4, x + sample, y - 4, each->stroke);
    x -= 12;
  }
}

}  // namespace stringline::svg
