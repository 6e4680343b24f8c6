// See picture.h.
#include "engine/paper/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/model/frets.h"
#include "engine/paper/page_parts.h"
#include "engine/paper/side_frame.h"
#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

using svg::mm;
using svg::px;

SideFrame frame_of(const SideDrawing& side) {
  SideFrame frame;
  frame.start = side.start;
  frame.joint = side.joint;
  frame.reach(side.now);
  if (side.before) frame.reach(*side.before);
  for (const DrawnLine& line : side.after) frame.reach(line);
  for (const DrawnReading& reading : side.readings) {
    for (const auto& height : {std::optional(reading.height), reading.low, reading.high}) {
      if (height) frame.reach(*height);
    }
  }
  return frame;
}

std::string read_text(const Program& program, const Judgement& judgement, const DrawnReading& reading) {
  return plain_name(program.reading_of(reading.point).name) + " " + to_text(judgement.points[reading.point].value);
}

// One side of the neck.
class SidePicture {
 public:
  SidePicture(HtmlWriter& out, const Program& program, const Judgement& judgement, const SideDrawing& side,
              double stretch)
      : out_(out), program_(program), judgement_(judgement), side_(side), frame_(frame_of(side)), labels_(out, frame_) {
    frame_.px_per_mm = stretch * frame_.px_along(program.scale_mm);
  }

  void draw(int number, double stretch) {
    svg::open(out_,
              {fmt::format("side{}", number), side_width, frame_.picture_height(),
               "The string from the side: " + side_.name, description(stretch)},
              {{"data-plane", px(frame_.y(0))}, {"data-px-per-mm", mm(frame_.px_per_mm)}});
    svg::label(out_, side_left, 14, side_.name, 14, "start");
    svg::legend(out_, side_width - 12, 32, samples());
    for (const DrawnReading& reading : side_.readings) band(reading);
    if (side_.before) draw_line(out_, frame_, side_, *side_.before, stroke_before);
    for (const DrawnLine& after : side_.after) draw_line(out_, frame_, side_, after, stroke_expected);
    draw_line(out_, frame_, side_, side_.now, {string_width(), ""});
    draw_posts(out_, frame_, side_, side_.now);
    draw_board(out_, frame_, side_, side_.now);
    marks();
    for (const DrawnReading& reading : side_.readings) dot(reading);
    out_.close();
  }

 private:
  [[nodiscard]] std::vector<svg::Sample> samples() const {
    std::vector<svg::Sample> samples;
    if (side_.before) samples.push_back({stroke_before, "as it came in"});
    samples.push_back({{string_width(), ""}, side_.before ? "read again" : "as it is"});
    if (!side_.after.empty()) samples.push_back({stroke_expected, "expected"});
    if (!side_.stopping.empty()) samples.push_back({{}, "stops notes", true});
    return samples;
  }

  [[nodiscard]] std::string description(double stretch) const {
    std::string text = fmt::format(
        "Nut at the left, saddle at the right; heights are drawn {:.0f} times as tall as lengths.", stretch);
    for (const DrawnReading& reading : side_.readings) {
      text += fmt::format(" {}{}: the house wants {}.", read_text(program_, judgement_, reading),
                          method_note(program_, judgement_, reading.point), wanted(reading.point));
    }
    if (side_.before)
      text += fmt::format(
          " Since it came in, the string at the saddle has moved by {:+.2f} mm and at the nut by {:+.2f} mm.",
          side_.now.saddle - side_.before->saddle, side_.now.nut - side_.before->nut);
    if (!side_.stopping.empty()) text += fmt::format(" Notes are stopped at fret {}.", fmt::join(side_.stopping, ", "));
    return text;
  }

  [[nodiscard]] std::string wanted(PointId point) const {
    const std::string text = wanted_text(program_, judgement_, point);
    return text.empty() ? "nothing of it" : text;
  }

  [[nodiscard]] double string_width() const { return side_.string == 0 ? 1.6 : 2.6; }

