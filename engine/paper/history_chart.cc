// See history_chart.h.
#include "engine/paper/history_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/paper/svg.h"

namespace stringline {
namespace {

constexpr double chart_width = 250;
constexpr double left = 22;
constexpr double right = 22;
constexpr double top = 24;
constexpr double plot_height = 74;
constexpr double foot = 128;
constexpr int text_size = 12;

struct Point {
  Date date;
  std::optional<double> lo;  // an end that is absent is open
  std::optional<double> hi;
  double half = 0;  // of what the tool tells apart
  const HistoryCell* cell = nullptr;

  [[nodiscard]] double middle() const { return lo && hi ? 0.5 * (*lo + *hi) : lo.value_or(hi.value_or(0)); }
};

std::optional<double> double_of(const std::optional<Ratio>& value) {
  return value ? std::optional(value->to_double()) : std::nullopt;
}

// By the days they were read on.
std::vector<Point> points_of(const HistoryRow& row) {
  std::vector<Point> points;
  for (const HistoryCell& cell : row.cells) {
    if (!cell.value || !cell.comparable || cell.value->value.kind != Kind::number) continue;
    const Interval& number = cell.value->value.number;
    if (!number.lo && !number.hi) continue;
    const double half = cell.value->converted_from.empty() ? 0.5 * std::sqrt(cell.value->square.to_double()) : 0.0;
    points.push_back({cell.value->date, double_of(number.lo), double_of(number.hi), half, &cell});
  }
  std::stable_sort(points.begin(), points.end(), [](const Point& a, const Point& b) { return a.date < b.date; });
  return points;
}

class Chart {
 public:
  Chart(HtmlWriter& out, const HistoryRow& row, std::vector<Point> points)
      : out_(out),
        points_(std::move(points)),
        lowest_(double_of(row.lowest)),
        highest_(double_of(row.highest)),
        bottom_(points_.front().middle()) {
    double upper = bottom_;
    double finest = 0;
    const auto reach = [&](double value) {
      bottom_ = std::min(bottom_, value);
      upper = std::max(upper, value);
    };
    for (const Point& point : points_) {
      for (const auto& end : {point.lo, point.hi}) {
        if (end) reach(*end - point.half);
        if (end) reach(*end + point.half);
      }
      finest = std::max(finest, 2 * point.half);
    }
    for (const auto& end : {lowest_, highest_}) {
      if (end) reach(*end);
    }
    // What no tool tells apart must not look like a change.
    const double least = std::max(6 * finest, 1e-9);
    if (upper - bottom_ < least) {
      bottom_ -= 0.5 * (least - (upper - bottom_));
      upper = bottom_ + least;
    }
    per_unit_ = plot_height / (upper - bottom_);
  }

  void draw(const std::string& name, const std::string& words, const std::vector<WorkDone>& work, std::size_t number) {
    svg::open(out_, {fmt::format("chart{}", number), chart_width, foot + 8, name + " over time", words},
              {{"data-zero", svg::px(y(0))}, {"data-px-per-unit", svg::mm(per_unit_)}});
    band();
    svg::line(out_, left - 8, foot - 22, chart_width - right + 8, foot - 22, {0.8, ""});
    std::string line;
    for (const Point& point : points_) svg::add_point(line, x(point.date), y(point.middle()));
    svg::polyline(out_, line, {1, ""});
    for (const WorkDone& done : work) mark(done.date);
    for (const Point& point : points_) dot(point);
    for (std::size_t i = 0; i < points_.size(); ++i) value(i);
    days();
    out_.close();
  }

 private:
  [[nodiscard]] double x(Date date) const {
    const auto all = static_cast<double>(days_between(points_.front().date, points_.back().date));
    const auto here = static_cast<double>(days_between(points_.front().date, date));
    return all > 0 ? left + here / all * (chart_width - left - right) : 0.5 * chart_width;
  }
  [[nodiscard]] double y(double value) const { return top + plot_height - (value - bottom_) * per_unit_; }

  void band() {
    if (!lowest_ && !highest_) return;
    const double upper = highest_ ? y(*highest_) : top - 6;
    const double lower = lowest_ ? y(*lowest_) : top + plot_height + 6;
    out_.empty("rect", {{"x", svg::px(left - 8)},
                        {"y", svg::px(upper)},
                        {"width", svg::px(chart_width - left - right + 16)},
                        {"height", svg::px(std::max(lower - upper, 0.5))},
                        {"fill", "#e4e4e4"}});
    for (const auto& end : {lowest_, highest_}) {
      if (end) svg::line(out_, left - 8, y(*end), chart_width - right + 8, y(*end), {0.7, "3 3"});
    }
  }

