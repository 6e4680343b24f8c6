// The open visits of a house, one line each, and what they come to, for a terminal.
#pragma once

#include <string>

#include "engine/book/board.h"

namespace stringline {

[[nodiscard]] std::string board_text(const Board& board, const std::string& house);

}  // namespace stringline
