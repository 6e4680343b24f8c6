#include "tests/support/run_program.h"

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <system_error>

namespace stringline {
namespace {

constexpr unsigned seconds_allowed = 60;
constexpr int could_not_start = 126;

std::vector<char*> pointers(std::vector<std::string>& words) {
  std::vector<char*> out;
  out.reserve(words.size() + 1);
  for (std::string& word : words) out.push_back(word.data());
  out.push_back(nullptr);
  return out;
}

// What sanitizers were told passes through: without it a build that needs it could not run at all. So does a locale that was made for
// the tests (tests/locale/run).
std::vector<std::string> surroundings(const std::filesystem::path& home) {
  std::vector<std::string> out{"HOME=" + home.string(), "TZ=UTC", "PATH=/usr/bin:/bin", "TERM=dumb", "NO_COLOR=1"};
  if (std::getenv("LOCPATH") == nullptr) out.emplace_back("LC_ALL=C");
  std::vector<const char*> passed{"ASAN_OPTIONS", "UBSAN_OPTIONS", "LSAN_OPTIONS"};
  if (std::getenv("LOCPATH") != nullptr) passed.insert(passed.end(), {"LOCPATH", "LC_ALL", "LANGUAGE", "LD_PRELOAD"});
  for (const char* name : passed) {
    if (const char* value = std::getenv(name)) out.push_back(std::string(name) + "=" + value);
  }
  return out;
}

bool redirect(const std::filesystem::path& path, int flags, int target) {
  const int file = ::open(path.c_str(), flags, 0600);
  return file >= 0 && ::dup2(file, target) >= 0;
}

// The child's side. SIGALRM outlives exec, so the limit holds without a watching parent; a program that ignores it
// would be found by the test driver's own limit.
[[noreturn]] void become(const std::filesystem::path& program, std::vector<char*> args, std::vector<char*> environment,
                         const std::filesystem::path& scratch) {
  const bool ready = redirect(scratch / "in", O_RDONLY, STDIN_FILENO) &&
                     redirect(scratch / "out", O_WRONLY | O_CREAT | O_TRUNC, STDOUT_FILENO) &&
                     redirect(scratch / "err", O_WRONLY | O_CREAT | O_TRUNC, STDERR_FILENO) &&
                     ::chdir((scratch / "work").c_str()) == 0;
  if (ready) {
    ::alarm(seconds_allowed);
    ::execve(program.c_str(), args.data(), environment.data());
  }
  ::_exit(could_not_start);
}

}  // namespace

Outcome run_program(const std::filesystem::path& program, const std::vector<std::string>& args,
                    const std::filesystem::path& scratch, const std::string& in) {
  std::filesystem::create_directories(scratch / "work");
  std::filesystem::create_directories(scratch / "home");
  write_file(scratch / "in", in);
  const std::filesystem::path whole = std::filesystem::absolute(program);
  if (::access(whole.c_str(), X_OK) != 0) throw std::runtime_error("can not run " + whole.string());

  std::vector<std::string> words{whole.filename().string()};
  words.insert(words.end(), args.begin(), args.end());
  std::vector<std::string> environment = surroundings(scratch / "home");
  const pid_t child = ::fork();
  if (child < 0) throw std::system_error(errno, std::generic_category(), "fork");
  if (child == 0) become(whole, pointers(words), pointers(environment), scratch);

  int status = 0;
  while (::waitpid(child, &status, 0) < 0) {
    if (errno != EINTR) throw std::system_error(errno, std::generic_category(), "waitpid");
  }
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status), read_file(scratch / "out"),
          read_file(scratch / "err")};
}

ScratchFolder::ScratchFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "stringline_test_XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) throw std::system_error(errno, std::generic_category(), "mkdtemp");
  path_ = name;
}

ScratchFolder::~ScratchFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::string read_file(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw std::runtime_error("can not read " + path.string());
  return {std::istreambuf_iterator<char>(file), {}};
}

void write_file(const std::filesystem::path& path, const std::string& text) {
  if (path.has_parent_path()) std::filesystem::create_directories(path.parent_path());
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file.write(text.data(), static_cast<std::streamsize>(text.size()));
  if (!file.flush()) throw std::runtime_error("can not write " + path.string());
}

}  // namespace stringline
