// See world.h.
#include "engine/book/world.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <utility>

#include "engine/text/limits.h"

namespace stringline {
namespace fs = std::filesystem;
namespace {

std::string read_all(std::istream& in) {
  std::string text;
  std::array<char, std::size_t{16} * 1024> block{};
  while (in && text.size() <= limits::now().file_bytes) {
    in.read(block.data(), static_cast<std::streamsize>(block.size()));
    text.append(block.data(), static_cast<std::size_t>(in.gcount()));
  }
  return text;
}

[[noreturn]] void can_not_write(const fs::path& target) {
  const std::string why = std::strerror(errno);
  throw WorldError(fmt::format("can not write '{}': {}", target.string(), why));
}

void write_all(int file, std::string_view text, const fs::path& target) {
  while (!text.empty()) {
    const auto written = ::write(file, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) can_not_write(target);
    text.remove_prefix(static_cast<std::size_t>(written));
  }
}

// The file `.NAME.new` beside the one to be written, held by a lock; gone again unless it was renamed. One name alone, so that
// what a killed run left is written over by the next.
class Draft {
 public:
  explicit Draft(const fs::path& target)
      : target_(target), path_((target.parent_path() / ("." + target.filename().string() + ".new")).string()) {
    while (!hold()) continue;
    if (::ftruncate(file_, 0) != 0) can_not_write(target_);
  }
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;
  Draft(Draft&&) = delete;
  Draft& operator=(Draft&&) = delete;
  ~Draft() {
    if (!renamed_ && file_ >= 0) ::unlink(path_.c_str());  // before the lock goes
    if (file_ >= 0) ::close(file_);
  }

  void fill(std::string_view text, mode_t mode) {
    write_all(file_, text, target_);
    if (::fchmod(file_, mode) != 0 || ::fsync(file_) != 0) can_not_write(target_);
  }

  void rename_over() {
    if (::rename(path_.c_str(), target_.c_str()) != 0) can_not_write(target_);
    renamed_ = true;
    const fs::path folder = target_.has_parent_path() ? target_.parent_path() : fs::path(".");
    const int directory = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY);
    if (directory < 0) return;
    (void)::fsync(directory);
    ::close(directory);
  }

 private:
  // False when the file that was opened is no longer the one of that name: another run has renamed or removed it.
  bool hold() {
    file_ = open_file();
    if (file_ < 0 && errno == EACCES) {
      if (::unlink(path_.c_str()) == 0)
        file_ = open_file();  // left with a mode of its own
      else
        errno = EACCES;
    }
    if (file_ < 0) can_not_write(target_);
    if (::flock(file_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
      ::close(std::exchange(file_, -1));
      throw WorldError(fmt::format("can not write '{}': another run is writing it", target_.string()));
    }
    struct stat opened = {};
    struct stat named = {};
    const bool same = ::fstat(file_, &opened) == 0 && ::lstat(path_.c_str(), &named) == 0 &&
                      opened.st_ino == named.st_ino && opened.st_dev == named.st_dev && opened.st_nlink == 1;
    if (!same) ::close(std::exchange(file_, -1));
    return same;
  }
  [[nodiscard]] int open_file() const {
    return ::open(path_.c_str(), O_WRONLY | O_CREAT | O_NOFOLLOW | O_CLOEXEC, 0600);
  }

  fs::path target_;
  std::string path_;
  int file_ = -1;
  bool renamed_ = false;
};

// A pipe or a device can not be replaced, only written to.
void write_into(const fs::path& target, std::string_view text) {
  const int file = ::open(target.c_str(), O_WRONLY);
  if (file < 0) can_not_write(target);
  try {
    write_all(file, text, target);
  } catch (...) {
    ::close(file);
    throw;
  }
  ::close(file);
}

mode_t mode_for(const fs::path& target) {
  struct stat info = {};
  if (::stat(target.c_str(), &info) == 0) return info.st_mode & 07777;
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return 0666 & ~mask;
}

}  // namespace

std::string read_file(const std::string& path) {
  if (path == "-") return read_all(std::cin);
  std::error_code error;
  if (fs::is_directory(path, error)) throw WorldError(fmt::format("'{}' is a folder", path));
  std::ifstream in(path, std::ios::binary);
  if (!in) throw WorldError(fmt::format("can not read '{}': {}", path, std::strerror(errno)));
  std::string text = read_all(in);
  if (in.bad()) throw WorldError(fmt::format("can not read '{}': {}", path, std::strerror(errno)));
  return text;
}

namespace {

// The file that stands behind a link; nothing for a pipe or a device.
std::optional<fs::path> file_to_replace(const std::string& path) {
  std::error_code error;
  fs::path target = path;
  if (fs::is_directory(target, error)) throw WorldError(fmt::format("can not write '{}': it is a folder", path));
  if (fs::exists(target, error) && !fs::is_regular_file(target, error)) return std::nullopt;
  if (fs::is_symlink(target, error)) {
    target = fs::canonical(target, error);
    if (error) throw WorldError(fmt::format("can not write '{}': {}", path, error.message()));
  }
  return target;
}

}  // namespace

void write_file(const std::string& path, std::string_view text) {
  const auto target = file_to_replace(path);
  if (!target) return write_into(path, text);
  const mode_t mode = mode_for(*target);
  Draft draft(*target);
  draft.fill(text, mode);
  draft.rename_over();
}

void refuse_unless_writable(const std::string& path) {
  if (const auto target = file_to_replace(path)) const Draft draft(*target);
}

void write_new_file(const std::string& path, std::string_view text) {
  std::error_code error;
  if (fs::is_regular_file(fs::symlink_status(path, error)) || fs::is_symlink(path, error))
    throw WorldError(fmt::format("'{}' is there already; name another file", path));
  write_file(path, text);
}

}  // namespace stringline
