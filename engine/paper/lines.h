// One labelled line of a paper on a terminal: "     because  relief is 0.45 mm, high", wrapped, what follows under the text.
#pragma once

#include <string>

namespace stringline {

void entry(std::string& out, const std::string& word, std::string text);

}  // namespace stringline
