// See estimate_page.h.
#include "engine/paper/estimate_page.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/paper/html.h"
#include "engine/paper/line_drawing.h"
#include "engine/paper/owner_paper.h"
#include "engine/paper/picture.h"

namespace stringline {
namespace {

// "WHAT WE WOULD DO" -> "What we would do"; what follows a colon stays as it is.
std::string spoken(std::string text) {
  for (std::size_t i = 1; i < text.size() && text[i] != ':'; ++i) {
    if (text[i] >= 'A' && text[i] <= 'Z') text[i] = static_cast<char>(text[i] + 32);
  }
  return text;
}

class HtmlOwnerPage : public OwnerPage {
 public:
  explicit HtmlOwnerPage(HtmlWriter& out) : out_(out) {}

  void blank() override {}
  void heading(const std::string& text) override { out_.leaf("h2", spoken(text)); }
  // The shop's name is the page's own heading.
  void line(const std::string& text) override {
    out_.leaf(first_ ? "h1" : "p", text);
    first_ = false;
  }
  void item(const std::string& text) override { out_.leaf("p", text, {{"class", "item"}}); }
  void more(const std::string& text) override { out_.leaf("p", text, {{"class", "under"}}); }
  void warning(const std::string& text) override {
    out_.open("p", {{"class", "told"}}).leaf("strong", "Mind").text(" " + text).close();
  }
  void row(const std::string& text, const std::string& amount) override { amount_row("row", text, amount); }
  void rule() override { out_.empty("hr"); }
  void total(const std::string& text, const std::string& amount) override { amount_row("row total", text, amount); }
  void under(const std::string& text, const std::string& word) override {
    out_.open("p", {{"class", "under"}});
    if (!word.empty()) out_.leaf("strong", word).text(" ");
    out_.text(text).close();
  }
  void answer(const std::string& note) override {
    out_.open("p", {{"class", "answer"}});
    for (const char* word : {"yes", "no"}) {
      out_.leaf("span", "", {{"class", "square"}, {"aria-hidden", "true"}});
      out_.leaf("span", word, {{"class", "word"}});
    }
    out_.text(note).close();
  }
  void how_to_answer(const std::vector<std::string>&) override {}  // the signature does

 private:
  void amount_row(const char* kind, const std::string& text, const std::string& amount) {
    out_.open("p", {{"class", kind}}).leaf("span", text).leaf("span", amount, {{"class", "money"}}).close();
  }

  HtmlWriter& out_;
  bool first_ = true;
};

std::string title_of(const Estimate& estimate, const std::string& what) {
  return fmt::format("{}: {} {}", estimate.shop, what, estimate.visit);
}

// What is ticked above is agreed to here.
void signature(HtmlWriter& out, bool asks) {
  out.leaf("h2", "Your answer");
  out.leaf("p", asks ? "I say yes to the work above, and to each extra whose yes is ticked."
                     : "I say yes to the work above.");
  out.open("p", {{"class", "sign"}});
  for (const char* word : {"name", "date", "signature"}) out.leaf("span", word, {{"class", "field"}});
  out.close();
}

bool asks(const Estimate& estimate) {
  return !estimate.offers.empty() ||
         std::any_of(estimate.lines.begin(), estimate.lines.end(), [](const EstimateLine& line) { return line.waits; });
}

// An extra that levels or replaces frets, while frets stop notes.
bool frets_explain(const Estimate& estimate, const EstimateInput& in, const std::vector<CleanSide>& clean) {
  const bool stopped =
      std::any_of(clean.begin(), clean.end(), [](const CleanSide& side) { return !side.stopped.empty(); });
  const auto works_frets = [&](const EstimateLine& line) {
    return line.job && in.program.jobs[*line.job].moves == Control::fret_plane;
  };
  return stopped && (std::any_of(estimate.lines.begin(), estimate.lines.end(), works_frets) ||
                     std::any_of(estimate.offers.begin(), estimate.offers.end(), works_frets));
}

}  // namespace

std::string estimate_page(const Estimate& estimate, const EstimateInput& in, const std::vector<CleanSide>& clean) {
  HtmlWriter out;
  HtmlOwnerPage page(out);
  write_estimate(estimate, page);
  const bool work = !estimate.stopped && !estimate.finished && !estimate.lines.empty();
  if (work || asks(estimate)) signature(out, asks(estimate));
  if (frets_explain(estimate, in, clean))
    draw_strings(out, in.program, in.judgement, in.plan, line_drawing(in.program, in.judgement, in.plan, clean));
  return html_page(title_of(estimate, estimate.kind == PaperKind::quote ? "quote" : "estimate"), out.take());
}

std::string final_page(const Estimate& final_bill, const std::optional<Estimate>& told,
                       const std::vector<Difference>& differences) {
  HtmlWriter out;
  HtmlOwnerPage page(out);
  write_final(final_bill, told, differences, page);
  return html_page(title_of(final_bill, "bill"), out.take());
}

}  // namespace stringline