  [[nodiscard]] bool stops(int fret) const {
    return std::count(side_.stopping.begin(), side_.stopping.end(), fret) > 0;
  }

  // Crosses on frets that stop notes, and fret numbers.
  void marks() {
    double labelled = -100;
    for (int fret = side_.first_fret + 1; fret <= program_.frets; ++fret) {
      const double x = fret_x(frame_, fret);
      if (stops(fret)) svg::cross(out_, x, fret_top(frame_, side_, side_.now, fret), 6);
      if (!stops(fret) && !numbered(fret)) continue;
      if (x - labelled < 15 && !stops(fret)) continue;
      labelled = x;
      svg::label(out_, x, frame_.bottom() + fret_length + 14, std::to_string(fret), 11);
    }
  }

  [[nodiscard]] bool numbered(int fret) const {
    const double share = model::fret_share(fret);
    const bool read = std::any_of(side_.readings.begin(), side_.readings.end(),
                                  [&](const DrawnReading& each) { return std::abs(each.share - share) < 1e-9; });
    return read || fret == 12 || fret == program_.frets;
  }

  // A side without a limit runs on to the string or fret line, or fades at a fixed length upward.
  void band(const DrawnReading& reading) {
    if (!reading.low && !reading.high) return;
    const double x = frame_.x(reading.share);
    const double bottom = frame_.y(reading.low.value_or(std::min(reading.from, reading.high.value_or(reading.from))));
    const double upper = reading.high ? frame_.y(*reading.high) : bottom - 24;
    HtmlWriter::Attributes attributes{
        {"x", px(x - 10)}, {"y", px(upper)},   {"width", "20"},        {"height", px(std::max(bottom - upper, 0.5))},
        {"fill", "#ddd"},  {"stroke", "#111"}, {"stroke-width", "0.7"}};
    if (!reading.low || !reading.high) attributes.emplace_back("stroke-dasharray", "2 2");
    out_.empty("rect", attributes);
    if (reading.aim) svg::line(out_, x - 15, frame_.y(*reading.aim), x + 15, frame_.y(*reading.aim), {1.2, ""});
  }

  void dot(const DrawnReading& reading) {
    const double x = frame_.x(reading.share);
    draw_edge(out_, frame_, reading);
    const double y = frame_.y(reading.height);
    const double half = 0.5 * reading.read_to * frame_.px_per_mm;
    if (half > 0) {
      svg::line(out_, x, y - half, x, y + half, {1.4, ""});
      for (const double end : {y - half, y + half}) svg::line(out_, x - 6, end, x + 6, end, {1.4, ""});
    }
    out_.empty("circle", {{"class", "dot"},
                          {"cx", px(x)},
                          {"cy", px(y)},
                          {"r", "3.4"},
                          {"fill", "#111"},
                          {"data-reading", program_.points[reading.point].name},
                          {"data-mm", mm(reading.value)},
                          {"data-height", mm(reading.height)}});
    place_label(reading, x, y, half);
  }

  // To the upper left of its dot, clear of the string; under the fret numbers for what is counted downward.
  void place_label(const DrawnReading& reading, double x, double y, double half) {
    const std::string text = read_text(program_, judgement_, reading);
    const double end = std::max(x - 8, svg::width_of_label(text, 13) + 2);
    const double band_top = reading.high ? frame_.y(*reading.high) : y;
    const double clear = std::min({y - half, end > x - 15 ? band_top : y, end > x ? string_y(end) : y});
    labels_.place(text, x, clear, reading.downward);
  }

  [[nodiscard]] double string_y(double x) const {
    const double from = frame_.x(side_.start);
    const double part = (x - from) / (frame_.x(1) - from);
    return frame_.y(side_.now.nut + part * (side_.now.saddle - side_.now.nut));
  }

  HtmlWriter& out_;
  const Program& program_;
  const Judgement& judgement_;
  const SideDrawing& side_;
  SideFrame frame_;
  ReadingLabels labels_;
};

