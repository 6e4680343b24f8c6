// `work --json --lines`: many visits, one JSON object a line, in their order, each written as it is done.
//
// Visits are files, folders of visits or houses, `.jsonl` files, and `-`, whose lines are paths or visits as JSON. A visit with
// mistakes is an object with its diagnostics, a file that can not be read one with an error; none is left out, and the exit
// status is that of the worst: 2 before 3, then 1, then 4. Few visits are held at a time, however many come. With jobs each worker has sources and books of its own and shares nothing with others.
// Tested by the golden cases of `lines` and tests/lines/run, which lets GNU parallel split the work.
#pragma once

#include "engine/cli/options.h"

namespace stringline {

[[nodiscard]] int work_lines(const Options& options);

}  // namespace stringline
