// See work_page.h.
#include "engine/paper/work_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/paper/fret_picture.h"
#include "engine/paper/html.h"
#include "engine/paper/line_drawing.h"
#include "engine/paper/parts.h"
#include "engine/paper/picture.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

class WorkPage {
 public:
  WorkPage(const Program& program, const Judgement& judgement, const Plan& plan)
      : program_(program),
        judgement_(judgement),
        plan_(plan),
        scene_(program, judgement),
        evaluator_(program, scene_) {}

  void head(const WorkPageHead& head) {
    out_.open("header").leaf("h1", head.title);
    out_.leaf("p", fmt::format("{}, by {}", program_.label,
                               program_.house.empty() ? "the profile alone" : "the specs of " + program_.house));
    out_.open("dl");
    entry("owner", head.owner);
    entry("due", head.due);
    entry("player", head.says.empty() ? "" : "\"" + head.says + "\"");
    out_.close().close();
  }

  void told() {
    for (const std::string& told : plan_.told) {
      out_.open("p", {{"class", "told"}}).leaf("strong", "NOTE").text(" " + told).close();
    }
    if (plan_.ended_early) out_.leaf("p", "The list ends here until that is settled.");
  }

  void list() {
    out_.leaf("h2", "Work, in this order");
    if (plan_.lines.empty() && !judgement_.closed) out_.leaf("p", no_work_text(program_, judgement_, plan_));
    if (!plan_.lines.empty()) out_.open("ol", {{"class", "work"}});
    int number = 0;
    const auto reasons = reading_reasons(plan_);
    for (const PlanLine& line : plan_.lines) {
      const bool reading = line.form == PlanLine::Form::read_again || line.form == PlanLine::Form::read_first;
      ++number;
      out_.open("li", {{"class", "line"}});
      out_.leaf("span", "", {{"class", reading ? "round" : "square"}, {"aria-hidden", "true"}}).open("div");
      if (reading)
        read(line, number, reasons[static_cast<std::size_t>(number - 1)]);
      else
        job(line, number);
      out_.close().close();
    }
    if (!plan_.lines.empty()) {
      out_.close();
      out_.leaf("p", "Square: a job to tick. Circle: a reading to take and write down.", {{"class", "small"}});
    }
    for (const Conflict& conflict : plan_.conflicts) {
      out_.open("p", {{"class", "told"}}).leaf("strong", "CONFLICT").text(" " + conflict.why).close();
    }
    if (!plan_.charge.empty()) out_.leaf("p", "due meanwhile: " + fee_text(program_, plan_.charge));
  }

  void pictures(const WorkPageSound& sound) {
    const Judgement* before = sound.before ? &*sound.before : nullptr;
    draw_strings(out_, program_, judgement_, plan_, line_drawing(program_, judgement_, plan_, sound.clean, before));
    draw_frets(out_, program_, fret_map(program_, judgement_));
  }

  void left_alone() {
    if (plan_.left.empty()) return;
    out_.leaf("h2", "Left alone");
    for (const LeftAlone& left : plan_.left) {
      out_.open("p").leaf("strong", left.what).close();
      out_.open("dl");
      entry("because", left.why);
      out_.close();
    }
  }

  void frets_and_action(const std::vector<CleanSide>& sides) {
    bool first = true;
    for (const CleanSide& side : sides) {
      if (side.stopped.empty()) continue;
      if (first) out_.leaf("h2", "Frets and action");
      first = false;
      out_.open("p", {{"class", "head"}}).leaf("strong", side_text(program_, judgement_, side)).close();
      out_.leaf("p", stops_text(side), {{"class", "small"}});
      out_.leaf("p", lowest_text(program_, judgement_, side), {{"class", "small"}});
    }
  }

  void chords(const std::vector<SourChord>& chords) {
    if (!chords.empty()) out_.leaf("h2", "The player's chords");
    std::set<std::string> taken;
    int number = 0;
    for (const SourChord& chord : chords) {
      out_.open("p", {{"class", "head"}}).leaf("strong", chord.written);
      if (!chord.missing.empty()) {
        out_.text(fmt::format(": not known without {}", fmt::join(chord.missing, ", "))).close();
        continue;
      }
      out_.text(": " + spread_text(chord)).close();
      if (chord.heard) draw_chord(out_, program_, chord, ++number);
      taken.insert(chord.assumed.begin(), chord.assumed.end());
    }
    for (const std::string& assumed : taken) out_.leaf("p", "taken for this: " + assumed, {{"class", "small"}});
  }

  void assumptions() {
    const std::string assumed = assumed_text(program_, judgement_);
    if (assumed.empty()) return;
    out_.leaf("h2", "Assumed, not written");
    out_.leaf("p", assumed, {{"class", "small"}});
  }

  [[nodiscard]] std::string take() { return out_.take(); }

 private:
  void entry(const std::string& word, const std::string& text) {
    if (!text.empty()) out_.leaf("dt", word).leaf("dd", text);
  }

  // The word once, the texts under each other.
  void entries(const std::string& word, const std::vector<std::string>& texts) {
    for (std::size_t i = 0; i < texts.size(); ++i) entry(i == 0 ? word : "", texts[i]);
  }

