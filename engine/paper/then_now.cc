// See then_now.h.
#include "engine/paper/then_now.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/model/frets.h"
#include "engine/paper/line_drawing.h"
#include "engine/paper/side_frame.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

struct Seen {
  const SeenVisit& visit;
  LineDrawing drawing;

  [[nodiscard]] const std::string& name(const DrawnReading& reading) const {
    return visit.program->points[reading.point].name;
  }
  [[nodiscard]] std::string value(const DrawnReading& reading) const {
    return to_text(visit.judgement->points[reading.point].value);
  }
  [[nodiscard]] std::string words(const DrawnReading& reading) const {
    std::string words = visit.program->reading_of(reading.point).name;
    std::replace(words.begin(), words.end(), '_', ' ');
    return words;
  }
};

SideFrame frame_of(const SideDrawing& then, const SideDrawing& now) {
  SideFrame frame;
  frame.start = now.start;
  frame.joint = now.joint;
  for (const SideDrawing* side : {&then, &now}) {
    frame.reach(side->now);
    for (const DrawnReading& reading : side->readings) frame.reach(reading.height);
  }
  return frame;
}

class Picture {
 public:
  Picture(HtmlWriter& out, const Seen& then, const Seen& now, std::size_t side, double stretch)
      : out_(out),
        then_(then),
        now_(now),
        before_(then.drawing.sides[side]),
        after_(now.drawing.sides[side]),
        frame_(frame_of(before_, after_)),
        labels_(out, frame_) {
    frame_.px_per_mm = stretch * frame_.px_along(now.visit.program->scale_mm);
  }

  void draw(std::size_t number, const ThenNowWords& words) {
    svg::open(out_,
              {fmt::format("times{}", number), side_width, frame_.picture_height(),
               fmt::format("The string from the side, {} and {}: {}", words.then, words.now, after_.name),
               description(words)},
              {{"data-plane", svg::px(frame_.y(0))}, {"data-px-per-mm", svg::mm(frame_.px_per_mm)}});
    svg::label(out_, side_left, 14, after_.name, 14, "start");
    const svg::Stroke now{after_.string == 0 ? 1.6 : 2.6, ""};
    svg::legend(out_, side_width - 12, 32, {{stroke_before, words.then}, {now, words.now}});
    draw_line(out_, frame_, before_, before_.now, stroke_before);
    draw_line(out_, frame_, after_, after_.now, now);
    draw_posts(out_, frame_, after_, after_.now);
    draw_board(out_, frame_, after_, after_.now);
    numbers();
    for (const DrawnReading& reading : before_.readings) dot(then_, reading, "#fff");
    for (const DrawnReading& reading : after_.readings) dot(now_, reading, "#111");
    texts(words);
    out_.close();
  }

 private:
  [[nodiscard]] const DrawnReading* same(const DrawnReading& reading) const {
    for (const DrawnReading& each : before_.readings) {
      if (then_.name(each) == now_.name(reading)) return &each;
    }
    return nullptr;
  }

  [[nodiscard]] std::string description(const ThenNowWords& words) const {
    std::string text = fmt::format(
        "Nut at the left, saddle at the right. From {} to {} the string moved by {:+.2f} mm at the nut and {:+.2f} mm "
        "at "
        "the saddle.",
        words.then, words.now, after_.now.nut - before_.now.nut, after_.now.saddle - before_.now.saddle);
    for (const DrawnReading& reading : after_.readings) {
      const DrawnReading* other = same(reading);
      text += fmt::format(" {}: {}{}.", now_.words(reading), other ? then_.value(*other) + ", then " : "",
                          now_.value(reading));
    }
    return text;
  }

  void numbers() {
    double last = -100;
    for (int fret = after_.first_fret + 1; fret <= now_.visit.program->frets; ++fret) {
      const double share = model::fret_share(fret);
      const bool read = std::any_of(after_.readings.begin(), after_.readings.end(),
                                    [&](const DrawnReading& each) { return std::abs(each.share - share) < 1e-9; });
      const double x = fret_x(frame_, fret);
      if ((!read && fret != 12 && fret != now_.visit.program->frets) || x - last < 15) continue;
      last = x;
      svg::label(out_, x, frame_.bottom() + fret_length + 14, std::to_string(fret), 11);
    }
  }

  void dot(const Seen& seen, const DrawnReading& reading, const char* fill) {
    const double x = frame_.x(reading.share);
    const double y = frame_.y(reading.height);
    draw_edge(out_, frame_, reading);
    out_.empty("circle", {{"class", "dot"},
                          {"cx", svg::px(x)},
                          {"cy", svg::px(y)},
                          {"r", "3.6"},
                          {"fill", fill},
                          {"stroke", "#111"},
                          {"stroke-width", "1.4"},
                          {"data-reading", seen.name(reading)},
                          {"data-mm", svg::mm(reading.value)},
                          {"data-height", svg::mm(reading.height)}});
  }

