// "widen_slot" -> "widen slot": a name from a file, as people read it on a page.
#pragma once

#include <algorithm>
#include <string>

namespace stringline {

[[nodiscard]] inline std::string plain_name(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

}  // namespace stringline
