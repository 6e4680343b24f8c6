// An owner's paper on an HTML page: what page.h is for a terminal. Tested by tests/golden/html.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/paper/html.h"
#include "engine/paper/page.h"

namespace stringline {

class HtmlOwnerPage : public OwnerPage {
 public:
  explicit HtmlOwnerPage(HtmlWriter& out) : out_(out) {}

  void blank() override {}
  void heading(const std::string& text) override;
  // The first line is the page's own heading.
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
  // All boxes and the signature stand together.
  void how_to_answer(const std::vector<std::string>& texts, const std::string& sentence) override;
  void small_print() override { small_ = true; }

 private:
  void amount_row(const char* kind, const std::string& text, const std::string& amount);

  HtmlWriter& out_;
  struct Boxes {
    std::string what;
    std::string note;
    std::vector<std::pair<std::string, std::string>> boxes;  // key and word
    bool yes_no = false;
  };

  bool first_ = true;
  std::vector<Boxes> boxes_;
  bool small_ = false;
};

}  // namespace stringline
