// The last net for what the world does to a program.
#include <cstdint>
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

enum class Form : std::uint8_t { text, document, lines };

Form form_asked_for(int argc, char** argv) {
  if (!stringline::asks_for_json(argc, argv)) return Form::text;
  return stringline::asks_for_lines(argc, argv) ? Form::lines : Form::document;
}

// To standard error for people. With --json also to standard output, as the one document, for which that is then still empty; with
// --lines as one line more behind those of the visits that were done. Where standard output is what failed nothing follows on it.
int fail(const std::string& message, int status, Form form) {
  (void)std::fprintf(stderr, "stringline: %s\n", stringline::on_one_line(message).c_str());
  if (form == Form::text || std::ferror(stdout) != 0) return status;
  const auto document = stringline::json_error(message);
  const std::string text = form == Form::lines ? stringline::json_line(document) : stringline::json_text(document);
  (void)std::fputs(text.c_str(), stdout);
  return status;
}

}  // namespace

int main(int argc, char** argv) {
  const Form form = form_asked_for(argc, argv);
  try {
    return run(argc, argv);
  } catch (const stringline::UsageError& error) {
    return fail(error.what(), 2, form);
  } catch (const stringline::WorldError& error) {
    return fail(error.what(), 2, form);
  } catch (const std::exception& error) {
    return fail(std::string("a bug of ours: ") + error.what(), 70, form);
  }
}