// The last that the list says of each reading that it moves; nothing: known only once it is read again.
std::map<PointId, std::optional<model::Range>> expected_last(const Plan& plan) {
  std::map<PointId, std::optional<model::Range>> last;
  for (const PlanLine& line : plan.lines) {
    for (const PointId point : line.form == PlanLine::Form::job ? line.read_after : line.points) last[point].reset();
    for (const Predicted& each : line.expected) last[each.point] = each.value;
  }
  return last;
}

void numbers_table(HtmlWriter& out, const Program& program, const Judgement& judgement, const Plan& plan,
                   const LineDrawing& drawing) {
  std::vector<PointId> points;
  for (const SideDrawing& side : drawing.sides) {
    for (const DrawnReading& reading : side.readings) {
      if (std::count(points.begin(), points.end(), reading.point) == 0) points.push_back(reading.point);
    }
  }
  const auto last = expected_last(plan);
  std::vector<std::vector<std::string>> rows;
  for (const PointId point : points) {
    const auto found = last.find(point);
    std::string after = "as it is";
    if (found != last.end())
      after = found->second ? shown(program, judgement, point, *found->second) + stated_by(program, point)
                            : "known when read again";
    const std::string member = name_members(program, {point});
    const std::string wanted = wanted_text(program, judgement, point);
    rows.push_back({plain_name(program.reading_of(point).name) + (member.empty() ? "" : " (" + member + ")"),
                    to_text(judgement.points[point].value) + method_note(program, judgement, point),
                    wanted.empty() ? "-" : wanted, after});
  }
  page_table(out, {"reading", "read", "the house wants", "expected after"}, rows);
}

std::string caption(const LineDrawing& drawing, double stretch) {
  const bool before = drawing.sides.front().before.has_value();
  const bool after = !drawing.sides.front().after.empty();
  const bool interval = drawing.sides.front().after.size() > 1;
  std::string text = fmt::format(
      "Heights are drawn {:.0f} times as tall as lengths. Solid: as it {}. Dot: a reading, with a bar as tall as its "
      "tool tells apart. Shaded: what the house wants, the line through it the aim. Dotted: the straight edge that "
      "relief is counted from.",
      stretch, before ? "was last read" : "is");
  if (before) text += " Dashes with dots between: as it came in.";
  if (after)
    text += interval ? " Dashed: expected after the list; two lines are the ends of what is expected, and one may lie "
                       "on the solid line."
                     : " Dashed: expected after the list.";
  if (drawing.work && !after)
    text += " What the list leaves is not drawn: it is known only once the readings are taken again.";
  const bool stops = std::any_of(drawing.sides.begin(), drawing.sides.end(),
                                 [](const SideDrawing& side) { return !side.stopping.empty(); });
  if (stops) text += " Cross: a fret that stops notes at the action that is aimed at.";
  return text;
}

// Names of causes on the left, bars from a line in the middle of the rest.
class ChordPicture {
 public:
  ChordPicture(HtmlWriter& out, const SourChord& chord) : out_(out), chord_(chord) {
    double most = 0.1;
    for (const SourNote& note : chord.notes) {
      most = std::max(most, std::abs(note.cents));
      for (const SourCause& cause : note.causes) most = std::max(most, std::abs(cause.cents));
    }
    per_cent_ = reach / most;
  }

  void draw(const Program& program, int number) {
    std::size_t rows = 0;
    for (const SourNote& note : chord_.notes) rows += 1 + shown_causes(note).size();
    const double height = 10 + row * static_cast<double>(rows) + 10 * static_cast<double>(chord_.notes.size());
    svg::open(out_,
              {fmt::format("chord{}", number), side_width, height,
               "Chord " + chord_.written + ": what makes its notes sour", description(program)},
              {{"data-px-per-cent", mm(per_cent_)}});
    svg::line(out_, zero, 4, zero, height - 4, {1, ""});
    double y = 8;
    for (const SourNote& note : chord_.notes) {
      bar(y, name(program, note), note.cents, true);
      y += row;
      for (const auto& [what, cents] : shown_causes(note)) {
        bar(y, what, cents, false);
        y += row;
      }
      y += 10;
    }
    out_.close();
  }

