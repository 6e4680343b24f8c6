// The commands of the program; each returns its exit status.
//
// 0 nothing to do and all decided; 1 something can be done now; 4 nothing until a reading, a gate or a yes; 3 mistakes in a
// file, or a rule in state error; 2 usage or the world; 70 a bug of ours. For check: 0 or 3.
#pragma once

#include <string>
#include <vector>

namespace stringline {

struct Options {
  std::vector<std::string> paths;
  std::vector<std::string> shipped;  // folders of shipped profiles
  bool colour = false;
  bool all = false;
};

[[nodiscard]] int check_command(const Options& options);
[[nodiscard]] int work_command(const Options& options);

}  // namespace stringline
