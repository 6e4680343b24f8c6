#include "engine/syntax/read_word.h"

#include <algorithm>
#include <array>
#include <utility>

#include "engine/diag/suggest.h"
#include "engine/syntax/parse_expr.h"

namespace stringline {
namespace {

bool is_lower(char c) { return c >= 'a' && c <= 'z'; }
bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool is_blank(std::string_view text) { return text.find_first_not_of(" \t\r\n") == std::string_view::npos; }

// What the words of other YAML readers mean here; null for all others.
const char* truth_meant_by(std::string_view text) {
  static constexpr std::array<std::pair<std::string_view, const char*>, 16> table{{{"yes", "true"},
                                                                                   {"Yes", "true"},
                                                                                   {"YES", "true"},
                                                                                   {"on", "true"},
                                                                                   {"y", "true"},
                                                                                   {"True", "true"},
                                                                                   {"TRUE", "true"},
                                                                                   {"1", "true"},
                                                                                   {"no", "false"},
                                                                                   {"No", "false"},
                                                                                   {"NO", "false"},
                                                                                   {"off", "false"},
                                                                                   {"n", "false"},
                                                                                   {"False", "false"},
                                                                                   {"FALSE", "false"},
                                                                                   {"0", "false"}}};
  const auto found = std::find_if(table.begin(), table.end(), [&](const auto& row) { return row.first == text; });
  return found == table.end() ? nullptr : found->second;
}

template <class ReadOne>
std::vector<Word> read_distinct(const Node& node, ReadOne read_one, Diagnostics& out) {
  std::vector<Word> words;
  ListedOnce listed;
  for (const Node* item : one_or_list(node, out)) {
    const std::optional<Word> word = read_one(*item, out);
    if (word && listed.is_new(*word, out)) words.push_back(*word);
  }
  return words;
}

}  // namespace

bool want_scalar(const Node& node, std::string_view wanted, Diagnostics& out) {
  if (node.is_scalar()) return true;
  out.report(Code::wrong_shape, node.span,
             std::string(describe(node.kind)) + " stands where " + std::string(wanted) + " is wanted");
  return false;
}

bool is_snake_case(std::string_view text) {
  return is_identifier(text) && std::none_of(text.begin(), text.end(), is_upper);
}

std::optional<Word> read_text(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "one text", out)) return std::nullopt;
  if (is_blank(node.text)) {
    out.report(Code::nothing_inside, node.span, "a text without words",
               "leave the key out when there is nothing to say");
    return std::nullopt;
  }
  return Word{node.text, node.span};
}

std::optional<Word> read_name(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "one name", out)) return std::nullopt;
  if (!is_snake_case(node.text)) {
    const auto better = suggest_name(node.text);
    out.report(Code::bad_name, node.span, "'" + node.text + "' is no name",
               "a name is written in lower-case letters, digits and _, a letter first" +
                   (better ? ": '" + *better + "'" : std::string()));
    return std::nullopt;
  }
  if (is_reserved(node.text)) {
    out.report(Code::reserved_name, node.span, "'" + node.text + "' is a word of the language and can not be a name",
               "choose another name, '" + node.text + "_1' for instance");
    return std::nullopt;
  }
  return Word{node.text, node.span};
}

std::optional<Word> read_name_or_none(const Node& node, Diagnostics& out) {
  if (node.is_scalar() && node.text == "none") return Word{node.text, node.span};
  return read_name(node, out);
}

bool is_id_character(char c) { return is_lower(c) || is_upper(c) || is_digit(c) || c == '-' || c == '_'; }

std::optional<Word> read_id(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "an id", out)) return std::nullopt;
  const bool good = !node.text.empty() && std::all_of(node.text.begin(), node.text.end(), is_id_character);
  if (good) return Word{node.text, node.span};
  out.report(Code::bad_id, node.span, "'" + node.text + "' is no id",
             "an id holds letters, digits, - and _: '2026-0731'");
  return std::nullopt;
}

std::optional<bool> read_truth(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "true or false", out)) return std::nullopt;
  if (node.text == "true") return true;
  if (node.text == "false") return false;
  const char* meant = truth_meant_by(node.text);
  out.report(Code::bad_truth, node.span, "'" + node.text + "' is neither true nor false",
             meant != nullptr ? "write '" + std::string(meant) + "'" : std::string());
  return std::nullopt;
}

std::optional<Word> read_word(const Node& node, WordSet set, Diagnostics& out) {
  if (!want_scalar(node, "one word", out)) return std::nullopt;
  const auto words = words_of(set);
  if (std::find(words.begin(), words.end(), node.text) != words.end()) return Word{node.text, node.span};
  out.report(Code::unknown_word, node.span,
             "'" + node.text + "' is not possible here" + did_you_mean(node.text, words));
  return std::nullopt;
}

std::vector<Word> read_names(const Node& node, Diagnostics& out) { return read_distinct(node, read_name, out); }

std::vector<Word> read_states(const Node& node, Diagnostics& out) {
  return read_distinct(node, read_name_or_none, out);
}

std::vector<Word> read_axes(const Node& node, Diagnostics& out) {
  return read_distinct(node, read_word_of<WordSet::axis>, out);
}

std::vector<Word> read_texts(const Node& node, Diagnostics& out) {
  std::vector<Word> texts;
  for (const Node* item : one_or_list(node, out)) {
    if (const auto text = read_text(*item, out)) texts.push_back(*text);
  }
  return texts;
}

std::vector<const Node*> one_or_list(const Node& node, Diagnostics& out) {
  if (!node.is_list()) return {&node};
  if (node.items.empty()) out.report(Code::nothing_inside, node.span, "an empty list", "leave the key out instead");
  std::vector<const Node*> items;
  for (const Node& item : node.items) items.push_back(&item);
  return items;
}

ListedOnce::ListedOnce(const std::vector<Word>& before) {
  for (const Word& word : before) first_.emplace(word.text, word.span);
}

bool ListedOnce::is_new(const Word& word, Diagnostics& out) {
  const auto [first, is_new] = first_.emplace(word.text, word.span);
  if (!is_new) {
    out.report(Code::written_twice, word.span, "'" + word.text + "' stands twice in this list", {},
               {{first->second, "first written here"}});
  }
  return is_new;
}

std::optional<std::string> suggest_name(std::string_view text) {
  std::string name;
  const auto separate = [&] {
    if (!name.empty() && name.back() != '_') name += '_';
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (is_upper(c)) {
      if (i > 0 && !is_upper(text[i - 1])) separate();
      name += static_cast<char>(c - 'A' + 'a');
    } else if (is_lower(c) || is_digit(c)) {
      name += c;
    } else if (c == ' ' || c == '_' || c == '-' || c == '.' || c == '/') {
      separate();
    }
  }
  while (!name.empty() && name.back() == '_') name.pop_back();
  if (!is_snake_case(name) || is_reserved(name)) return std::nullopt;
  return name;
}

}  // namespace stringline
