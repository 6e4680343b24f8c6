// Documents for property tests: random ones that our YAML accepts, and random damage to them.
#pragma once

#include <cstddef>
#include <random>
#include <string>
#include <string_view>
#include <vector>

namespace stringline::testing {

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}

  std::size_t below(std::size_t n) { return std::uniform_int_distribution<std::size_t>(0, n - 1)(engine_); }
  bool one_in(std::size_t n) { return below(n) == 0; }
  template <typename T>
  const T& pick(const std::vector<T>& from) {
    return from[below(from.size())];
  }

 private:
  std::mt19937 engine_;
};

// A document of nested maps, lists and texts of every style, with comments and blank lines.
class RandomYaml {
 public:
  explicit RandomYaml(Dice& dice) : dice_(dice) {}

  std::string document() {
    newline_ = dice_.one_in(3) ? "\r\n" : "\n";
    text_ = dice_.one_in(4) ? "\xEF\xBB\xBF" : "";
    if (dice_.one_in(6)) text_ += "---" + newline_;
    map(0, 3);
    if (dice_.one_in(8)) text_.resize(text_.size() - newline_.size());
    return text_;
  }

 private:
  static const std::vector<std::string>& words() {
    static const std::vector<std::string> all = {
        "relief",  "9",           "thou",  "..",        "3.5/64", "in",   "at least",
        "over 12", "(a + b) * 2", "-3",    "a-b",       "x:y",    "50 %", "\u00e9t\u00e9",
        "\u266f4", "\U0001F3B8",  "it's",  "say \"x\"", "C#",     "#",    "a, b",
        "{x}",     "[y]",         "what?", "a&b",       "!",      "=",    "\u00b1"};
    return all;
  }

  void line_end() {
    if (dice_.one_in(6)) text_ += "  # note: 'x' {y";
    text_ += newline_;
    if (dice_.one_in(8)) text_ += newline_;
    if (dice_.one_in(10)) text_ += "   # a line of comment" + newline_;
  }

  void indent(std::size_t columns) { text_.append(columns, ' '); }

  std::string key() {
    std::string name = "k" + std::to_string(counter_++);
    switch (dice_.below(6)) {
      case 0: return "\"" + name + " \\u00e9: \\\"\"";
      case 1: return "'" + name + " it''s'";
      case 2: return "by " + name + "(x, y)";
      case 3: return name + ".\u00e9";
      default: return name;
    }
  }

  void map(std::size_t column, std::size_t depth) {
    const std::size_t count = 1 + dice_.below(4);
    for (std::size_t i = 0; i < count; ++i) {
      indent(i == 0 && inline_ ? 0 : column);
      inline_ = false;
      text_ += key() + (dice_.one_in(5) ? " :" : ":");
      value(column, depth, false);
    }
  }

  void list(std::size_t column, std::size_t depth) {
    const std::size_t count = 1 + dice_.below(4);
    for (std::size_t i = 0; i < count; ++i) {
      indent(i == 0 && inline_ ? 0 : column);
      inline_ = false;
      text_ += "-";
      value(column, depth, true);
    }
  }

  // Behind a colon or a dash.
  void value(std::size_t column, std::size_t depth, bool item) {
    const std::size_t choice = depth == 0 ? 2 : dice_.below(4);
    if (choice < 2 && item && dice_.one_in(2)) {
      const std::size_t spaces = 1 + dice_.below(3);
      indent(spaces);
      inline_ = true;
      choice == 0 ? map(column + 1 + spaces, depth - 1) : list(column + 1 + spaces, depth - 1);
    } else if (choice < 2) {
      line_end();
      const std::size_t deeper = choice == 1 && !item && dice_.one_in(3) ? 0 : 1 + dice_.below(4);
      choice == 0 ? map(column + deeper, depth - 1) : list(column + deeper, depth - 1);
    } else {
      text_ += " ";
      scalar_or_flow(column);
    }
  }

