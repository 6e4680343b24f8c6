// An owner's paper on an HTML page: what page.h is for a terminal. Tested by tests/golden/html.
#pragma once

#include <string>
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
  void answer(const std::string& note) override;
  void how_to_answer(const std::vector<std::string>&) override {}  // the signature does

 private:
  void amount_row(const char* kind, const std::string& text, const std::string& amount);

  HtmlWriter& out_;
  bool first_ = true;
};

}  // namespace stringline
