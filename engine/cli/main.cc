// Options, and the last net for what the world does to a program.
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <string>

#include "engine/book/book.h"
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

bool wants_colour() {
  const char* no_colour = std::getenv("NO_COLOR");
  const char* terminal = std::getenv("TERM");
  if (no_colour != nullptr && *no_colour != '\0') return false;
  if (terminal != nullptr && std::string(terminal) == "dumb") return false;
  return isatty(STDERR_FILENO) == 1;
}

int run(int argc, char** argv) {
  stringline::Options options;
  options.shipped = shipped_folders();
  options.colour = wants_colour();
  CLI::App app{
      "Stringline: a repair shop's own set-up specs, and the work list of an instrument that is held against them."};
  app.set_version_flag("--version", STRINGLINE_VERSION);
  app.require_subcommand(1);
  auto* check = app.add_subcommand("check", "Find what is wrong in house specs and visits.");
  check->footer("Example: stringline check examples/harrow_lane");
  check->add_option("PATH", options.paths, "house folders, profiles, visits")->required();
  auto* work = app.add_subcommand("work", "Print the ordered work list of a visit.");
  work->footer("Example: stringline work examples/harrow_lane/visits/s03a.yaml");
  work->add_option("VISIT", options.paths, "the visit's file")->required()->expected(1);
  work->add_flag("--all", options.all, "also every rule with its state");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  return *check ? stringline::check_command(options) : stringline::work_command(options);
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const stringline::WorldError& error) {
    std::fprintf(stderr, "stringline: %s\n", error.what());
    return 2;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "stringline: a bug of ours: %s\n", error.what());
    return 70;
  }
}
