// A paper's lines on a terminal. One labelled line: "     because  relief is 0.45 mm, high", wrapped, what follows under the text.
#pragma once

#include <string>
#include <vector>

namespace stringline {

void entry(std::string& out, const std::string& word, std::string text);

// "  3. tighten the truss rod: until it reads 0.2 mm", wrapped in the same way.
void numbered(std::string& out, int number, std::string text);

// Cells in columns, each on one line, two blanks between them, each line after `indent` blanks. A width counts code points.
void table(std::string& out, std::vector<std::vector<std::string>> rows, std::size_t indent);

// An author's text as a part of one line: blanks for its line feeds, and none at the end.
[[nodiscard]] std::string folded(std::string text);

// At most `most` code points, with ".." for what was cut off.
[[nodiscard]] std::string shortened(const std::string& text, std::size_t most);

}  // namespace stringline
