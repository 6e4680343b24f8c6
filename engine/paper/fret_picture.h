// The fretboard from above, frets at their true places, and under it a strip of bars for each reading that is taken per fret.
//
// Frets that stand too high are drawn thick under a triangle. A bar as tall as its value, black and with its number where it is
// beyond its limits, white where it is within; limits are dashed lines. A bar carries `data-fret` and `data-mm`, its strip
// `data-px-per-mm`:  height = px_per_mm x mm.  Tested by tests/unit/picture_test.cc.
#pragma once

#include "engine/paper/fret_map.h"
#include "engine/paper/html.h"

namespace stringline {

// Nothing where no reading is taken per fret.
void draw_frets(HtmlWriter& out, const Program& program, const FretMap& map);

}  // namespace stringline
