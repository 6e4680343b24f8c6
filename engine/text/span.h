// A place in a loaded text: a half-open range of bytes. Nothing but diag/render.cc turns it into lines and columns.
#pragma once

#include <cstdint>

namespace stringline {

using SourceId = std::uint32_t;

struct Span {
  SourceId source = 0;
  std::uint32_t begin = 0;
  std::uint32_t end = 0;

  friend bool operator==(const Span&, const Span&) = default;
};

}  // namespace stringline
