// A document written anew with the entries of its maps in another order; everything a list holds stays where it is.
#pragma once

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/syntax/node.h"

namespace stringline::testing {

class ShuffledYaml {
 public:
  // `text` is what `document` was read from. Maps under a key in `keep` stay in their order.
  ShuffledYaml(std::string_view text, std::mt19937& random, std::set<std::string> keep)
      : text_(text), random_(random), keep_(std::move(keep)) {}

  // The first key of a file tells its kind, so it stays first.
  [[nodiscard]] std::string write(const Node& document) {
    out_.clear();
    map(document, 0, true, true);
    return out_;
  }

 private:
  void map(const Node& node, std::size_t column, bool keep_first, bool shuffle) {
    std::vector<const MapEntry*> entries;
    for (const MapEntry& entry : node.entries) entries.push_back(&entry);
    if (shuffle && !entries.empty()) std::shuffle(entries.begin() + (keep_first ? 1 : 0), entries.end(), random_);
    for (const MapEntry* entry : entries) {
      out_ += std::string(column, ' ') + scalar(entry->key) + ":";
      value(entry->value, column, keep_.count(entry->key.text) == 0);
    }
  }

  // Behind a colon or a dash.
  void value(const Node& node, std::size_t column, bool shuffle) {
    if (node.is_scalar()) {
      out_ += " " + scalar(node) + "\n";
    } else if (node.is_map() && node.entries.empty()) {
      out_ += " {}\n";
    } else if (node.is_list() && node.items.empty()) {
      out_ += " []\n";
    } else if (node.is_map()) {
      out_ += "\n";
      map(node, column + 2, false, shuffle);
    } else {
      out_ += "\n";
      for (const Node& item : node.items) {
        out_ += std::string(column + 2, ' ') + "-";
        value(item, column + 4, true);
      }
    }
  }

  // As written where that is one line, else in double quotes.
  [[nodiscard]] std::string scalar(const Node& node) const {
    const std::string_view written = text_.substr(node.span.begin, node.span.end - node.span.begin);
    const bool block = node.style == ScalarStyle::literal || node.style == ScalarStyle::folded;
    if (!block && written.find('\n') == std::string_view::npos) return std::string(written);
    std::string quoted = "\"";
    for (const char c : node.text) {
      if (c == '"' || c == '\\') quoted += '\\';
      quoted += c == '\n' ? std::string("\\n") : std::string(1, c);
    }
    return quoted + "\"";
  }

  std::string_view text_;
  std::mt19937& random_;
  std::set<std::string> keep_;
  std::string out_;
};

}  // namespace stringline::testing
