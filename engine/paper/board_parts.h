// What both papers of `board` say, as words; board.h prints them on a terminal, board_page.h on a page.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/book/board.h"

namespace stringline {

[[nodiscard]] std::string days_text(const BoardRow& row);   // in 3 d, today, 2 d over
[[nodiscard]] std::string bench_text(const BoardRow& row);  // 240+ min
[[nodiscard]] std::string wait_text(const BoardRow& row);   // 12 to 24 h
[[nodiscard]] std::string in_time(const BoardRow& row);     // NO, not in turn; empty: yes
// What is next, or what it waits for; cut off after `most` code points, 0: never.
[[nodiscard]] std::string state_text(const BoardRow& row, std::size_t most = 0);
// The sums under the list and what its marks mean.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> board_sums(const Board& board);

}  // namespace stringline
