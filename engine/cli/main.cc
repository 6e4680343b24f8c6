// The last net for what the world does to a program.
#include <cstdio>
#include <exception>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/book/world.h"
#include "engine/cli/commands.h"
#include "engine/diag/render.h"
#include "engine/paper/json.h"

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

int run(int argc, char** argv) {
  auto options = stringline::read_options(argc, argv);
  if (!options) return 0;
  options->shipped = shipped_folders();
  return stringline::run(*options);
}

// To standard error for people; with --json also as the one document, for which standard output is then still empty.
int fail(const std::string& message, int status, bool json) {
  (void)std::fprintf(stderr, "stringline: %s\n", stringline::printable(message).c_str());
  if (!json) return status;
  (void)std::fputs(stringline::json_text(stringline::json_error(message)).c_str(), stdout);
  return status;
}

}  // namespace

int main(int argc, char** argv) {
  const bool json = stringline::asks_for_json(argc, argv);
  try {
    return run(argc, argv);
  } catch (const stringline::UsageError& error) {
    return fail(error.what(), 2, json);
  } catch (const stringline::WorldError& error) {
    return fail(error.what(), 2, json);
  } catch (const std::exception& error) {
    return fail(std::string("a bug of ours: ") + error.what(), 70, json);
  }
}
