// See picture.h.
#include "engine/paper/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/model/frets.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// Sizes in the units of a picture that is `width` wide; on a phone one of them is about two thirds of a pixel.
constexpr double width = 480;
constexpr double left = 30;
constexpr double right = 26;
constexpr double above = 44;
constexpr double below = 58;
constexpr double most_height = 170;
constexpr double fret_length = 9;

std::string px(double value) { return fmt::format("{:.2f}", value); }
std::string mm(double value) { return fmt::format("{:.4f}", value); }

// Heights and shares of the scale -> the picture.
struct Frame {
  double start = 0;   // share at the left edge
  double lowest = 0;  // heights
  double highest = 0;
  double px_per_mm = 1;  // upward

  [[nodiscard]] double x(double share) const { return left + (share - start) / (1 - start) * (width - left - right); }
  [[nodiscard]] double y(double height) const { return above + (highest - height) * px_per_mm; }
  [[nodiscard]] double bottom() const { return y(lowest); }
};

void reach(Frame& frame, double height) {
  frame.lowest = std::min(frame.lowest, height);
  frame.highest = std::max(frame.highest, height);
}

void reach(Frame& frame, const DrawnLine& line) {
  reach(frame, line.nut);
  reach(frame, line.saddle);
  for (const double top : line.frets) reach(frame, top);
}

Frame frame_of(const SideDrawing& side) {
  Frame frame;
  frame.start = side.start;
  reach(frame, side.now);
  for (const DrawnLine& line : side.after) reach(frame, line);
  for (const DrawnReading& reading : side.readings) {
    for (const auto& height : {std::optional(reading.height), reading.low, reading.high}) {
      if (height) reach(frame, *height);
    }
  }
  return frame;
}

// How often a millimetre of length fits into one of height, the same for all sides: the largest of these that fits the paper.
double stretch_of(const std::vector<SideDrawing>& sides, double scale_mm) {
  for (const double stretch : {100.0, 80.0, 60.0, 50.0, 40.0, 30.0, 25.0, 20.0, 15.0, 10.0, 5.0, 2.0}) {
    const bool fits = std::all_of(sides.begin(), sides.end(), [&](const SideDrawing& side) {
      const Frame frame = frame_of(side);
      const double along = (width - left - right) / ((1 - side.start) * scale_mm);
      return (frame.highest - frame.lowest) * along * stretch <= most_height;
    });
    if (fits) return stretch;
  }
  return 1;
}

struct Stroke {
  double width = 1;
  const char* dash = "";
};

void line(HtmlWriter& out, double x1, double y1, double x2, double y2, Stroke stroke) {
  HtmlWriter::Attributes attributes{{"x1", px(x1)}, {"y1", px(y1)},     {"x2", px(x2)},
                                    {"y2", px(y2)}, {"stroke", "#111"}, {"stroke-width", px(stroke.width)}};
  if (*stroke.dash != '\0') attributes.emplace_back("stroke-dasharray", stroke.dash);
  out.empty("line", attributes);
}

void label(HtmlWriter& out, double x, double y, const std::string& text, int size, const char* anchor = "middle") {
  out.leaf("text", text,
           {{"x", px(x)},
            {"y", px(y)},
            {"font-size", std::to_string(size)},
            {"text-anchor", anchor},
            {"stroke", "#fff"},
            {"stroke-width", "3"},
            {"paint-order", "stroke"}});
}

