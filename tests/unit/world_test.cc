// A file is written whole or stays as it was: with a full disk, with a program that is killed, through a link.
#include "engine/book/world.h"

#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <iterator>
#include <string>
#include <string_view>
#include <thread>

#include "tests/support/run_program.h"

namespace stringline {
namespace {

namespace fs = std::filesystem;

void write(const fs::path& path, std::string_view text) { write_file(path.string(), text); }

std::size_t files_in(const fs::path& folder) {
  return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

mode_t mode_of(const fs::path& path) {
  struct stat info = {};
  REQUIRE(::stat(path.c_str(), &info) == 0);
  return info.st_mode & 07777;
}

// What a child's life ended with; `live` runs in the child.
template <class Live>
pid_t start(const Live& live) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(live());
  REQUIRE(child > 0);
  return child;
}

int end_of(pid_t child) {
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
}

TEST_CASE("a file is replaced as a whole and keeps its mode") {
  const ScratchFolder folder;
  const fs::path path = folder.path() / "a.yaml";
  write(path, "one\n");
  CHECK(read_file(path) == "one\n");
  fs::permissions(path, fs::perms(0640));
  write(path, "two\n");
  CHECK(read_file(path) == "two\n");
  CHECK(mode_of(path) == 0640);
  CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("a new file has the mode that the user's mask leaves") {
  const ScratchFolder folder;
  const mode_t before = ::umask(027);
  write(folder.path() / "a.yaml", "one\n");
  ::umask(before);
  CHECK(mode_of(folder.path() / "a.yaml") == 0640);
}

TEST_CASE("through a link the file behind it is written, and the link stays") {
  const ScratchFolder folder;
  fs::create_directory(folder.path() / "real");
  write(folder.path() / "real" / "a.yaml", "one\n");
  fs::create_symlink("real/a.yaml", folder.path() / "link.yaml");
  write(folder.path() / "link.yaml", "two\n");
  CHECK(fs::is_symlink(folder.path() / "link.yaml"));
  CHECK(read_file(folder.path() / "real" / "a.yaml") == "two\n");
}

TEST_CASE("what can not be written is told and leaves nothing behind") {
  const ScratchFolder folder;
  CHECK_THROWS_AS(write(folder.path() / "none" / "a.yaml", "one\n"), WorldError);
  CHECK_THROWS_AS(write(folder.path(), "one\n"), WorldError);
  fs::create_symlink("nowhere", folder.path() / "link.yaml");
  CHECK_THROWS_AS(write(folder.path() / "link.yaml", "one\n"), WorldError);
  CHECK(files_in(folder.path()) == 1);  // the link
}

TEST_CASE("a device is written to as it is, and says when it is full") {
  CHECK_NOTHROW(write("/dev/null", "one\n"));
  CHECK(fs::is_character_file("/dev/null"));
  CHECK_THROWS_AS(write("/dev/full", "one\n"), WorldError);
}

TEST_CASE("a file that is there is no new one") {
  const ScratchFolder folder;
  const std::string path = (folder.path() / "a.yaml").string();
  write_new_file(path, "one\n");
  CHECK_THROWS_AS(write_new_file(path, "two\n"), WorldError);
  CHECK(read_file(fs::path(path)) == "one\n");
}

TEST_CASE("a full disk leaves the file as it was, and no half of another") {
  const ScratchFolder folder;
  const fs::path path = folder.path() / "a.yaml";
  write(path, "the bench log\n");
  const pid_t child = start([&] {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit full{4096, 4096};
    if (::setrlimit(RLIMIT_FSIZE, &full) != 0) return 3;
    try {
      write(path, std::string(100'000, 'x'));
    } catch (const WorldError&) {
      return 1;
    }
    return 0;
  });
  CHECK(end_of(child) == 1);
  CHECK(read_file(path) == "the bench log\n");
  CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("a program that is killed while it writes leaves one whole version") {
  const ScratchFolder folder;
  const fs::path path = folder.path() / "a.yaml";
  const std::string one(300'000, 'a');
  const std::string other(200'000, 'b');
  write(path, one);
  for (int wait = 0; wait < 12; ++wait) {
    const pid_t child = start([&] {
      for (;;) {
        write(path, other);
        write(path, one);
      }
      return 0;
    });
    std::this_thread::sleep_for(std::chrono::milliseconds(3 + 5 * wait));
    REQUIRE(::kill(child, SIGKILL) == 0);
    CHECK(end_of(child) == -SIGKILL);
    const std::string left = read_file(path);
    CHECK((left == one || left == other));
  }
}

}  // namespace
}  // namespace stringline
