// Tables and word lists as every page has them.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/paper/html.h"

namespace stringline {

// <dl>: the word once, what it says beside it.
void page_entries(HtmlWriter& out, const std::vector<std::pair<std::string, std::string>>& entries);

// On a narrow screen each row is a block of its own, and each cell says its head. The first cell of a row names it.
void page_table(HtmlWriter& out, const std::vector<std::string>& heads,
                const std::vector<std::vector<std::string>>& rows);

}  // namespace stringline