  void what(int number, const std::string& text) {
    out_.leaf("p", fmt::format("{}. {}", number, text), {{"class", "what"}});
  }

  // Each on a line of its own: "0.33 mm down   strings 1, 2, 3".
  void amounts(const PlanLine& line) {
    for (const auto& [text, members] : amount_groups(program_, line.amounts)) {
      out_.open("p", {{"class", "amount"}}).text(text);
      if (!members.empty()) out_.text(" ").leaf("span", members);
      out_.close();
    }
  }

  // What and how much, the cautions, why, what to expect, what to read again.
  void job(const PlanLine& line, int number) {
    const JobInfo& job = program_.jobs[*line.job];
    what(number, (line.form == PlanLine::Form::offer ? "offered: " : "") + job.label);
    amounts(line);
    if (line.waits_for_yes) out_.open("p").leaf("span", paid(line), {{"class", "yes"}}).close();
    for (const TypedText& caution : job.cautions) {
      out_.open("p", {{"class", "careful"}}).leaf("strong", "careful").text(" " + evaluator_.text(caution)).close();
    }
    out_.open("dl");
    entries("mind", line.warnings);
    std::vector<std::string> steps;
    for (const TypedText& step : job.steps) steps.push_back(evaluator_.text(step));
    entries("how", steps);
    entries("because", line.because);
    entry("here", line.why_here);
    if (!line.expected.empty()) entry("expect", expected_text(program_, judgement_, line.expected));
    const std::string time = time_text(job);
    const std::string payer = line.waits_for_yes ? "" : paid(line);
    entry("time", time + (time.empty() || payer.empty() ? "" : "; ") + payer);
    out_.close();
    boxes(line.read_after, "read again: ");
  }

  [[nodiscard]] std::string paid(const PlanLine& line) const {
    return paid_text(program_, judgement_, line, plan_.ended_early);
  }

  void read(const PlanLine& line, int number, const std::vector<std::string>& reasons) {
    const bool never = judgement_.points[line.points.front()].status == PointState::Status::not_read;
    const char* how = line.form == PlanLine::Form::read_first ? " first" : never ? "" : " again";
    what(number, fmt::format("read{}: {}", how, name_points(program_, line.points)));
    boxes(line.points, "");
    for (const std::string& follow : follow_texts(program_, line)) out_.leaf("p", follow);
    amounts(line);
    if (!line.amounts.empty()) out_.leaf("p", "if it reads as expected");
    out_.open("dl");
    entries("mind", line.warnings);
    if (!line.expected.empty()) entry("expect", expected_text(program_, judgement_, line.expected));
    entries("because", reasons);
    out_.close();
  }

  // A box to write in for each member, a reading after the other, with the unit it was last written in.
  void boxes(std::vector<PointId> points, const std::string& before) {
    std::sort(points.begin(), points.end());
    points.erase(std::unique(points.begin(), points.end()), points.end());
    for (std::size_t i = 0; i < points.size();) {
      std::size_t end = i;
      const ReadingId id = program_.points[points[i]].reading;
      while (end < points.size() && program_.points[points[end]].reading == id) ++end;
      const bool many = end - i > 6;
      out_.open("div", {{"class", many ? "boxes narrow" : "boxes"}});
      const std::string unit = unit_of(points[i]);
      std::string name = program_.readings[id].name;
      std::replace(name.begin(), name.end(), '_', ' ');
      const std::string counted = counted_by(program_.readings[id]);
      if (!counted.empty()) name += end - i > 1 ? ", by " + counted : "";
      out_.leaf("span", before + name + (unit.empty() ? "" : ", " + unit), {{"class", "name"}});
      const bool one = end - i == 1;
      for (; i < end; ++i) {
        std::string member = one ? name_members(program_, {points[i]}) : member_of(program_, points[i]);
        std::replace(member.begin(), member.end(), '.', ' ');
        out_.open("span", {{"class", "write"}});
        if (!member.empty()) out_.leaf("span", member);
        out_.leaf("span", "", {{"class", "pencil"}}).close();
      }
      out_.close();
    }
  }

  [[nodiscard]] std::string unit_of(PointId point) const {
    const ReadingInfo& reading = program_.reading_of(point);
    const Unit written = judgement_.points[point].value.unit;
    return std::string(info(written == Unit::none ? reading.unit : written).written);
  }

  const Program& program_;
  const Judgement& judgement_;
  const Plan& plan_;
  Scene scene_;
  Evaluator evaluator_;
  HtmlWriter out_;
};

}  // namespace

std::string work_page(const Program& program, const Judgement& judgement, const Plan& plan, const WorkPageHead& head,
                      const WorkPageSound& sound) {
  WorkPage page(program, judgement, plan);
  page.head(head);
  page.told();
  page.list();
  page.left_alone();
  page.frets_and_action(sound.clean);
  page.chords(sound.chords);
  page.assumptions();
  page.pictures(sound);
  return html_page(head.title, page.take());
}

}  // namespace stringline
