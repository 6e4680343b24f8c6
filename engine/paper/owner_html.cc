// See owner_html.h.
#include "engine/paper/owner_html.h"

namespace stringline {
namespace {

// "WHAT WE WOULD DO" -> "What we would do"; what follows a colon stays as it is.
std::string spoken(std::string text) {
  for (std::size_t i = 1; i < text.size() && text[i] != ':'; ++i) {
    if (text[i] >= 'A' && text[i] <= 'Z') text[i] = static_cast<char>(text[i] + 32);
  }
  return text;
}

}  // namespace

void HtmlOwnerPage::heading(const std::string& text) { out_.leaf("h2", spoken(text)); }

void HtmlOwnerPage::line(const std::string& text) {
  out_.leaf(first_ ? "h1" : "p", text);
  first_ = false;
}

void HtmlOwnerPage::item(const std::string& text) { out_.leaf("p", text, {{"class", "item"}}); }

void HtmlOwnerPage::more(const std::string& text) { out_.leaf("p", text, {{"class", "under"}}); }

void HtmlOwnerPage::warning(const std::string& text) {
  out_.open("p", {{"class", "told"}}).leaf("strong", "Mind").text(" " + text).close();
}

void HtmlOwnerPage::row(const std::string& text, const std::string& amount) { amount_row("row", text, amount); }

void HtmlOwnerPage::rule() { out_.empty("hr"); }

void HtmlOwnerPage::total(const std::string& text, const std::string& amount) { amount_row("row total", text, amount); }

void HtmlOwnerPage::under(const std::string& text, const std::string& word) {
  out_.open("p", {{"class", "under"}});
  if (!word.empty()) out_.leaf("strong", word).text(" ");
  out_.text(text).close();
}

void HtmlOwnerPage::answer(const std::string& note) {
  out_.open("p", {{"class", "answer"}});
  for (const char* word : {"yes", "no"}) {
    out_.leaf("span", "", {{"class", "square"}, {"aria-hidden", "true"}});
    out_.leaf("span", word, {{"class", "word"}});
  }
  out_.text(note).close();
}

void HtmlOwnerPage::amount_row(const char* kind, const std::string& text, const std::string& amount) {
  out_.open("p", {{"class", kind}}).leaf("span", text).leaf("span", amount, {{"class", "money"}}).close();
}

}  // namespace stringline
