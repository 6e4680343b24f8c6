// See fret_picture.h.
#include "engine/paper/fret_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/paper/svg.h"

namespace stringline {
namespace {

constexpr double width = 480;
constexpr double left = 24;
constexpr double right = 14;
constexpr double board_top = 34;
constexpr double board_height = 58;
constexpr double taper = 7;  // how much narrower the nut is, on each side
constexpr double strip_height = 98;
constexpr double bars_height = 38;
constexpr double number_gap = 17;

bool contains(const std::vector<int>& frets, int fret) { return std::count(frets.begin(), frets.end(), fret) > 0; }

class FretPicture {
 public:
  FretPicture(HtmlWriter& out, const Program& program, const FretMap& map) : out_(out), program_(program), map_(map) {}

  void draw() {
    const double height = board_top + board_height + 22 + strip_height * static_cast<double>(map_.strips.size());
    svg::open(out_, {"frets", width, height, "The frets from above, and what was read of each", words()});
    board();
    numbers();
    double y = board_top + board_height + 22;
    for (const FretStrip& each : map_.strips) {
      strip(each, y);
      y += strip_height;
    }
    out_.close();
  }

 private:
  [[nodiscard]] double x(int fret) const {
    return left + map_.places[static_cast<std::size_t>(fret)] / map_.places.back() * (width - left - right);
  }
  [[nodiscard]] double edge(double at, bool upper) const {
    const double in = taper * (1 - (at - left) / (width - left - right));
    return upper ? board_top + in : board_top + board_height - in;
  }

  [[nodiscard]] std::string words() const {
    std::string text =
        map_.high.empty() ? "No fret stands too high." : fmt::format("Too high: fret {}.", fmt::join(map_.high, ", "));
    for (const FretStrip& each : map_.strips) {
      text += fmt::format(" {}, {}{}:", each.name, each.unit, each.wanted.empty() ? "" : ", wanted " + each.wanted);
      for (const FretBar& bar : each.bars)
        text += fmt::format("{} fret {} {}", &bar == &each.bars.front() ? "" : ",", bar.fret, bar.text);
      text += ".";
    }
    return text;
  }

  void board() {
    std::string outline;
    const double last = width - right + 8;
    svg::add_point(outline, left, edge(left, true));
    svg::add_point(outline, last, edge(last, true));
    svg::add_point(outline, last, edge(last, false));
    svg::add_point(outline, left, edge(left, false));
    out_.empty("polygon", {{"points", outline}, {"fill", "#fff"}, {"stroke", "#111"}, {"stroke-width", "1.2"}});
    const auto strings = static_cast<int>(program_.strings.size());
    for (int i = 0; i < strings; ++i) {
      const double part = strings > 1 ? (i + 0.5) / strings : 0.5;
      const auto at = [&](double place) { return edge(place, true) + part * (edge(place, false) - edge(place, true)); };
      svg::line(out_, left, at(left), last, at(last), {0.4, ""});
    }
    svg::line(out_, left, edge(left, true) - 2, left, edge(left, false) + 2, {5, ""});
    for (int fret = 1; fret < static_cast<int>(map_.places.size()); ++fret) {
      const bool high = contains(map_.high, fret);
      out_.empty("line", {{"class", "fret"},
                          {"x1", svg::px(x(fret))},
                          {"y1", svg::px(edge(x(fret), true))},
                          {"x2", svg::px(x(fret))},
                          {"y2", svg::px(edge(x(fret), false))},
                          {"stroke", "#111"},
                          {"stroke-width", high ? "4" : "1.4"}});
      if (high) triangle(x(fret), edge(x(fret), true) - 3);
    }
  }

  void triangle(double at, double tip) {
    std::string shape;
    svg::add_point(shape, at, tip);
    svg::add_point(shape, at - 5, tip - 9);
    svg::add_point(shape, at + 5, tip - 9);
    out_.empty("polygon", {{"points", shape}, {"fill", "#111"}});
  }

