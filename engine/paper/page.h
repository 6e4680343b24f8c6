// An owner's paper as it is put together, whatever it is printed on: headings, lines that end in an amount, what stands under
// them. Page is the one for a terminal: no line is wider than it, but for a word that is. Width counts code points.
// Tested by tests/unit/page_test.cc.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace stringline {

class OwnerPage {
 public:
  virtual ~OwnerPage() = default;

  virtual void blank() = 0;  // never two in a row
  virtual void heading(const std::string& text) = 0;
  virtual void line(const std::string& text) = 0;
  virtual void item(const std::string& text) = 0;
  virtual void more(const std::string& text) = 0;  // of the item before
  virtual void warning(const std::string& text) = 0;
  // Text on the left, the amount at the right edge.
  virtual void row(const std::string& text, const std::string& amount) = 0;
  virtual void rule() = 0;                                                     // under a column of amounts
  virtual void total(const std::string& text, const std::string& amount) = 0;  // the row that counts
  // Under a row or an item; `word` says what it is: "Why:".
  virtual void under(const std::string& text, const std::string& word = "") = 0;
  // Boxes for a yes and a no to `what`: "1. Refret". A page that is signed has all boxes beside the signature.
  virtual void answer(const std::string& what, const std::string& note) = 0;
  // A box for another way: "1a", "refret", and all that is said of it; without a key a choice of its own.
  virtual void choice(const std::string& key, const std::string& what, const std::string& text) = 0;
  // How to answer, and what the answer is worth: `sentence` stands over the signature on a page that is signed.
  virtual void how_to_answer(const std::vector<std::string>& texts, const std::string& sentence) = 0;
  // What follows is worth knowing and may be smaller.
  virtual void small_print() {}
};

class Page : public OwnerPage {
 public:
  explicit Page(std::size_t width) : width_(width) {}

  void blank() override;
  void heading(const std::string& text) override;
  void line(const std::string& text) override;
  void item(const std::string& text) override;
  void more(const std::string& text) override;
  void warning(const std::string& text) override;
  void row(const std::string& text, const std::string& amount) override;
  void rule() override;
  void total(const std::string& text, const std::string& amount) override;
  void under(const std::string& text, const std::string& word = "") override;
  void answer(const std::string& what, const std::string& note) override;
  void choice(const std::string& key, const std::string& what, const std::string& text) override;
  void how_to_answer(const std::vector<std::string>& texts, const std::string& sentence) override;

  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  // `first` stands before the first line, the others are indented as far.
  void paragraph(const std::string& first, const std::string& text);
  void lines(std::string first, std::size_t indent, const std::string& text, std::size_t width,
             const std::string& amount);

  std::size_t width_;
  std::string text_;
};

[[nodiscard]] std::size_t width_of(std::string_view text);  // code points

}  // namespace stringline
