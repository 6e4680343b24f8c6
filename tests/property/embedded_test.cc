// A place in a decoded text is the place in the file where its author wrote it: words are planted in random texts of every
// style, with what changes offsets all round them, and each must be found at exactly the bytes it was written in.
#include "engine/text/embedded.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/diag/render.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/random_yaml.h"

namespace stringline {
namespace {

using testing::Dice;

struct Planted {
  std::string word;
  std::size_t begin = 0;  // in the file
  std::size_t end = 0;
  bool as_it_is = true;  // byte for byte, no escape inside
};

// One document with one text full of planted words, and what that text must say.
class Garden {
 public:
  explicit Garden(Dice& dice) : dice_(dice), newline_(dice.one_in(2) ? "\r\n" : "\n") {}

  std::string file;
  std::string decoded;
  std::vector<Planted> planted;
  ScalarStyle style = ScalarStyle::plain;
  bool is_key = false;

  void grow() {
    if (dice_.one_in(3)) file += "\xEF\xBB\xBF";
    if (dice_.one_in(3)) file += "# \u00e9 \U0001F3B8" + newline_;
    if (dice_.one_in(3)) file += "\u00e9t\u00e9: \"\u266f\"" + newline_;
    if (dice_.one_in(4)) file += newline_;
    style = static_cast<ScalarStyle>(dice_.below(5));
    const bool block = style == ScalarStyle::literal || style == ScalarStyle::folded;
    const std::size_t place = dice_.below(block ? 3 : 5);
    is_key = place == 4;
    if (place == 0) file += "at: ";
    if (place == 1) file += "at:" + newline_ + "   - ";
    if (place == 2) file += "outer:" + newline_ + "  at: ";
    if (place == 3) file += "at:" + newline_ + "  - [x, ";
    constexpr std::size_t columns[] = {0, 3, 2, 2, 0};
    column_ = columns[place];
    one_line_ = is_key;
    text();
    if (place == 3) file += "]";
    if (is_key) file += ": value";
    if (!block) file += newline_;
    if (dice_.one_in(2)) file += "last: \u00e9" + newline_;
  }

 private:
  void both(const std::string& raw, const std::string& meaning) {
    file += raw;
    decoded += meaning;
  }
  void both(const std::string& text) { both(text, text); }

  void plant() {
    const std::string word = "Zq" + std::to_string(planted.size()) + "z";
    Planted plan{word, file.size(), 0, true};
    if (style == ScalarStyle::double_quoted && dice_.one_in(3)) {
      static const std::vector<std::string> first = {"\\x5a", "\\u005A", "\\U0000005a"};
      static const std::vector<std::string> last = {"\\x7a", "\\u007A", "z"};
      both(dice_.pick(first) + word.substr(1, word.size() - 2) + dice_.pick(last), word);
      plan.as_it_is = false;
    } else {
      both(word);
    }
    plan.end = file.size();
    planted.push_back(plan);
  }

  void text() {
    switch (style) {
      case ScalarStyle::plain: return plain();
      case ScalarStyle::single_quoted: return quoted("'");
      case ScalarStyle::double_quoted: return quoted("\"");
      case ScalarStyle::literal:
      case ScalarStyle::folded: return block();
    }
  }

  void plain() {
    static const std::vector<std::string> words = {"9 thou", "\u00e9", "(x)", "a:b", "it's", "\U0001F3B8", "x#y"};
    if (dice_.one_in(2)) both(dice_.pick(words) + " ");
    plant();
    for (std::size_t i = dice_.below(4); i > 0; --i) {
      both(dice_.one_in(3) ? "  " : " ");
      dice_.one_in(2) ? plant() : both(dice_.pick(words));
    }
  }

  // Between two words: blanks, or a line end that reads as a space or as line feeds.
  void gap() {
    if (one_line_ || !dice_.one_in(3)) return both(dice_.one_in(4) ? "   " : " ");
    const std::string trailing = dice_.one_in(3) ? "  " : "";
    const std::string indent(column_ + 1 + dice_.below(4), ' ');
    if (style == ScalarStyle::double_quoted && dice_.one_in(3)) return both("\\" + newline_ + indent, "");
    if (dice_.one_in(3)) return both(trailing + newline_ + (dice_.one_in(2) ? "  " : "") + newline_ + indent, "\n");
    both(trailing + newline_ + indent, " ");
  }

  void quoted(const std::string& quote) {
    struct Part {
      std::string raw;
      std::string meaning;
    };
    static const std::vector<Part> single = {
        {"''", "'"}, {"\\", "\\"}, {"\"", "\""}, {"\u00e9", "\u00e9"}, {": #", ": #"}};
    static const std::vector<Part> twice = {{"\\\"", "\""},       {"\\\\", "\\"},        {"\\n", "\n"},
                                            {"\\t", "\t"},        {"\\u00e9", "\u00e9"}, {"\\/", "/"},
                                            {"'", "'"},           {"\\L", "\u2028"},     {"\\U0001F3B8", "\U0001F3B8"},
                                            {"\u00e9", "\u00e9"}, {"\\ ", " "}};
    file += quote;
    if (dice_.one_in(4)) both(" ");
    for (std::size_t i = 1 + dice_.below(5); i > 0; --i) {
      const Part& part = dice_.pick(quote == "'" ? single : twice);
      if (dice_.one_in(2)) both(part.raw, part.meaning);
      plant();
      if (dice_.one_in(3)) both(part.raw, part.meaning);
      if (i > 1) gap();
    }
    file += quote;
  }

