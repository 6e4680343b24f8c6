#include "engine/text/embedded.h"

#include <algorithm>
#include <cassert>
#include <iterator>

namespace stringline {
namespace {

// The last piece that begins at or before `decoded`.
const Embedded::Piece& piece_at(const std::vector<Embedded::Piece>& pieces, std::size_t decoded) {
  assert(!pieces.empty());
  const auto after = std::upper_bound(pieces.begin(), pieces.end(), decoded,
                                      [](std::size_t at, const Embedded::Piece& piece) { return at < piece.decoded; });
  return after == pieces.begin() ? *after : *std::prev(after);
}

}  // namespace

Span Embedded::span(std::size_t begin, std::size_t end) const {
  const std::uint32_t first = start_of(begin);
  if (end <= begin) return {whole_.source, first, first};
  return {whole_.source, first, std::max(first, end_of(end))};
}

std::uint32_t Embedded::start_of(std::size_t decoded) const {
  if (pieces_.empty()) {
    const std::size_t length = whole_.end - whole_.begin;
    return whole_.begin + static_cast<std::uint32_t>(std::min(decoded, length));
  }
  const Piece& piece = piece_at(pieces_, decoded);
  if (!piece.linear) return piece.source;
  const std::size_t into = decoded - std::min<std::size_t>(decoded, piece.decoded);
  return piece.source + static_cast<std::uint32_t>(std::min<std::size_t>(into, piece.length));
}

// The end of the decoded byte before `decoded`, which is more than 0.
std::uint32_t Embedded::end_of(std::size_t decoded) const {
  if (pieces_.empty()) return start_of(decoded);
  const Piece& piece = piece_at(pieces_, decoded - 1);
  if (!piece.linear) return piece.source + piece.length;
  const std::size_t into = decoded - std::min<std::size_t>(decoded, piece.decoded);
  return piece.source + static_cast<std::uint32_t>(std::min<std::size_t>(into, piece.length));
}

}  // namespace stringline
