// Files, in and out, whole or not at all.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace stringline {

// The world failed: no such file, no permission, no space.
struct WorldError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// At most one byte more than a file may hold, so that an endless device is refused like a large file. `-` is standard input.
[[nodiscard]] std::string read_file(const std::string& path);

// The file is there whole, or as it was: written beside its place, synced, then renamed over it. Its mode is kept; through a
// link the file behind it is written. What is no file (a pipe, /dev/null) is written to as it is. A run that is killed may
// leave a file `.NAME.new` beside it, which nothing reads and the next run writes over; two runs at once do not meet in it.
// Tested by tests/unit/world_test.cc and tests/disk/run.
void write_file(const std::string& path, std::string_view text);
// Throws WorldError where `write_file` could not begin, and writes nothing.
void refuse_unless_writable(const std::string& path);
// As `write_file` where nothing is yet; throws WorldError when something is.
void write_new_file(const std::string& path, std::string_view text);

}  // namespace stringline
