// The commands of the program; each returns its exit status.
//
// 0 nothing to do and all decided; 1 something can be done now; 4 nothing until a reading, a gate or a yes; 3 mistakes in a
// file, or a rule in state error; 2 usage or the world; 70 a bug of ours. drift: of the later visit; board: of all
// of them. For check: 0 or 3; sheet, new: 0.
#pragma once

#include "engine/cli/options.h"

namespace stringline {

[[nodiscard]] int run(const Options& options);

}  // namespace stringline
