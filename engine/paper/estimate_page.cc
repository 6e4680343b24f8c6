// See estimate_page.h.
#include "engine/paper/estimate_page.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/paper/fret_picture.h"
#include "engine/paper/html.h"
#include "engine/paper/line_drawing.h"
#include "engine/paper/owner_html.h"
#include "engine/paper/owner_paper.h"
#include "engine/paper/picture.h"

namespace stringline {
namespace {

std::string title_of(const Estimate& estimate, const std::string& what) {
  return fmt::format("{}: {} {}", estimate.shop, what, estimate.visit);
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
  if (frets_explain(estimate, in, clean)) {
    draw_strings(out, in.program, in.judgement, in.plan, line_drawing(in.program, in.judgement, in.plan, clean));
    draw_frets(out, in.program, fret_map(in.program, in.judgement));
  }
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
