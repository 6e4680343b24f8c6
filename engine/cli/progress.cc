// See progress.h.
#include "engine/cli/progress.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

#include <utility>

namespace stringline {
namespace {

constexpr auto patience = std::chrono::seconds(1);
constexpr auto pause = std::chrono::milliseconds(100);
constexpr const char* wipe = "\r\x1b[K";

}  // namespace

Progress::Progress(std::string what)
    : what_(std::move(what)), on_terminal_(::isatty(STDERR_FILENO) == 1), next_(Clock::now() + patience) {}

Progress::~Progress() {
  if (shown_) fmt::print(stderr, "{}", wipe);
}

void Progress::tell(std::size_t done, std::size_t all) {
  if (!on_terminal_ || Clock::now() < next_) return;
  fmt::print(stderr, "{}{} of {} {}", wipe, done, all, what_);
  (void)std::fflush(stderr);
  next_ = Clock::now() + pause;
  shown_ = true;
}

}  // namespace stringline