  void scalar_or_flow(std::size_t column) {
    switch (dice_.below(6)) {
      case 0: return block_text(column);
      case 1: text_ += flow(column, 2); break;
      case 2: text_ += double_quoted(column); break;
      case 3: text_ += single_quoted(column); break;
      default: text_ += plain(false);
    }
    line_end();
  }

  std::string plain(bool in_flow) {
    static const std::vector<std::string> first = {"relief", "9 thou", "-3 cents", "\u00e9",
                                                   "(x)",    "5%",     "a'b",      "3.5/64"};
    static const std::vector<std::string> flow_safe = {"x",      "-y",  "9 thou", "a:b", "it's",
                                                       "\u266f", "(z)", "a#b",    "50 %"};
    std::string result = dice_.pick(first);
    for (std::size_t i = dice_.below(4); i > 0; --i) {
      const std::string& word = dice_.pick(in_flow ? flow_safe : words());
      if (word.front() != '#') result += (dice_.one_in(4) ? "  " : " ") + word;
    }
    return result;
  }

  // A space, or a line end that reads as one or as line feeds.
  std::string gap(std::size_t column, bool blank_lines) {
    if (!dice_.one_in(4)) return dice_.one_in(5) ? "  " : " ";
    std::string result = dice_.one_in(3) ? " " : "";
    for (std::size_t i = 1 + (blank_lines ? dice_.below(3) : 0); i > 0; --i) result += newline_;
    return result + std::string(column + 1 + dice_.below(3), ' ');
  }

  std::string double_quoted(std::size_t column) {
    static const std::vector<std::string> parts = {"\\\"",        "\\\\", "\\n",    "\\t", "\\u00e9", "\\x41",
                                                   "\\U0001F3B8", "\\/",  "\\ ",    "\\L", "word",    "#",
                                                   ": ",          "'",    "\u00e9", "x\ty"};
    std::string result = "\"";
    for (std::size_t i = dice_.below(6); i > 0; --i) {
      const std::string& part = dice_.pick(parts);
      result += part;
      if (dice_.one_in(2)) result += gap(column, i > 1);
      if (dice_.one_in(10)) result += "\\" + newline_ + std::string(column + 1 + dice_.below(3), ' ');
    }
    return result + "\"";
  }

  std::string single_quoted(std::size_t column) {
    static const std::vector<std::string> parts = {"''", "\\", "\"", "word", "# x", ": ", "\u00e9", "{", "x\ty"};
    std::string result = "'";
    for (std::size_t i = dice_.below(6); i > 0; --i) {
      const std::string& part = dice_.pick(parts);
      result += part;
      if (dice_.one_in(2)) result += gap(column, i > 1);
    }
    return result + "'";
  }

  std::string flow(std::size_t column, std::size_t depth) {
    const bool map = dice_.one_in(2);
    std::string result = map ? "{" : "[";
    const std::size_t count = dice_.below(4);
    for (std::size_t i = 0; i < count; ++i) {
      if (i > 0) result += "," + flow_gap(column);
      if (map) result += "f" + std::to_string(counter_++) + ": ";
      switch (depth == 0 ? 1 : dice_.below(4)) {
        case 0: result += flow(column, depth - 1); break;
        case 1: result += plain(true); break;
        case 2: result += double_quoted(column); break;
        default: result += single_quoted(column);
      }
    }
    if (count > 0 && dice_.one_in(4)) result += "," + flow_gap(column);
    return result + (map ? "}" : "]");
  }

  std::string flow_gap(std::size_t column) {
    if (!dice_.one_in(4)) return " ";
    return (dice_.one_in(3) ? " # note" : "") + newline_ + std::string(column + 1 + dice_.below(3), ' ');
  }