  // "action 2.4 mm -> 2.9 mm" at the reading's upper dot.
  void texts(const ThenNowWords& words) {
    for (const DrawnReading& reading : after_.readings) {
      const DrawnReading* other = same(reading);
      std::string text = now_.words(reading) + " ";
      if (other != nullptr && then_.value(*other) != now_.value(reading))
        text += then_.value(*other) + " \xE2\x86\x92 ";
      text += now_.value(reading);
      place(reading, std::max(reading.height, other ? other->height : reading.height), text);
    }
    for (const DrawnReading& reading : before_.readings) {
      const auto again = [&](const DrawnReading& each) { return now_.name(each) == then_.name(reading); };
      if (std::none_of(after_.readings.begin(), after_.readings.end(), again))
        place(reading, reading.height,
              fmt::format("{} {}, {}", then_.words(reading), then_.value(reading), words.then));
    }
  }

  void place(const DrawnReading& reading, double height, const std::string& text) {
    const double x = frame_.x(reading.share);
    const double end = std::max(x - 8, svg::width_of_label(text, 13) + 2);
    const double y = frame_.y(height);
    labels_.place(text, x, end > x ? std::min({y, string_y(before_.now, end), string_y(after_.now, end)}) : y,
                  reading.downward);
  }

  [[nodiscard]] double string_y(const DrawnLine& line, double x) const {
    const double from = frame_.x(frame_.start);
    const double part = (x - from) / (frame_.x(1) - from);
    return frame_.y(line.nut + part * (line.saddle - line.nut));
  }

  HtmlWriter& out_;
  const Seen& then_;
  const Seen& now_;
  const SideDrawing& before_;
  const SideDrawing& after_;
  SideFrame frame_;
  ReadingLabels labels_;
};

// Why the two can not lie one over the other; empty when they can.
std::string apart(const Seen& then, const Seen& now, const ThenNowWords& words) {
  const auto missing = [](const Seen& seen, const std::string& when) {
    return fmt::format("Not drawn: the readings {} do not say where the strings lie. It would take: {}.", when,
                       name_readings(*seen.visit.program, seen.drawing.missing));
  };
  if (!then.drawing.missing.empty()) return missing(then, words.then);
  if (!now.drawing.missing.empty()) return missing(now, words.now);
  const Program& a = *then.visit.program;
  const Program& b = *now.visit.program;
  const bool alike = a.frets == b.frets && std::abs(a.scale_mm - b.scale_mm) < 1e-9 &&
                     std::abs(a.body_joint - b.body_joint) < 1e-9 &&
                     then.drawing.sides.size() == now.drawing.sides.size();
  bool same_strings = alike;
  for (std::size_t i = 0; alike && i < now.drawing.sides.size(); ++i) {
    same_strings = same_strings && then.drawing.sides[i].name == now.drawing.sides[i].name &&
                   then.drawing.sides[i].first_fret == now.drawing.sides[i].first_fret;
  }
  return same_strings ? "" : "Not drawn: the two visits say different things of the scale, the frets or the strings.";
}

}  // namespace

bool can_draw_then_now(const SeenVisit& then_visit, const SeenVisit& now_visit) {
  const Seen then{then_visit, line_drawing(*then_visit.program, *then_visit.judgement)};
  const Seen now{now_visit, line_drawing(*now_visit.program, *now_visit.judgement)};
  return !then.drawing.sides.empty() && !now.drawing.sides.empty() && apart(then, now, {}).empty();
}

void draw_then_now(HtmlWriter& out, const SeenVisit& then_visit, const SeenVisit& now_visit,
                   const ThenNowWords& words) {
  const Seen then{then_visit, line_drawing(*then_visit.program, *then_visit.judgement)};
  const Seen now{now_visit, line_drawing(*now_visit.program, *now_visit.judgement)};
  const auto nothing = [](const Seen& seen) { return seen.drawing.sides.empty() && seen.drawing.missing.empty(); };
  if (nothing(then) || nothing(now)) return;
  out.open("section", {{"class", "kept"}}).leaf("h2", words.title);
  const std::string why = apart(then, now, words);
  if (!why.empty()) {
    out.leaf("p", why);
    out.close();
    return;
  }
  std::vector<SideFrame> frames;
  for (std::size_t i = 0; i < now.drawing.sides.size(); ++i)
    frames.push_back(frame_of(then.drawing.sides[i], now.drawing.sides[i]));
  const double stretch = stretch_of(frames, now_visit.program->scale_mm);
  out.open("div", {{"class", "sides"}});
  for (std::size_t i = 0; i < frames.size(); ++i) {
    out.open("figure", {{"class", "side"}});
    Picture(out, then, now, i, stretch).draw(i + 1, words);
    out.close();
  }
  out.close().close();
  out.leaf(
      "p",
      fmt::format("Heights are drawn {:.0f} times as tall as lengths, each time from the neck's own line through the "
                  "fret tops at the nut and at the body joint. Solid line and filled dots: {}. Dashes with dots "
                  "between and open dots: {}. Dotted: the straight edge that relief is counted from.",
                  stretch, words.now, words.then),
      {{"class", "small"}});
}

}  // namespace stringline