  [[nodiscard]] bool marked(int fret) const {
    const auto out = [&](const FretStrip& strip) {
      return std::any_of(strip.bars.begin(), strip.bars.end(),
                         [&](const FretBar& bar) { return bar.fret == fret && bar.out; });
    };
    return contains(map_.high, fret) || std::any_of(map_.strips.begin(), map_.strips.end(), out);
  }

  // High frets over the board; under it what is out first, then as many others as there is room for.
  void numbers() {
    for (const int fret : map_.high) svg::label(out_, x(fret), edge(x(fret), true) - 15, std::to_string(fret), 11);
    std::vector<double> taken;
    for (const bool important : {true, false}) {
      for (int fret = 1; fret < static_cast<int>(map_.places.size()); ++fret) {
        if (marked(fret) != important) continue;
        const double at = x(fret);
        if (std::any_of(taken.begin(), taken.end(), [&](double each) { return std::abs(each - at) < number_gap; }))
          continue;
        taken.push_back(at);
        svg::label(out_, at, board_top + board_height + 14, std::to_string(fret), 11);
      }
    }
  }

  void strip(const FretStrip& strip, double top) {
    double most = strip.high.value_or(0);
    if (strip.low) most = std::max(most, *strip.low);
    for (const FretBar& bar : strip.bars) most = std::max(most, std::abs(bar.value));
    const double per_mm = most > 0 ? bars_height / most : 1;
    const double foot = top + strip_height - 12;
    out_.open("g", {{"class", "strip"}, {"data-px-per-mm", svg::mm(per_mm)}});
    std::string title = fmt::format("{}, {}: {}", strip.name, strip.unit, strip.worst);
    if (!strip.wanted.empty()) title += "; wanted " + strip.wanted;
    svg::label(out_, left - 20, top + 13, title, 12, "start");
    svg::line(out_, left, foot, width - right + 8, foot, {0.8, ""});
    for (const auto& limit : {strip.low, strip.high}) {
      if (limit && *limit > 0)
        svg::line(out_, left, foot - *limit * per_mm, width - right + 8, foot - *limit * per_mm, {0.9, "5 3"});
    }
    for (const FretBar& each : strip.bars) bar(each, foot, per_mm);
    out_.close();
  }

  void bar(const FretBar& bar, double foot, double per_mm) {
    const double at = x(bar.fret);
    const double tall = std::abs(bar.value) * per_mm;
    out_.empty("rect", {{"class", "bar"},
                        {"x", svg::px(at - 3)},
                        {"y", svg::px(bar.value < 0 ? foot : foot - tall)},
                        {"width", "6"},
                        {"height", svg::px(tall)},
                        {"fill", bar.out ? "#111" : "#fff"},
                        {"stroke", "#111"},
                        {"stroke-width", "0.8"},
                        {"data-fret", std::to_string(bar.fret)},
                        {"data-mm", svg::mm(bar.value)}});
    if (!bar.out) return;
    const std::string place = fmt::format("{} {}", svg::px(at + 3.5), svg::px(foot - tall - 4));
    out_.leaf("text", bar.text,
              {{"transform", fmt::format("translate({}) rotate(-90)", place)},
               {"font-size", "10"},
               {"text-anchor", "start"}});
  }

  HtmlWriter& out_;
  const Program& program_;
  const FretMap& map_;
};

}  // namespace

void draw_frets(HtmlWriter& out, const Program& program, const FretMap& map) {
  if (map.strips.empty()) return;
  out.leaf("h2", "The frets from above").open("figure");
  FretPicture(out, program, map).draw();
  out.leaf("figcaption",
           "Nut at the left, frets at their true places. " +
               std::string(map.high.empty() ? "" : "Thick, under a triangle: stands too high. ") +
               "Bars: what was read of each fret; black, with its number, where it is beyond the dashed line.");
  out.close();
}

}  // namespace stringline