  void dot(const Point& point) {
    const double at = x(point.date);
    const double middle = y(point.middle());
    if (point.half > 0) bar(at, y(point.middle() + point.half), y(point.middle() - point.half));
    if (point.lo && point.hi && *point.lo < *point.hi) bar(at, y(*point.hi), y(*point.lo));
    if (!point.lo || !point.hi) arrow(at, middle, point.lo ? -1 : 1);
    const bool converted = !point.cell->value->converted_from.empty();
    out_.empty("circle", {{"class", "dot"},
                          {"cx", svg::px(at)},
                          {"cy", svg::px(middle)},
                          {"r", "3.6"},
                          {"fill", converted ? "#fff" : "#111"},
                          {"stroke", "#111"},
                          {"stroke-width", "1.4"},
                          {"data-base", fmt::format("{:.6f}", point.middle())}});
  }

  void bar(double at, double upper, double lower) {
    svg::line(out_, at, upper, at, lower, {1.2, ""});
    for (const double end : {upper, lower}) svg::line(out_, at - 5, end, at + 5, end, {1.2, ""});
  }

  // Toward the side that is open; `down` is 1 or -1.
  void arrow(double at, double from, int down) {
    const double tip = from + down * 16;
    svg::line(out_, at, from, at, tip, {1.2, ""});
    for (const double side : {-4.0, 4.0}) svg::line(out_, at + side, tip - down * 5, at, tip, {1.2, ""});
  }

  // A triangle on the line of days.
  void mark(Date date) {
    if (date < points_.front().date || date > points_.back().date) return;
    const double at = x(date);
    std::string shape;
    svg::add_point(shape, at, foot - 22);
    svg::add_point(shape, at - 4, foot - 15);
    svg::add_point(shape, at + 4, foot - 15);
    out_.empty("polygon", {{"points", shape}, {"fill", "#111"}});
  }

  // Over its dot, under it where another stands there; left out where neither is free, since the table has it.
  void value(std::size_t index) {
    const Point& point = points_[index];
    const std::string moved = point.cell->moved == Moved::yes            ? " *"
                              : point.cell->moved == Moved::can_not_tell ? " ?"
                                                                         : "";
    const std::string text = point.cell->value->text + moved;
    const double half = 0.5 * svg::width_of_label(text, text_size);
    const double at = std::clamp(x(point.date), half + 1, chart_width - half - 1);
    const double upper = y(point.hi.value_or(point.middle()) + point.half) - 6;
    const double lower = y(point.lo.value_or(point.middle()) - point.half) + 14;
    for (const double line : {upper, lower}) {
      const bool inside = line > 10 && line < foot - 24;
      const bool meets = std::any_of(taken_.begin(), taken_.end(), [&](const Taken& other) {
        return at - half < other.end && at + half > other.begin && std::abs(other.y - line) < 13;
      });
      if (!inside || meets || over_a_dot(index, at - half, at + half, line)) continue;
      taken_.push_back({at - half, at + half, line});
      svg::label(out_, at, line, text, text_size);
      return;
    }
  }

  [[nodiscard]] bool over_a_dot(std::size_t index, double begin, double end, double line) const {
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const double at = x(points_[i].date);
      const double middle = y(points_[i].middle());
      if (i != index && at + 4 > begin && at - 4 < end && middle > line - 12 && middle < line + 4) return true;
    }
    return false;
  }

  void days() {
    const Date first = points_.front().date;
    const Date last = points_.back().date;
    const double at = foot + 2;
    if (first == last) {
      svg::label(out_, 0.5 * chart_width, at, to_text(first), text_size);
      return;
    }
    svg::label(out_, left - 18, at, to_text(first), text_size, "start");
    svg::label(out_, chart_width - right + 18, at, to_text(last), text_size, "end");
  }

  struct Taken {
    double begin, end, y;
  };

  HtmlWriter& out_;
  std::vector<Point> points_;
  std::optional<double> lowest_;
  std::optional<double> highest_;
  double bottom_;
  double per_unit_ = 1;
  std::vector<Taken> taken_;
};

std::string wanted_text(const HistoryRow& row, const Value& like) {
  if (!row.lowest && !row.highest) return "";
  Value value = like;
  value.number = {row.lowest, row.highest, false};
  return to_text(value);
}

}  // namespace

void draw_history(HtmlWriter& out, const History& history, const HistoryRow& row, const std::string& name,
                  std::size_t number) {
  auto points = points_of(row);
  if (points.empty()) return;
  const std::string wanted = wanted_text(row, points.back().cell->value->value);
  std::string words;
  for (const Point& point : points)
    words += fmt::format("{}{}: {}", words.empty() ? "" : "; ", to_text(point.date), point.cell->value->text);
  words += wanted.empty() ? "." : fmt::format(". The house wants {}.", wanted);
  out.open("figure");
  out.open("figcaption").leaf("strong", name);
  if (!wanted.empty()) out.text(" wanted: " + wanted);
  out.close();
  Chart(out, row, std::move(points)).draw(name, words, history.work, number);
  out.close();
}

}  // namespace stringline
