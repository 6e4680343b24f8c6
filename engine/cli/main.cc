// The last net for what the world does to a program.
#include <cstdio>
#include <exception>
#include <filesystem>

#include "engine/book/world.h"
#include "engine/cli/commands.h"

namespace {

// Shipped profiles: beside the program, then where it was installed, then (when built for development) in the source tree.
std::vector<std::string> shipped_folders() {
  std::vector<std::string> folders;
  std::error_code error;
  const auto self = std::filesystem::read_symlink("/proc/self/exe", error);
  if (!error) folders.push_back((self.parent_path().parent_path() / "share/stringline/profiles").string());
  folders.emplace_back(STRINGLINE_INSTALLED_PROFILES);
#ifdef STRINGLINE_SOURCE_PROFILES
  folders.emplace_back(STRINGLINE_SOURCE_PROFILES);
#endif
  return folders;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    int status = 0;
    auto options = stringline::read_options(argc, argv, status);
    if (!options) return status;
    options->shipped = shipped_folders();
    return stringline::run(*options);
  } catch (const stringline::WorldError& error) {
    std::fprintf(stderr, "stringline: %s\n", error.what());
    return 2;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "stringline: a bug of ours: %s\n", error.what());
    return 70;
  }
}
