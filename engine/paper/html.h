// Pages for the bench: one file each, well-formed HTML, no script, nothing loaded from elsewhere.
//
// Everything written between two tags goes through `html_text`, so a text from a file can never become a tag:
//   <script>          &lt;script&gt;
//   a control code    \x07, visible
//   Hebrew, Arabic    <bdi>..</bdi>: a stretch that runs from right to left turns nothing around it
// Tags are closed in the order they were opened, and empty ones as XML wants it, so XML tools read the pages too.
// Tested by tests/unit/html_test.cc.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stringline {

[[nodiscard]] std::string html_text(std::string_view text);
// Between double quotes; without <bdi>.
[[nodiscard]] std::string html_attribute(std::string_view text);

// Writes one page's body. Each call of `open` asks for one of `close`.
class HtmlWriter {
 public:
  using Attributes = std::vector<std::pair<const char*, std::string>>;

  HtmlWriter& open(const char* tag, const Attributes& attributes = {});
  HtmlWriter& text(std::string_view text);
  HtmlWriter& close();
  // <tag>text</tag>
  HtmlWriter& leaf(const char* tag, std::string_view text, const Attributes& attributes = {});
  // <tag />: what has no content in HTML, and shapes in a picture.
  HtmlWriter& empty(const char* tag, const Attributes& attributes = {});
  [[nodiscard]] std::string take();

 private:
  void start(const char* tag, const Attributes& attributes);

  std::string out_;
  std::vector<const char*> open_;
};

// The whole file: head, style, and `body` as HtmlWriter made it.
[[nodiscard]] std::string html_page(const std::string& title, const std::string& body);

}  // namespace stringline
