// What every command works with: the files it has read, what is wrong in them, and where its result goes.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "engine/book/open_visit.h"
#include "engine/cli/options.h"
#include "engine/paper/json.h"

namespace stringline {

class Session {
 public:
  explicit Session(const Options& asked);
  ~Session() = default;
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  const Options& options;
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book;

  // The house of --house, else the one in the folder of `path` or above it; null when there is none, or it is wrong.
  [[nodiscard]] const HouseTree* house_for(const std::string& path);
  // The house that the command line names. Throws WorldError when there is none, or two; null when it is wrong (reported).
  [[nodiscard]] const HouseTree* house_named();
  // The visit that the command line names, judged; null when a mistake was reported.
  [[nodiscard]] std::unique_ptr<const OpenVisit> visit(std::optional<std::string> text = std::nullopt);

  // Tells the author everything, on standard error or as a document; 3 when something is wrong.
  [[nodiscard]] int finish();
  // The same after a mistake that kept a command from writing: `told` follows.
  [[nodiscard]] int refuse(const char* told);
  // Forgets what is not about this part of a file.
  void hear_only_of(Span part);
  // --id, else `wanted`, with a number behind it while the house has a visit file of that name.
  [[nodiscard]] std::string new_id(const std::string& wanted) const;
  // One document that begins with this command's name and what is wrong in the files.
  [[nodiscard]] Json document() const;
  // To --output, which is no YAML that is there already, else standard output. Throws WorldError.
  void result(const std::string& text) const;
  // For a command that writes something else first. Throws WorldError where `result` could not begin.
  void refuse_unless_it_can_be_told() const;
};

// Throws WorldError when it can not be written, or is too long.
void print_result(const std::string& text);
// A part of a result, of which each is held against the limit by itself. Throws WorldError when it can not be written.
void print_part(const std::string& text);
// Why a result is not written; empty where it may be.
[[nodiscard]] std::string why_too_long(const std::string& text);

}  // namespace stringline
