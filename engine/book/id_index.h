// Which of many visit files may be about an instrument, by the bytes behind each `id:` in them. It never leaves out a file that names
// the instrument; where only a YAML reader can tell what an id says, the file may be about any.
// Tested by tests/unit/id_index_test.cc.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace stringline {

class IdIndex {
 public:
  // Files are numbered as they come, from 0.
  void add(std::string_view text);
  // Ascending.
  [[nodiscard]] std::vector<std::size_t> may_name(const std::string& id) const;

 private:
  std::size_t files_ = 0;
  std::unordered_map<std::string, std::vector<std::size_t>> by_id_;
  std::vector<std::size_t> any_;
};

}  // namespace stringline
