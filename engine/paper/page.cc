#include "engine/paper/page.h"

#include <algorithm>

namespace stringline {

std::size_t width_of(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

void Page::blank() {
  const bool empty = text_.empty() || (text_.size() > 1 && text_.compare(text_.size() - 2, 2, "\n\n") == 0);
  if (!empty) text_ += '\n';
}

void Page::heading(const std::string& text) {
  blank();
  paragraph("", text);
}

void Page::lines(std::string first, std::size_t indent, const std::string& text, std::size_t width,
                 const std::string& amount) {
  std::string line = std::move(first);
  bool fresh = true;
  bool first_line = true;
  const auto flush = [&] {
    if (first_line && !amount.empty()) {
      const std::size_t used = width_of(line) + width_of(amount);
      line += std::string(used < width_ ? width_ - used : 1, ' ') + amount;
    }
    text_ += line + '\n';
    first_line = false;
    line = std::string(indent, ' ');
    fresh = true;
  };
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find_first_of(" \n", at), text.size());
    const std::string word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!fresh && width_of(line) + 1 + width_of(word) > width) flush();
    if (!fresh) line += ' ';
    line += word;
    fresh = false;
  }
  flush();
}

void Page::paragraph(const std::string& first, const std::string& text) {
  lines(first, width_of(first), text, width_, "");
}

void Page::row(const std::string& text, const std::string& amount) {
  lines("", 2, text, width_ - std::min(width_, width_of(amount) + 2), amount);
}

void Page::rule() { text_ += std::string(width_ - 10, ' ') + "----------\n"; }
void Page::total(const std::string& text, const std::string& amount) { row(text, amount); }

void Page::line(const std::string& text) { paragraph("", text); }
void Page::item(const std::string& text) { paragraph("- ", text); }
void Page::more(const std::string& text) { paragraph("  ", text); }
void Page::warning(const std::string& text) { paragraph("! ", text); }
void Page::under(const std::string& text, const std::string& word) {
  paragraph(word.empty() ? "    " : "    " + word + " ", text);
}

void Page::answer(const std::string&, const std::string& note) {
  const std::string boxes = "    [ ] yes   [ ] no";
  paragraph(note.empty() ? boxes : boxes + "   ", note);
}

void Page::choice(const std::string& key, const std::string&, const std::string& text) {
  paragraph(key.empty() ? "    [ ] " : "    [ ] " + key + " ", text);
}

void Page::how_to_answer(const std::vector<std::string>& texts, const std::string&) {
  heading("HOW TO ANSWER");
  for (const std::string& text : texts) item(text);
}

}  // namespace stringline
