// See handover_page.h.
#include "engine/paper/handover_page.h"

#include "engine/paper/handover_paper.h"
#include "engine/paper/owner_html.h"
#include "engine/paper/then_now.h"

namespace stringline {

std::string handover_page(const Handover& handover, const OpenVisit& visit, const std::optional<Judgement>& before) {
  HtmlWriter out;
  HtmlOwnerPage page(out);
  write_handover(handover, page);
  if (before)
    draw_then_now(out, {&visit.program, &*before}, {&visit.program, &visit.judgement},
                  {"The strings from the side", "as it came in", "as it leaves"});
  return html_page((handover.shop.empty() ? "" : handover.shop + ": ") + "hand-over sheet " + handover.visit,
                   out.take());
}

}  // namespace stringline
