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

void HtmlOwnerPage::item(const std::string& text) { out_.leaf("p", text, {{"class", small_ ? "item fine" : "item"}}); }

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

void HtmlOwnerPage::answer(const std::string& what, const std::string& note) {
  boxes_.push_back({what, note, {{"", "yes"}, {"", "no"}}, true});
}

void HtmlOwnerPage::choice(const std::string& key, const std::string& what, const std::string& text) {
  under(text, key.empty() ? "-" : key);
  if (key.empty() && (boxes_.empty() || boxes_.back().yes_no)) boxes_.push_back({"Your choice", "", {}, false});
  boxes_.back().boxes.emplace_back(key, what);
}

void HtmlOwnerPage::how_to_answer(const std::vector<std::string>&, const std::string& sentence) {
  out_.open("section", {{"class", "kept"}}).leaf("h2", "Your answer");
  for (const Boxes& each : boxes_) {
    out_.leaf("p", each.what + (each.note.empty() ? "" : " " + each.note), {{"class", "asked"}});
    out_.open("p", {{"class", "answer"}});
    for (const auto& [key, word] : each.boxes) {
      out_.open("span", {{"class", "box"}}).leaf("span", "", {{"class", "square"}, {"aria-hidden", "true"}});
      out_.leaf("span", key.empty() ? word : key + " " + word, {{"class", "word"}}).close();
    }
    out_.close();
  }
  out_.leaf("p", sentence);
  out_.open("p", {{"class", "sign"}});
  for (const char* word : {"name", "date", "signature"}) out_.leaf("span", word, {{"class", "field"}});
  out_.close().close();
}

void HtmlOwnerPage::amount_row(const char* kind, const std::string& text, const std::string& amount) {
  out_.open("p", {{"class", kind}}).leaf("span", text).leaf("span", amount, {{"class", "money"}}).close();
}

}  // namespace stringline
