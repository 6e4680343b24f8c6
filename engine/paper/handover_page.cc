// See handover_page.h.
#include "engine/paper/handover_page.h"

#include "engine/paper/handover_paper.h"
#include "engine/paper/owner_html.h"
#include "engine/paper/then_now.h"

namespace stringline {
namespace {

// An owner is not told which readings a picture would take.
void add_strings(HtmlWriter& out, const SeenVisit& before, const SeenVisit& after, bool finished) {
  if (can_draw_then_now(before, after))
    draw_then_now(out, before, after,
                  {"The strings from the side", "as it came in", finished ? "as it leaves" : "as it stands"});
}

}  // namespace

std::string handover_page(const Handover& handover, const OpenVisit& visit, const std::optional<Judgement>& before) {
  HtmlWriter out;
  HtmlOwnerPage page(out);
  write_handover(handover, page);
  if (before) add_strings(out, {&visit.program, &*before}, {&visit.program, &visit.judgement}, handover.finished);
  return html_page((handover.shop.empty() ? "" : handover.shop + ": ") + "hand-over sheet " + handover.visit,
                   out.take());
}

}  // namespace stringline
