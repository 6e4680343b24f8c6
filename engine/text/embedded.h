// Maps an offset inside a decoded YAML scalar back to its place in the file.
//
// A scalar's text differs from the file's bytes by escapes, doubled quotes, stripped indentation, folded lines and CRLF.
// The map is piecewise: from each piece's start on, one decoded byte is one file byte, until the next piece begins.
// An escape such as \u00e9 is one piece of its own: any offset inside it maps to its backslash.
// Tested by tests/property/embedded_test.cc, which plants tokens in generated scalars of every style.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "engine/text/span.h"

namespace stringline {

class Embedded {
 public:
  struct Piece {
    std::uint32_t decoded = 0;  // where the piece begins in the decoded text
    std::uint32_t source = 0;   // where it begins in the file
    std::uint32_t length = 0;   // file bytes it covers
    bool linear = true;         // one decoded byte is one file byte; else the whole piece is one unit
  };

  Embedded() = default;
  // A text that stands in the file byte for byte from `begin` on.
  explicit Embedded(Span whole) : whole_(whole) {}
  // `whole` covers the scalar with its quotes or block header; pieces are in order of both offsets.
  Embedded(Span whole, std::vector<Piece> pieces) : whole_(whole), pieces_(std::move(pieces)) {}

  // The file range of the decoded range [begin, end). An empty range gives an empty span at its start.
  [[nodiscard]] Span span(std::size_t begin, std::size_t end) const;
  [[nodiscard]] Span whole() const { return whole_; }

 private:
  [[nodiscard]] std::uint32_t start_of(std::size_t decoded) const;
  [[nodiscard]] std::uint32_t end_of(std::size_t decoded) const;

  Span whole_;
  std::vector<Piece> pieces_;
};

}  // namespace stringline
