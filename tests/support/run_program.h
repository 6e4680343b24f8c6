// Runs a program once, with nothing of this machine in its surroundings.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace stringline {

struct Outcome {
  int status = 0;  // exit status; the negative signal number when a signal ended it
  std::string out;
  std::string err;
};

// Runs `program` in `scratch`/work with HOME at `scratch`/home, TZ=UTC, LC_ALL=C, NO_COLOR=1, TERM=dumb and `in` as its
// input; neither output is a terminal. After 60 s it is killed, which shows as signal 9. Throws std::runtime_error when
// the program can not be started.
[[nodiscard]] Outcome run_program(const std::filesystem::path& program, const std::vector<std::string>& args,
                                  const std::filesystem::path& scratch, const std::string& in);

// A fresh folder under the system's temporary one, removed with all that is in it at the end of its scope.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ScratchFolder(ScratchFolder&&) = delete;
  ScratchFolder& operator=(ScratchFolder&&) = delete;

  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

// Whole files, byte for byte. Throw std::runtime_error.
[[nodiscard]] std::string read_file(const std::filesystem::path& path);
void write_file(const std::filesystem::path& path, const std::string& text);

}  // namespace stringline
