// Pictures inside a page, as SVG: drawn in black on white, with lines, dots and words that do not need colour.
//
// The string-line drawing shows one side's neck from the side: solid as it is, dashed as the list is expected to leave it,
// dashes and dots as it came in, each with its word in the picture; readings as dots with a bar as tall as its tool tells apart, what the house wants as a shaded band with its aim. Heights are
// stretched by one round number, which the caption states; a table under it says the same in numbers.
// The chord picture has a bar for each note and one for each cause.
// Every dot carries its reading in `data-reading`, `data-mm` (what was read) and `data-height`; with `data-plane` and
// `data-px-per-mm` of the picture,  cy = plane - px_per_mm x height.   Tested by tests/unit/picture_test.cc.
#pragma once

#include "engine/judge/sourness.h"
#include "engine/paper/html.h"
#include "engine/paper/line_drawing.h"

namespace stringline {

// Writes nothing where the profile says too little of the neck; a sentence where readings are missing.
void draw_strings(HtmlWriter& out, const Program& program, const Judgement& judgement, const Plan& plan,
                  const LineDrawing& drawing);

// `number` tells several chords of one page apart. The chord must have notes.
void draw_chord(HtmlWriter& out, const Program& program, const SourChord& chord, int number);

}  // namespace stringline
