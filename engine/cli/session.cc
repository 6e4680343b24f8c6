// See session.h.
#include "engine/cli/session.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>
#include <utility>

#include "engine/book/world.h"
#include "engine/diag/render.h"
#include "engine/text/limits.h"

namespace stringline {

Session::Session(const Options& asked) : options(asked), book(asked.shipped, sources, diagnostics) {}

const HouseTree* Session::house_for(const std::string& path) {
  return options.house.empty() ? book.house_above(path) : book.house_in(options.house);
}

const HouseTree* Session::house_named() {
  const std::string& path = options.paths.front();
  if (!std::filesystem::exists(path)) throw WorldError(fmt::format("can not read '{}': it is not there", path));
  HouseBook::refuse_two_houses(path, options.house);
  const HouseTree* house = house_for(path);
  if (house == nullptr && !diagnostics.has_errors())
    throw WorldError(fmt::format("no house.yaml in '{}' or above; name the folder that holds it", path));
  return house;
}

std::unique_ptr<const OpenVisit> Session::visit(std::optional<std::string> text) {
  return open_visit(book, {options.paths.front(), std::move(text), options.house, day_of(options)}, diagnostics);
}

int Session::finish() {
  if (!options.json)
    (void)std::fputs(render(diagnostics, sources, wants_colour(options)).c_str(), stderr);
  else if (diagnostics.has_errors())
    result(json_text(document()));
  return diagnostics.has_errors() ? 3 : 0;
}

int Session::refuse(const char* told) {
  const int status = finish();
  if (!options.json) (void)std::fprintf(stderr, "stringline: %s\n", told);
  return status;
}

void Session::hear_only_of(Span part) {
  Diagnostics heard;
  for (const Diagnostic& each : diagnostics.list()) {
    const bool inside = each.span.source == part.source && each.span.begin >= part.begin && each.span.begin < part.end;
    if (inside) heard.report(each.code, each.span, each.message, each.hint, each.related);
  }
  diagnostics = std::move(heard);
}

std::string Session::new_id(const std::string& wanted) const {
  if (!options.id.empty()) return options.id;
  std::set<std::string> taken;
  for (const std::string& path : book.visit_paths()) taken.insert(std::filesystem::path(path).stem().string());
  std::string id = wanted;
  for (int number = 2; taken.count(id) > 0; ++number) id = fmt::format("{}-{}", wanted, number);
  return id;
}

Json Session::document() const { return json_head(options.command, diagnostics, sources); }

namespace {

// No result is YAML: what is there, under this name or behind a link of this name, is a file of a book.
void refuse_to_lose(const std::filesystem::path& target) {
  const auto is_yaml = [](const std::filesystem::path& path) {
    std::string ending = path.extension().string();
    for (char& letter : ending)
      letter = static_cast<char>(letter >= 'A' && letter <= 'Z' ? letter - 'A' + 'a' : letter);
    return ending == ".yaml" || ending == ".yml";
  };
  std::error_code error;
  if (std::filesystem::exists(target, error) &&
      (is_yaml(target) || is_yaml(std::filesystem::weakly_canonical(target, error))))
    throw WorldError(
        fmt::format("'{}' is there already, and a result is no file of a book; name another file", target.string()));
}

void refuse_too_long(const std::string& text) {
  const std::string why = why_too_long(text);
  if (!why.empty()) throw WorldError(why);
}

}  // namespace

void Session::result(const std::string& text) const {
  if (options.output.empty()) return print_result(text);
  refuse_too_long(text);
  refuse_to_lose(options.output);
  write_file(options.output, text);
}

void Session::refuse_unless_it_can_be_told() const {
  if (options.output.empty()) return;
  refuse_to_lose(options.output);
  refuse_unless_writable(options.output);
}

std::string why_too_long(const std::string& text) {
  const std::size_t most = limits::now().output_bytes;
  if (text.size() <= most) return "";
  return fmt::format("the result holds {} bytes, and at most {} are written; --limit output_bytes={} allows it",
                     text.size(), most, text.size());
}

void print_result(const std::string& text) {
  refuse_too_long(text);
  print_part(text);
}

void print_part(const std::string& text) {
  errno = 0;
  const std::size_t written = std::fwrite(text.data(), 1, text.size(), stdout);
  if (written == text.size() && std::fflush(stdout) == 0) return;
  throw WorldError(fmt::format("can not write to standard output: {}", std::strerror(errno)));
}

}  // namespace stringline