 private:
  static constexpr double zero = 312;
  static constexpr double reach = 104;
  static constexpr double row = 19;

  // With what would stay after a set-up to the house's aims as the last.
  static std::vector<std::pair<std::string, double>> shown_causes(const SourNote& note) {
    std::vector<std::pair<std::string, double>> rows;
    double rest = note.cents;
    for (const SourCause& cause : note.causes) {
      rows.emplace_back(cause.what, cause.cents);
      rest -= cause.cents;
    }
    if (std::abs(rest) >= 0.05) rows.emplace_back("stays at the aims", rest);
    return rows;
  }

  static std::string name(const Program& program, const SourNote& note) {
    const auto& strings = program.axes[static_cast<std::size_t>(Axis::string)];
    return fmt::format("string {}, fret {}", strings[static_cast<std::size_t>(note.string)].name, note.fret);
  }

  [[nodiscard]] std::string description(const Program& program) const {
    std::string text;
    for (const SourNote& note : chord_.notes) {
      text += fmt::format("{}{}: {:+.1f} cents", text.empty() ? "" : " ", name(program, note), note.cents);
      for (const auto& [what, cents] : shown_causes(note)) text += fmt::format(", {} {:+.1f}", what, cents);
      text += ".";
    }
    return text;
  }

  void bar(double y, const std::string& what, double cents, bool whole) {
    const double length = std::abs(cents) * per_cent_;
    const double height = whole ? 12 : 8;
    const double from = cents < 0 ? zero - length : zero;
    svg::label(out_, zero - reach - 52, y + 11, what, whole ? 14 : 12, "end");
    out_.empty("rect", {{"class", whole ? "note" : "cause"},
                        {"x", px(from)},
                        {"y", px(y + (whole ? 0 : 2))},
                        {"width", px(length)},
                        {"height", px(height)},
                        {"fill", whole ? "#111" : "#fff"},
                        {"stroke", "#111"},
                        {"stroke-width", "1"},
                        {"data-cents", mm(cents)}});
    const double at = cents < 0 ? from - 5 : from + length + 5;
    svg::label(out_, at, y + 11, fmt::format("{:+.1f}", cents), whole ? 14 : 12, cents < 0 ? "end" : "start");
  }

  HtmlWriter& out_;
  const SourChord& chord_;
  double per_cent_ = 1;
};

}  // namespace

void draw_strings(HtmlWriter& out, const Program& program, const Judgement& judgement, const Plan& plan,
                  const LineDrawing& drawing) {
  if (drawing.sides.empty() && drawing.missing.empty()) return;
  out.open("section", {{"class", "kept"}}).leaf("h2", "The strings from the side");
  if (drawing.sides.empty()) {
    out.leaf("p",
             fmt::format("Not drawn: the readings that stand do not say where the strings lie. Still to be read: {}.",
                         name_readings(program, drawing.missing)));
    out.close();
    return;
  }
  std::vector<SideFrame> frames;
  for (const SideDrawing& side : drawing.sides) frames.push_back(frame_of(side));
  const double stretch = stretch_of(frames, program.scale_mm);
  int number = 0;
  out.open("div", {{"class", "sides"}});  // beside each other on paper
  for (const SideDrawing& side : drawing.sides) {
    out.open("figure", {{"class", "side"}});
    SidePicture(out, program, judgement, side, stretch).draw(++number, stretch);
    out.close();
  }
  out.close();
  out.close();
  out.leaf("p", caption(drawing, stretch), {{"class", "small head"}});
  numbers_table(out, program, judgement, plan, drawing);
}

void draw_chord(HtmlWriter& out, const Program& program, const SourChord& chord, int number) {
  out.open("figure");
  ChordPicture(out, chord).draw(program, number);
  out.leaf("figcaption",
           "Cents from the open string's scale. Solid: the note. Open: what of it goes with a set-up to the house's "
           "aims, and "
           "what stays.");
  out.close();
}

}  // namespace stringline
