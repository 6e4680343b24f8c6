// A page of the manual, as its tests read it: the tables behind their marks, the examples, the quotes, the links.
//
// A mark is a comment of its own line before a table: `<!-- units -->`. An example is what stands in a ```yaml fence; a quote
// is a fence after `<!-- quote: FILE -->`. Tested by tests/unit/{reference,readme}_test.cc, which read the pages with it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace stringline::test {

using Cells = std::vector<std::string>;

struct Example {
  std::size_t line = 0;  // of its first line in the manual
  std::string text;
  std::string first_key;
};

struct Quote {
  std::size_t line = 0;
  std::string file;
  std::string text;
};

struct Manual {
  explicit Manual(const std::string& text);

  // The rows of the table after a mark, without its head; empty when the mark or the table is not there.
  [[nodiscard]] std::vector<Cells> table(const std::string& mark) const;
  // The lines after a mark up to the next empty one.
  [[nodiscard]] std::string paragraph(const std::string& mark) const;
  [[nodiscard]] std::vector<Example> examples() const;
  [[nodiscard]] std::vector<Quote> quotes() const;
  // Links inside the page that lead to no heading.
  [[nodiscard]] std::vector<std::string> dead_links() const;

 private:
  std::vector<std::string> lines_;
};

// What stands between backquotes, in order.
[[nodiscard]] std::vector<std::string> code_in(std::string_view text);

}  // namespace stringline::test