  void block_text(std::size_t column) {
    const std::size_t deeper = 1 + dice_.below(4);
    const bool marked = dice_.one_in(3);
    const bool folded = dice_.one_in(2);
    text_ += folded ? ">" : "|";
    static const std::vector<std::string> chomps = {"", "", "-", "+"};
    std::string chomp = dice_.pick(chomps);
    if (folded && chomp == "+") chomp = "";
    const bool chomp_first = dice_.one_in(2);
    if (chomp_first) text_ += chomp;
    if (marked) text_ += std::to_string(deeper);
    if (!chomp_first) text_ += chomp;
    text_ += (dice_.one_in(4) ? " # note" : "") + newline_;
    const std::size_t count = 1 + dice_.below(5);
    for (std::size_t i = 0; i < count; ++i) {
      if (dice_.one_in(4)) text_ += std::string(dice_.below(column + deeper + 1), ' ') + newline_;
      indent(column + deeper);
      if ((marked || i > 0) && dice_.one_in(4)) indent(1 + dice_.below(3));
      text_ += dice_.pick(words());
      for (std::size_t j = dice_.below(3); j > 0; --j) text_ += " " + dice_.pick(words());
      if (dice_.one_in(6)) text_ += "  ";
      text_ += newline_;
    }
    if (dice_.one_in(3)) text_ += newline_;
  }

  Dice& dice_;
  std::string text_;
  std::string newline_;
  bool inline_ = false;  // the next map or list begins on the line of its dash
  int counter_ = 0;
};

// A short text of signs that mean something in YAML and of words, in any order.
inline std::string signs_and_words(Dice& dice) {
  static const std::vector<std::string> pieces = {
      "a",  "b",  "a: ", "b: ", "c:",      "- ", "-",  "\n",   "\n",  "\n ",  "\n  ",    "\n    ", " ", "  ",
      "\"", "'",  "{",   "}",   "[",       "]",  ", ", ",",    ":",   "#",    " #",      "|",      ">", "|-",
      ">2", "|+", "\\",  "\\n", "\r\n",    "?",  "? ", "!",    "&",   "*",    "~",       "%",      "@", "1",
      "é",  "''", "---", "...", "\n---\n", "\t", "=",  "<<: ", "x y", "\\\n", "\\u00e9", "\n\n"};
  std::string text;
  for (std::size_t i = 1 + dice.below(14); i > 0; --i) text += dice.pick(pieces);
  return text;
}

// `text` after one to four random edits, most of them with bytes that mean something in YAML.
inline std::string damaged(std::string text, Dice& dice) {
  static const std::vector<std::string> pieces = {":",
                                                  ": ",
                                                  "-",
                                                  "- ",
                                                  "\n",
                                                  "\n\n",
                                                  " ",
                                                  "  ",
                                                  "#",
                                                  " #",
                                                  "\"",
                                                  "'",
                                                  "{",
                                                  "}",
                                                  "[",
                                                  "]",
                                                  ",",
                                                  "|",
                                                  ">",
                                                  "&a",
                                                  "*a",
                                                  "!t",
                                                  "%",
                                                  "@",
                                                  "`",
                                                  "?",
                                                  "? ",
                                                  "\t",
                                                  "\r",
                                                  "\r\n",
                                                  "~",
                                                  "<<",
                                                  "\\",
                                                  "x",
                                                  "\n---\n",
                                                  "\n...\n",
                                                  "null",
                                                  "a: ",
                                                  "\xC3\xA9",
                                                  "\xC2\xA0",
                                                  "\xE2\x80\x9C",
                                                  "\xFF",
                                                  std::string(1, '\0'),
                                                  "|2\n",
                                                  ">-\n",
                                                  "\n  ",
                                                  "\n    ",
                                                  "0",
                                                  "\xEF\xBB\xBF",
                                                  "\\u",
                                                  "\xE2\x80\xA8"};
  for (std::size_t edits = 1 + dice.below(4); edits > 0; --edits) {
    const std::size_t at = dice.below(text.size() + 1);
    const std::size_t length = std::min(text.size() - at, 1 + dice.below(dice.one_in(4) ? 20 : 3));
    switch (dice.below(4)) {
      case 0: text.erase(at, length); break;
      case 1: text.insert(at, dice.pick(pieces)); break;
      case 2: text.replace(at, length, dice.pick(pieces)); break;
      default: text.insert(dice.below(text.size() + 1), text.substr(at, length));
    }
  }
  return text;
}

}  // namespace stringline::testing
