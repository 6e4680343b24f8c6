// Runs a program, its output thrown away, and prints the processor seconds and the most kilobytes of memory that it took.
// measure PROGRAM WORDS... Exit status: the program's, or 70. It is small itself, since what a process takes before it becomes
// another one counts as that one's.
#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>

#include <cstdio>

extern char** environ;

namespace {

double seconds(const timeval& time) {
  return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) * 1e-6;
}

}  // namespace

int main(int, char** words) {
  posix_spawn_file_actions_t quiet;
  posix_spawn_file_actions_init(&quiet);
  posix_spawn_file_actions_addopen(&quiet, 1, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  if (posix_spawn(&child, words[1], &quiet, nullptr, words + 1, environ) != 0) return 70;
  int status = 0;
  rusage used{};
  if (wait4(child, &status, 0, &used) != child || !WIFEXITED(status)) return 70;
  std::printf("%.6f %ld\n", seconds(used.ru_utime) + seconds(used.ru_stime), used.ru_maxrss);
  return WEXITSTATUS(status);
}
