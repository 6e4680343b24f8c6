// See id_index.h.
#include "engine/book/id_index.h"

#include <algorithm>
#include <iterator>
#include <optional>

#include "engine/syntax/read_word.h"

namespace stringline {
namespace {

constexpr std::string_view blanks = " \t";

bool is_quote(char c) { return c == '"' || c == '\''; }

// Of every `id:` in it; nothing where one stands on another line than its key.
std::optional<std::vector<std::string>> ids_in(std::string_view text) {
  std::vector<std::string> ids;
  const auto behind_quote = [text](std::size_t at) { return at < text.size() && is_quote(text[at]) ? at + 1 : at; };
  const auto behind_blanks = [text](std::size_t at) {
    return std::min(text.find_first_not_of(blanks, at), text.size());
  };
  for (std::size_t at = text.find("id"); at != std::string_view::npos; at = text.find("id", at + 2)) {
    if (at > 0 && is_id_character(text[at - 1])) continue;
    const std::size_t colon = behind_blanks(behind_quote(at + 2));
    if (text.substr(colon, 1) != ":") continue;
    const std::size_t begin = behind_quote(behind_blanks(colon + 1));
    const auto end = std::find_if_not(text.begin() + static_cast<std::ptrdiff_t>(begin), text.end(), is_id_character);
    if (end == text.begin() + static_cast<std::ptrdiff_t>(begin)) return std::nullopt;
    ids.emplace_back(text.begin() + static_cast<std::ptrdiff_t>(begin), end);
  }
  return ids;
}

}  // namespace

void IdIndex::add(std::string_view text) {
  const std::size_t file = files_++;
  const auto ids =
      text.find('\\') == std::string_view::npos ? ids_in(text) : std::nullopt;  // a key may be written "\x69d"
  if (!ids) {
    any_.push_back(file);
    return;
  }
  for (const std::string& id : *ids) {
    auto& files = by_id_[id];
    if (files.empty() || files.back() != file) files.push_back(file);
  }
}

std::vector<std::size_t> IdIndex::may_name(const std::string& id) const {
  const auto found = by_id_.find(id);
  if (found == by_id_.end()) return any_;
  std::vector<std::size_t> files;
  std::merge(found->second.begin(), found->second.end(), any_.begin(), any_.end(), std::back_inserter(files));
  return files;
}

}  // namespace stringline
