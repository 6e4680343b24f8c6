#include "engine/syntax/file_kind.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "engine/diag/suggest.h"
#include "engine/syntax/keys.h"

namespace stringline {
namespace {

constexpr std::array kinds{
    std::pair<std::string_view, FileKind>{"house", FileKind::house},
    std::pair<std::string_view, FileKind>{"profile", FileKind::profile},
    std::pair<std::string_view, FileKind>{"visit", FileKind::visit},
    std::pair<std::string_view, FileKind>{"trials", FileKind::trials},
};

std::optional<FileKind> kind_of(std::string_view key) {
  const auto found = std::find_if(kinds.begin(), kinds.end(), [&](const auto& row) { return row.first == key; });
  return found == kinds.end() ? std::nullopt : std::optional<FileKind>(found->second);
}

// "move 'profile:' to the top", when a later key would tell the kind.
std::string hint_for(const Node& document) {
  for (const MapEntry& entry : document.entries) {
    if (kind_of(entry.key.text)) return "move '" + entry.key.text + ":' to the top";
  }
  return "begin the file with one of 'house:', 'profile:', 'visit:', 'trials:' and its name";
}

}  // namespace

std::optional<FileKind> file_kind(const Node& document, Diagnostics& out) {
  if (!document.is_map()) {
    out.report(Code::wrong_shape, document.span, "a file is a map of keys, not " + std::string(describe(document.kind)),
               hint_for(document));
    return std::nullopt;
  }
  if (document.entries.empty()) {
    out.report(Code::nothing_inside, document.span, "an empty file", hint_for(document));
    return std::nullopt;
  }
  const Node& first = document.entries.front().key;
  const auto kind = kind_of(first.text);
  if (!kind) {
    const auto near = nearest(first.text, words_of(WordSet::file_kind));
    out.report(Code::unknown_file_kind, first.span,
               "the first key '" + first.text + "' tells no kind of file" +
                   (near ? "; did you mean '" + *near + "'?" : std::string()),
               hint_for(document));
  }
  return kind;
}

}  // namespace stringline