std::string words_of(const std::string& name) {
  std::string words = name;
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

std::string read_text(const Program& program, const Judgement& judgement, const DrawnReading& reading) {
  return words_of(program.reading_of(reading.point).name) + " " + to_text(judgement.points[reading.point].value);
}

// One side of the neck.
class SidePicture {
 public:
  SidePicture(HtmlWriter& out, const Program& program, const Judgement& judgement, const SideDrawing& side,
              double stretch)
      : out_(out), program_(program), judgement_(judgement), side_(side), frame_(frame_of(side)) {
    frame_.px_per_mm = stretch * (width - left - right) / ((1 - side.start) * program.scale_mm);
  }

  void draw(int number, double stretch) {
    const std::string id = fmt::format("side{}", number);
    out_.open("svg", {{"viewBox", fmt::format("0 0 {} {}", px(width), px(frame_.bottom() + below))},
                      {"role", "img"},
                      {"aria-labelledby", id + "t " + id + "d"},
                      {"data-plane", px(frame_.y(0))},
                      {"data-px-per-mm", mm(frame_.px_per_mm)}});
    out_.leaf("title", "The string from the side: " + side_.name, {{"id", id + "t"}});
    out_.leaf("desc", description(stretch), {{"id", id + "d"}});
    label(out_, left, 14, side_.name, 14, "start");
    for (const DrawnReading& reading : side_.readings) band(reading);
    for (const DrawnLine& after : side_.after) string_and_frets(after, {1.3, "7 4"});
    string_and_frets(side_.now, {string_width(), ""});
    nut_and_saddle();
    frets();
    for (const DrawnReading& reading : side_.readings) dot(reading);
    out_.close();
  }

 private:
  [[nodiscard]] std::string description(double stretch) const {
    std::string text = fmt::format(
        "Nut at the left, saddle at the right; heights are drawn {:.0f} times as tall as lengths.", stretch);
    for (const DrawnReading& reading : side_.readings) {
      text += fmt::format(" {}: the house wants {}.", read_text(program_, judgement_, reading), wanted(reading.point));
    }
    if (!side_.stopping.empty()) text += fmt::format(" Notes are stopped at fret {}.", fmt::join(side_.stopping, ", "));
    return text;
  }

  [[nodiscard]] std::string wanted(PointId point) const {
    const std::string text = Scene(program_, judgement_).target_text(point);
    return text.empty() ? "nothing of it" : text;
  }

  [[nodiscard]] double string_width() const { return side_.string == 0 ? 1.6 : 2.6; }
  [[nodiscard]] double fret_x(int fret) const { return frame_.x(model::fret_share(fret)); }
  [[nodiscard]] double top(const DrawnLine& drawn, int fret) const {
    return frame_.y(drawn.frets[static_cast<std::size_t>(fret - side_.first_fret - 1)]);
  }

  void string_and_frets(const DrawnLine& drawn, Stroke stroke) {
    line(out_, frame_.x(side_.start), frame_.y(drawn.nut), frame_.x(1), frame_.y(drawn.saddle), stroke);
    std::string points;
    for (int fret = side_.first_fret + 1; fret <= program_.frets; ++fret)
      points += fmt::format("{}{},{}", points.empty() ? "" : " ", px(fret_x(fret)), px(top(drawn, fret)));
    const bool now = *stroke.dash == '\0';
    HtmlWriter::Attributes attributes{
        {"points", points}, {"fill", "none"}, {"stroke", "#111"}, {"stroke-width", now ? "0.6" : "1"}};
    if (!now) attributes.emplace_back("stroke-dasharray", stroke.dash);
    out_.empty("polyline", attributes);
  }

  // The board is drawn a fret's length under the tops, whatever its frets measure.
  void frets() {
    const double board = fret_length;
    std::string edge;
    double labelled = -100;
    for (int fret = side_.first_fret + 1; fret <= program_.frets; ++fret) {
      const double x = fret_x(fret);
      const double y = top(side_.now, fret);
      line(out_, x, y, x, y + board, {2, ""});
      edge += fmt::format("{}{},{}", edge.empty() ? "" : " ", px(x), px(y + board));
      const bool stops = std::count(side_.stopping.begin(), side_.stopping.end(), fret) > 0;
      if (stops) cross(x, y);
      if (!stops && !numbered(fret)) continue;
      if (x - labelled < 15 && !stops) continue;
      labelled = x;
      label(out_, x, frame_.bottom() + board + 14, std::to_string(fret), 11);
    }
    out_.empty("polyline", {{"points", edge}, {"fill", "none"}, {"stroke", "#111"}, {"stroke-width", "1.6"}});
    const double joint = frame_.x(side_.joint);
    line(out_, joint, frame_.bottom() + board + 20, joint, frame_.bottom() + board + 30, {1.6, ""});
    label(out_, joint + 5, frame_.bottom() + board + 31, "body joint", 11, "start");
  }

  [[nodiscard]] bool numbered(int fret) const {
    const double share = model::fret_share(fret);
    const bool read = std::any_of(side_.readings.begin(), side_.readings.end(),
                                  [&](const DrawnReading& each) { return std::abs(each.share - share) < 1e-9; });
    return read || fret == 12 || fret == program_.frets;
  }

  void cross(double x, double y) {
    line(out_, x - 6, y - 6, x + 6, y + 6, {2.4, ""});
    line(out_, x - 6, y + 6, x + 6, y - 6, {2.4, ""});
  }

  void post(double x, double y) {
    const double foot = frame_.bottom() + fret_length;
    out_.empty("rect", {{"x", px(x - 3)},
                        {"y", px(y)},
                        {"width", "6"},
                        {"height", px(foot - y)},
                        {"fill", "#fff"},
                        {"stroke", "#111"},
                        {"stroke-width", "1.4"}});
  }

  void nut_and_saddle() {
    const double foot = frame_.bottom() + fret_length + 14;
    post(frame_.x(side_.start), frame_.y(side_.now.nut));
    post(frame_.x(1), frame_.y(side_.now.saddle));
    label(out_, frame_.x(side_.start), foot, "nut", 11);
    label(out_, frame_.x(1) + 4, foot, "saddle", 11);
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
    if (reading.aim) line(out_, x - 15, frame_.y(*reading.aim), x + 15, frame_.y(*reading.aim), {1.2, ""});
  }

  void dot(const DrawnReading& reading) {
    const double x = frame_.x(reading.share);
    if (reading.edge) {
      const auto& [before, past] = *reading.edge;
      line(out_, frame_.x(before.share), frame_.y(before.height), frame_.x(past.share), frame_.y(past.height),
           {0.8, "1.5 2.5"});
    }
    const double y = frame_.y(reading.height);
    const double half = 0.5 * reading.read_to * frame_.px_per_mm;
    if (half > 0) {
      line(out_, x, y - half, x, y + half, {1.4, ""});
      for (const double end : {y - half, y + half}) line(out_, x - 6, end, x + 6, end, {1.4, ""});
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

  // To the upper left of its dot, clear of the string; under the fret numbers for what is counted downward. Labels that would
  // meet are moved apart.
  void place_label(const DrawnReading& reading, double x, double y, double half) {
    const std::string text = read_text(program_, judgement_, reading);
    const double wide = 8 * static_cast<double>(text.size());
    const double end = reading.downward ? x + 0.5 * wide : std::max(x - 8, wide + 2);
    const double band_top = reading.high ? frame_.y(*reading.high) : y;
    const double clear = std::min({y - half, end > x - 15 ? band_top : y, end > x ? string_y(end) : y});
    double at = reading.downward ? frame_.bottom() + fret_length + 30 : clear - 7;
    for (const auto& [other_end, other_wide, other_y] : labels_) {
      const bool meets = end > other_end - other_wide && end - wide < other_end && std::abs(other_y - at) < 14;
      if (meets) at = reading.downward ? other_y + 14 : other_y - 14;
    }
    labels_.push_back({end, wide, at});
    label(out_, end, at, text, 13, "end");
  }

  [[nodiscard]] double string_y(double x) const {
    const double from = frame_.x(side_.start);
    const double part = (x - from) / (frame_.x(1) - from);
    return frame_.y(side_.now.nut + part * (side_.now.saddle - side_.now.nut));
  }

  struct Placed {
    double end, wide, y;
  };

  HtmlWriter& out_;
  const Program& program_;
  const Judgement& judgement_;
  const SideDrawing& side_;
  Frame frame_;
  std::vector<Placed> labels_;
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
  out.open("table").open("tr");
  for (const char* head : {"reading", "read", "the house wants", "expected after"})
    out.leaf("th", head, {{"scope", "col"}});
  out.close();
  for (const PointId point : points) {
    const auto found = last.find(point);
    std::string after = "as it is";
    if (found != last.end())
      after = found->second ? shown(program, judgement, point, *found->second) : "known when read again";
    const std::string member = member_of(program, point);
    const std::string wanted = Scene(program, judgement).target_text(point);
    out.open("tr");
    out.leaf("td", words_of(program.reading_of(point).name) + (member.empty() ? "" : " (" + member + ")"));
    out.leaf("td", to_text(judgement.points[point].value)).leaf("td", wanted.empty() ? "-" : wanted);
    out.leaf("td", after);
    out.close();
  }
  out.close();
}

std::string caption(const LineDrawing& drawing, double stretch) {
  const bool after = !drawing.sides.front().after.empty();
  const bool interval = drawing.sides.front().after.size() > 1;
  std::string text = fmt::format(
      "Heights are drawn {:.0f} times as tall as lengths. Solid: as it is. Dot: a reading, with a bar as tall as its "
      "tool "
      "tells apart. Shaded: what the house wants, the line through it the aim. Dotted: the straight edge that relief "
      "is counted from.",
      stretch);
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
    const std::string id = fmt::format("chord{}", number);
    std::size_t rows = 0;
    for (const SourNote& note : chord_.notes) rows += 1 + shown_causes(note).size();
    const double height = 10 + row * static_cast<double>(rows) + 10 * static_cast<double>(chord_.notes.size());
    out_.open("svg", {{"viewBox", fmt::format("0 0 {} {}", px(width), px(height))},
                      {"role", "img"},
                      {"aria-labelledby", id + "t " + id + "d"},
                      {"data-px-per-cent", mm(per_cent_)}});
    out_.leaf("title", "Chord " + chord_.written + ": what makes its notes sour", {{"id", id + "t"}});
    out_.leaf("desc", description(program), {{"id", id + "d"}});
    line(out_, zero, 4, zero, height - 4, {1, ""});
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
    label(out_, zero - reach - 52, y + 11, what, whole ? 14 : 12, "end");
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
    label(out_, at, y + 11, fmt::format("{:+.1f}", cents), whole ? 14 : 12, cents < 0 ? "end" : "start");
  }

  HtmlWriter& out_;
  const SourChord& chord_;
  double per_cent_ = 1;
};

}  // namespace

void draw_strings(HtmlWriter& out, const Program& program, const Judgement& judgement, const Plan& plan,
                  const LineDrawing& drawing) {
  if (drawing.sides.empty() && drawing.missing.empty()) return;
  out.leaf("h2", "The strings from the side");
  if (drawing.sides.empty()) {
    out.leaf("p",
             fmt::format("Not drawn: the readings that stand do not say where the strings lie. Still to be read: {}.",
                         name_readings(program, drawing.missing)));
    return;
  }
  const double stretch = stretch_of(drawing.sides, program.scale_mm);
  int number = 0;
  for (const SideDrawing& side : drawing.sides) {
    out.open("figure");
    SidePicture(out, program, judgement, side, stretch).draw(++number, stretch);
    out.close();
  }
  out.leaf("p", caption(drawing, stretch), {{"class", "small"}});
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
