// See visit_intake.h.
#include "engine/cli/visit_intake.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <utility>

#include "engine/book/book.h"
#include "engine/syntax/yaml_bytes.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t files_at_once = 4;
constexpr std::size_t bytes_at_once = std::size_t{1} << 18U;
constexpr std::size_t longest_path = 4096;

bool is_list(const std::string& path) { return path == "-" || fs::path(path).extension() == ".jsonl"; }

// What somebody wrote who meant JSON: a whole value, or a line of one that is spread over several.
bool looks_like_json(const std::string& text) {
  return std::string_view("[]}\"").find(text.front()) != std::string_view::npos || nlohmann::json::accept(text);
}

std::string beginning_of(std::string_view text) {
  constexpr std::size_t shown = 40;
  return text.size() <= shown ? std::string(text) : std::string(text.substr(0, shown)) + "..";
}

}  // namespace

VisitIntake::VisitIntake(std::size_t lines_at_once, std::function<void(Batch)> take)
    : lines_at_once_(lines_at_once), take_(std::move(take)) {}

void VisitIntake::argument(const std::string& path) {
  std::error_code error;
  if (path == "-") return list(STDIN_FILENO, "<stdin>");
  if (fs::is_directory(path, error)) return folder(path, "");
  const int descriptor = is_list(path) ? ::open(path.c_str(), O_RDONLY | O_CLOEXEC) : -1;
  if (descriptor < 0) return file(path, "");  // a visit; or where it is told that a list can not be read
  list(descriptor, path);
  ::close(descriptor);
}

void VisitIntake::flush() {
  if (batch_.empty()) return;
  bytes_ = 0;
  take_(std::exchange(batch_, {}));
}

void VisitIntake::add(VisitAsked asked, std::size_t at_once) {
  bytes_ += asked.json.size();
  batch_.push_back(std::move(asked));
  if (batch_.size() >= at_once || bytes_ >= bytes_at_once) flush();
}

void VisitIntake::file(const std::string& path, const std::string& named_in) {
  VisitAsked asked;
  asked.from = asked.path = path;
  asked.named_in = named_in;
  add(std::move(asked), files_at_once);
}

void VisitIntake::refuse(std::string from, std::string why) {
  VisitAsked asked;
  asked.from = std::move(from);
  asked.wrong = std::move(why);
  add(std::move(asked), lines_at_once_);
}

// A house's visits, else the visits in the folder.
void VisitIntake::folder(const std::string& path, const std::string& named_in) {
  const std::string place = named_in.empty() ? "" : fmt::format("; {} names it", named_in);
  std::error_code error;
  const fs::path visits = fs::exists(fs::path(path) / "house.yaml", error) ? fs::path(path) / "visits" : fs::path(path);
  std::vector<std::string> found;
  for (fs::directory_iterator at(visits, error); !error && at != fs::directory_iterator(); at.increment(error)) {
    if (is_visit_or_profile_file(at->path())) found.push_back(at->path().lexically_normal().string());
  }
  if (error && error != std::errc::no_such_file_or_directory)
    return refuse(path, fmt::format("can not read the folder '{}': {}{}", visits.string(), error.message(), place));
  if (found.empty()) return refuse(path, fmt::format("no visits in the folder '{}'{}", path, place));
  std::sort(found.begin(), found.end());
  for (const std::string& each : found) file(each, "");
}

// What has come is handed on before more is waited for. A line that is longer than a file may be is told before its end comes.
void VisitIntake::list(int descriptor, const std::string& name) {
  flush();
  std::vector<char> chunk(bytes_at_once);
  std::string text;
  std::size_t number = 1;
  bool told = false;
  const auto ended = [&] {
    if (!told && !text.empty()) line(text, fmt::format("{}, line {}", name, number));
    text.clear();
  };
  while (true) {
    const ssize_t got = ::read(descriptor, chunk.data(), chunk.size());
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) refuse(name, fmt::format("can not read '{}': {}", name, std::strerror(errno)));
    std::string_view rest(chunk.data(), static_cast<std::size_t>(std::max<ssize_t>(got, 0)));
    while (!rest.empty()) {
      const std::size_t end = rest.find('\n');
      const std::size_t room = limits::now().file_bytes + 1 - text.size();
      if (!told) text.append(rest.substr(0, std::min(end, room)));
      if (number == 1 && text.starts_with(byte_order_mark_utf8)) text.erase(0, byte_order_mark_utf8.size());
      if (text.size() > limits::now().file_bytes) {
        ended();
        told = true;
      }
      if (end == std::string_view::npos) break;
      ended();
      told = false;
      ++number;
      rest.remove_prefix(end + 1);
    }
    if (got <= 0) ended();
    flush();
    if (got <= 0) return;
  }
}

void VisitIntake::line(std::string_view text, const std::string& from) {
  const std::size_t begin = text.find_first_not_of(" \t\r");
  if (begin == std::string_view::npos) return;
  const std::size_t end = text.find_last_not_of(" \t\r") + 1;
  if (text[begin] == '{') {
    VisitAsked asked;
    asked.from = from;
    asked.json = text.size() > limits::now().file_bytes ? text : text.substr(0, end);
    return add(std::move(asked), lines_at_once_);
  }
  const std::string path(text.substr(begin, end - begin));
  if (path.find('\0') != std::string::npos)
    return refuse(from, "the line holds a NUL character; a line is a path, or a visit as JSON, in UTF-8");
  std::error_code error;
  if (path.size() > longest_path || (looks_like_json(path) && !fs::exists(path, error)))
    return refuse(from,
                  fmt::format("'{}' is no path and no object; a visit as JSON is one object in one line: {{\"visit\": "
                              "\"a1\", \"profile\": \"flat_top\"}}",
                              beginning_of(path)));
  if (fs::is_directory(path, error)) return folder(path, from);
  if (is_list(path))
    return refuse(from, fmt::format("'{}' is a list, which no list can name; name it on the command line", path));
  file(path, from);
}

}  // namespace stringline
