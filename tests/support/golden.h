// Runs a golden case and says what came out otherwise than it says. The format is described in case_file.h.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/case_file.h"

namespace stringline {

// Empty when everything matched; else one text for people per difference.
// With `update` the case (and a file named by `stdout as FILE`) is made to say what came out, and nothing is reported
// but a program that a signal ended: a crash is never what is expected. `root` is the project's folder, from which
// `from:` counts.
[[nodiscard]] std::vector<std::string> run_case(Case& c, const std::filesystem::path& program,
                                                const std::filesystem::path& root, bool update);

}  // namespace stringline
