// The open visits of a house as a page for the wall: the same words as board.h. Tested by tests/golden/html and tests/pages.
#pragma once

#include <string>

#include "engine/book/board.h"

namespace stringline {

[[nodiscard]] std::string board_page(const Board& board, const std::string& house);

}  // namespace stringline