  void block() {
    const bool folded = style == ScalarStyle::folded;
    const std::size_t deeper = 1 + dice_.below(4);
    const bool marked = dice_.one_in(3);
    static const std::vector<std::string> chomps = {"", "-", "+"};
    std::string chomp = dice_.pick(chomps);
    if (folded && chomp == "+") chomp = "";
    file += (folded ? ">" : "|") + (marked ? std::to_string(deeper) + chomp : chomp) + (dice_.one_in(3) ? " # x" : "") +
            newline_;
    const std::string indent(column_ + deeper, ' ');
    bool deeper_before = false;
    std::size_t blank_lines = 0;
    const auto blanks = [&](std::size_t most) {
      blank_lines = dice_.below(most);
      for (std::size_t i = 0; i < blank_lines; ++i) file += std::string(dice_.below(indent.size() + 1), ' ') + newline_;
    };
    const std::size_t lines = 1 + dice_.below(4);
    for (std::size_t line = 0; line < lines; ++line) {
      blanks(3);
      const bool deeper_now = (marked || line > 0) && dice_.one_in(4);
      const bool joins = folded && line > 0 && !deeper_before && !deeper_now;
      if (joins && blank_lines == 0) decoded += " ";
      decoded.append(blank_lines + (joins || line == 0 ? 0 : 1), '\n');
      file += indent;
      if (deeper_now) both("  ");
      static const std::vector<std::string> starts = {"", "\u00e9 ", "# ", "'x' ", "a: "};
      both(dice_.pick(starts));
      plant();
      if (dice_.one_in(3)) both(" \u266f  ");
      file += newline_;
      deeper_before = deeper_now;
    }
    blanks(3);
    if (chomp != "-") decoded += "\n";
    if (chomp == "+") decoded.append(blank_lines, '\n');
  }

  Dice& dice_;
  std::string newline_;
  std::size_t column_ = 0;
  bool one_line_ = false;
};

// The scalar that holds the planted words, wherever it stands.
const Node* find(const Node& node, const std::string& word) {
  if (node.is_scalar()) return node.text.find(word) == std::string::npos ? nullptr : &node;
  for (const Node& item : node.items) {
    if (const Node* found = find(item, word)) return found;
  }
  for (const MapEntry& entry : node.entries) {
    if (const Node* found = find(entry.key, word)) return found;
    if (const Node* found = find(entry.value, word)) return found;
  }
  return nullptr;
}

TEST_CASE("every word planted in a text of any style is found at its bytes in the file") {
  constexpr unsigned seed = 20'260'803;
  Dice dice(seed);
  std::size_t styles[5] = {};
  for (int round = 0; round < 6'000; ++round) {
    Garden garden(dice);
    garden.grow();
    Sources sources;
    const SourceId source = sources.add("garden.yaml", garden.file);
    Diagnostics diagnostics;
    const auto document = read_yaml(source, sources, diagnostics);
    INFO("seed " << seed << " round " << round << "\n" << garden.file << render(diagnostics, sources, false));
    REQUIRE(document);
    const Node* text = find(*document, garden.planted.front().word);
    REQUIRE(text != nullptr);
    REQUIRE(text->style == garden.style);
    REQUIRE(text->text == garden.decoded);
    ++styles[static_cast<std::size_t>(garden.style)];
    std::size_t first_at = std::string::npos;
    for (const Planted& plan : garden.planted) {
      INFO(plan.word);
      const std::size_t at = text->text.find(plan.word);
      REQUIRE(at != std::string::npos);
      first_at = std::min(first_at, at);
      const Span found = text->embedded.span(at, at + plan.word.size());
      REQUIRE(found.source == source);
      REQUIRE(found.begin == plan.begin);
      REQUIRE(found.end == plan.end);
      const Span point = text->embedded.span(at, at);
      REQUIRE(point.begin == plan.begin);
      REQUIRE(point.end == plan.begin);
      const Span up_to_here = text->embedded.span(first_at, at + plan.word.size());
      REQUIRE(up_to_here.begin == garden.planted.front().begin);
      REQUIRE(up_to_here.end == plan.end);
      for (std::size_t i = 0; plan.as_it_is && i < plan.word.size(); ++i) {
        const Span letter = text->embedded.span(at + i, at + i + 1);
        REQUIRE(letter.begin == plan.begin + i);
        REQUIRE(letter.end == plan.begin + i + 1);
      }
    }
    const Span all = text->embedded.span(0, text->text.size());
    REQUIRE(all.begin >= text->span.begin);
    REQUIRE(all.end >= garden.planted.back().end);
  }
  for (const std::size_t count : styles) CHECK(count > 600);
}

TEST_CASE("offsets map forward: a later byte of a text never stands earlier in the file") {
  constexpr unsigned seed = 20'260'804;
  Dice dice(seed);
  for (int round = 0; round < 1'500; ++round) {
    Garden garden(dice);
    garden.grow();
    Sources sources;
    const SourceId source = sources.add("garden.yaml", garden.file);
    Diagnostics diagnostics;
    const auto document = read_yaml(source, sources, diagnostics);
    INFO("seed " << seed << " round " << round << "\n" << garden.file << render(diagnostics, sources, false));
    REQUIRE(document);
    const Node* text = find(*document, garden.planted.front().word);
    REQUIRE(text != nullptr);
    Span before = text->embedded.span(0, 0);
    for (std::size_t at = 0; at < text->text.size(); ++at) {
      const Span byte = text->embedded.span(at, at + 1);
      REQUIRE(byte.begin >= before.begin);
      REQUIRE(byte.end >= before.end);
      REQUIRE(byte.end > byte.begin);
      REQUIRE(byte.end <= garden.file.size());
      before = byte;
    }
  }
}

}  // namespace
}  // namespace stringline
