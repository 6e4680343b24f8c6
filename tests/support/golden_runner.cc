// golden_runner PROGRAM CASE...: runs golden cases; the format is described in case_file.h.
// With UPDATE_GOLDEN=1 in the environment the cases are rewritten to what came out; review that diff like code.
// Exit status: 0 when all matched (or were rewritten), 1 when one did not, 2 when a case or the program can not be
// used.
#include <algorithm>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <iostream>
#include <string>
#include <string_view>

#include "tests/support/case_file.h"
#include "tests/support/golden.h"
#include "tests/support/run_program.h"

namespace stringline {
namespace {

bool update_wanted() {
  const char* value = std::getenv("UPDATE_GOLDEN");
  return value != nullptr && std::string_view(value) == "1";
}

bool passes(const std::filesystem::path& program, const std::filesystem::path& path) {
  const std::string before = read_file(path);
  Case c = parse_case(before);
  const bool update = update_wanted();
  const auto faults = run_case(c, program, STRINGLINE_TEST_ROOT, update);
  if (const std::string after = print(c); update && after != before) {
    write_file(path, after);
    std::cout << path.string() << ": rewritten\n";
  }
  for (const std::string& fault : faults) std::cout << path.string() << ": " << fault << "\n";
  return faults.empty();
}

int run(int argc, char** argv) {
  if (argc < 3) {
    std::cerr << "usage: golden_runner PROGRAM CASE...\n";
    return 2;
  }
  int status = 0;
  for (int i = 2; i < argc; ++i) {
    try {
      if (!passes(argv[1], argv[i])) status = std::max(status, 1);
    } catch (const std::exception& problem) {
      std::cerr << argv[i] << ": " << problem.what() << "\n";
      status = 2;
    }
  }
  return status;
}

}  // namespace
}  // namespace stringline

int main(int argc, char** argv) { return stringline::run(argc, argv); }
