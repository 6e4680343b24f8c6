// One instrument's strings from the side at two times, one over the other: solid now, dashes and dots then.
//
// Each time has its own neck plane, the line through the fret tops at the nut's end and at the body joint, and heights are
// counted from it. Filled dots were read now, open ones then; each carries `data-reading`, `data-mm` and `data-height`, with
// `data-plane` and `data-px-per-mm` of the picture,  cy = plane - px_per_mm x height.  Tested by tests/unit/picture_test.cc.
#pragma once

#include <string>

#include "engine/book/drift.h"
#include "engine/paper/html.h"

namespace stringline {

struct ThenNowWords {
  std::string title;  // of the section
  std::string then;   // "then", "as it came in"
  std::string now;
};

// Whether the readings of both say where the strings lie, on one and the same neck.
[[nodiscard]] bool can_draw_then_now(const SeenVisit& then, const SeenVisit& now);

// A sentence instead where readings are missing; nothing where a profile says too little of the neck.
void draw_then_now(HtmlWriter& out, const SeenVisit& then, const SeenVisit& now, const ThenNowWords& words);

}  // namespace stringline
