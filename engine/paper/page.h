// A narrow page: headings, paragraphs, rows that end in an amount. No line is wider than the page, but for a word that is.
// Width counts code points. Tested by tests/unit/page_test.cc.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace stringline {

class Page {
 public:
  explicit Page(std::size_t width) : width_(width) {}

  void blank();  // never two in a row
  void heading(const std::string& text);
  // `first` stands before the first line, the others are indented as far.
  void paragraph(const std::string& first, const std::string& text);
  // Text on the left, the amount at the right edge of its first line.
  void row(const std::string& text, const std::string& amount);
  void rule();  // under a column of amounts

  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  void lines(std::string first, std::size_t indent, const std::string& text, std::size_t width,
             const std::string& amount);

  std::size_t width_;
  std::string text_;
};

[[nodiscard]] std::size_t width_of(std::string_view text);  // code points

}  // namespace stringline
