// A file's first key tells its kind.
#pragma once

#include <optional>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"

namespace stringline {

enum class FileKind : std::uint8_t { house, profile, visit, trials };

// Nothing, with one error at the first key, when it is none of house, profile, visit, trials.
[[nodiscard]] std::optional<FileKind> file_kind(const Node& document, Diagnostics& out);

}  // namespace stringline
