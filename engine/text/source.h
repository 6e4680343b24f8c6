// Owns every loaded text and answers where an offset lies. Lines and columns count from 1; a column counts code points.
// Tested by tests/unit/source_test.cc.
#pragma once

#include <cstddef>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/span.h"

namespace stringline {

struct Position {
  std::size_t line = 1;
  std::size_t column = 1;
};

class Sources {
 public:
  // `path` is what the user sees in messages; `text` is the file's bytes, unchanged.
  SourceId add(std::string path, std::string text);

  // Its text and its lines are needed no more; its path stays. For a reader of very many texts.
  void forget(SourceId id);

  [[nodiscard]] std::string_view path(SourceId id) const;
  [[nodiscard]] std::string_view text(SourceId id) const;

  // An offset past the end answers for the end. A leading byte order mark is no column.
  [[nodiscard]] Position position(SourceId id, std::size_t offset) const;

  // The text of line `number` (from 1) without its line end.
  [[nodiscard]] std::string_view line(SourceId id, std::size_t number) const;

 private:
  struct Entry {
    std::string path;
    std::string text;
    std::vector<std::size_t> line_starts;
  };
  std::deque<Entry> entries_;
};

}  // namespace stringline
