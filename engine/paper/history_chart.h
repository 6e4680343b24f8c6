// A small chart of one reading over the visits of an instrument.
//
// Across: days, as far apart as they were. Up: the value. Dot: read so; open dot: converted from another method; a line across
// it where only a span is known, an arrow where one end is open; a bar as tall as the tool tells apart; shaded: what the house
// wants today. Black on white. A dot carries `data-base` (base units), its picture `data-zero` and `data-px-per-unit`:
// cy = zero - px_per_unit x base.  Tested by tests/unit/picture_test.cc.
#pragma once

#include <string>

#include "engine/book/drift.h"
#include "engine/paper/html.h"

namespace stringline {

// `name` as people read it; `number` tells the charts of a page apart. The row must have a number that its method shows.
void draw_history(HtmlWriter& out, const History& history, const HistoryRow& row, const std::string& name,
                  std::size_t number);

}  // namespace stringline
