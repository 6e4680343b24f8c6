// How far a long look at many files has come, on a terminal and nowhere else: one line on standard error, from the second second on,
// wiped off at the end. Tested by tests/terminal/run, which gives the program a terminal.
#pragma once

#include <chrono>
#include <cstddef>
#include <string>

namespace stringline {

class Progress {
 public:
  explicit Progress(std::string what);  // "visits read"
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void tell(std::size_t done, std::size_t all);

 private:
  using Clock = std::chrono::steady_clock;

  std::string what_;
  bool on_terminal_;
  Clock::time_point next_;
  bool shown_ = false;
};

}  // namespace stringline
