// What `work --json --lines` is asked for, on its command line and in its lists -> the visits, in their order and a few at a time.
//
// A list is a `.jsonl` file or standard input. Each of its lines is the path of a visit or of a folder, or a visit as JSON. A list
// that a list names is refused, so that no list is read more often than the command line names it. What can not be looked for is
// handed on like a visit, with the reason why.
// Tested by the golden cases of `lines` and tests/lines/run.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/book/visit_stream.h"

namespace stringline {

using Batch = std::vector<VisitAsked>;

class VisitIntake {
 public:
  // `take` gets at most `lines_at_once` visits of a list, or a few files.
  VisitIntake(std::size_t lines_at_once, std::function<void(Batch)> take);

  // As the command line names it: a visit, a folder, a list, or `-`.
  void argument(const std::string& path);
  // Hands on what is left.
  void flush();

 private:
  void add(VisitAsked asked, std::size_t at_once);
  void file(const std::string& path, const std::string& named_in);
  void folder(const std::string& path, const std::string& named_in);
  void refuse(std::string from, std::string why);
  void list(int descriptor, const std::string& name);
  void line(std::string_view text, const std::string& from);

  std::size_t lines_at_once_;
  std::function<void(Batch)> take_;
  Batch batch_;
  std::size_t bytes_ = 0;  // of lines in it
};

}  // namespace stringline
