#include "engine/diag/suggest.h"

#include <algorithm>
#include <array>
#include <compare>
#include <cstddef>
#include <cstdint>

namespace stringline {
namespace {

constexpr std::size_t short_list = 8;

// Insertions, deletions, replacements and swaps of neighbours that turn `a` into `b`; three rows of the table are kept. Any number
// above `most` when there are more than that.
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t most) {
  const std::size_t apart = a.size() > b.size() ? a.size() - b.size() : b.size() - a.size();
  if (apart > most) return most + 1;
  const std::size_t width = b.size() + 1;
  std::vector<std::uint32_t> table(3 * width);
  std::uint32_t* before = table.data();
  std::uint32_t* last = before + width;
  std::uint32_t* row = last + width;
  for (std::size_t j = 0; j < width; ++j) row[j] = static_cast<std::uint32_t>(j);
  std::size_t least_before = 0;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::swap(before, last);
    std::swap(last, row);
    row[0] = static_cast<std::uint32_t>(i);
    std::uint32_t least = row[0];
    for (std::size_t j = 1; j < width; ++j) {
      const std::uint32_t replaced = last[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, replaced});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
      least = std::min(least, row[j]);
    }
    if (least > most && least_before > most) return most + 1;
    least_before = least;
  }
  return row[b.size()];
}

// ---- words

using Words = std::vector<std::string>;

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); }

// In lower case; those that tell nothing apart are left out.
Words words_in(std::string_view text) {
  static constexpr std::array<std::string_view, 14> empty{"the", "and", "for",  "off",  "its",  "all",  "one",
                                                          "out", "are", "this", "that", "with", "from", "into"};
  Words words(1);
  for (char c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    if (is_letter(c))
      words.back() += c;
    else if (!words.back().empty())
      words.emplace_back();
  }
  const auto says_nothing = [](const std::string& word) {
    return word.size() < 3 || std::find(empty.begin(), empty.end(), word) != empty.end();
  };
  words.erase(std::remove_if(words.begin(), words.end(), says_nothing), words.end());
  return words;
}

// The same, or two forms of one: lean and leaning, intonate and intonation. Three letters are too few to tell.
bool akin(const std::string& a, const std::string& b) {
  if (a == b) return true;
  const std::size_t shorter = std::min(a.size(), b.size());
  std::size_t common = 0;
  while (common < shorter && a[common] == b[common]) ++common;
  return common >= 4 && common + 1 >= shorter;
}

bool has(const Words& words, const std::string& word) {
  return std::any_of(words.begin(), words.end(), [&](const std::string& each) { return akin(each, word); });
}

// How many words are found at all; how many of them in the name or label; how many stand in the name as they are.
struct Shared {
  std::size_t found = 0;
  std::size_t named = 0;
  std::size_t exact = 0;

  friend auto operator<=>(const Shared&, const Shared&) = default;
};

Shared shared_words(const Words& wanted, const Known& known) {
  const Words name = words_in(known.name);
  const Words label = words_in(known.label);
  const Words about = words_in(known.about);
  Shared shared;
  for (const std::string& word : wanted) {
    const bool named = has(name, word) || has(label, word);
    if (named) ++shared.named;
    if (named || has(about, word)) ++shared.found;
    if (std::find(name.begin(), name.end(), word) != name.end()) ++shared.exact;
  }
  return shared;
}

// "'a' (what people call it) or 'b'"
std::string list_of(const std::vector<Known>& found) {
  std::string text;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (i > 0) text += i + 1 == found.size() ? " or " : ", ";
    text += "'" + found[i].name + "'";
    if (!found[i].label.empty() && found[i].label != found[i].name) text += " (" + found[i].label + ")";
  }
  return text;
}

// So near that no other word was meant.
bool is_slip(std::string_view word, const std::string& near) {
  const std::size_t most = std::max<std::size_t>(1, std::max(word.size(), near.size()) / 5);
  return edit_distance(word, near, most) <= most;
}

}  // namespace

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
  if (candidates.size() > most_candidates) return std::nullopt;
  const std::string* best = nullptr;
  std::size_t best_distance = 0;
  for (const std::string& candidate : candidates) {
    const std::size_t longer = std::max(word.size(), candidate.size());
    const std::size_t shorter = std::min(word.size(), candidate.size());
    const std::size_t allowed = std::max<std::size_t>(1, longer / 3);
    if (longer - shorter > allowed) continue;
    const std::size_t distance = edit_distance(word, candidate, allowed);
    if (distance > allowed) continue;
    const bool better = best == nullptr || distance < best_distance || (distance == best_distance && candidate < *best);
    if (!better) continue;
    best = &candidate;
    best_distance = distance;
  }
  return best == nullptr ? std::nullopt : std::optional<std::string>(*best);
}

std::string did_you_mean(std::string_view word, const std::vector<std::string>& candidates) {
  if (const auto near = nearest(word, candidates)) return "; did you mean '" + *near + "'?";
  if (candidates.empty() || candidates.size() > short_list) return {};
  std::string result = "; known: ";
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    if (i > 0) result += ", ";
    result += candidates[i];
  }
  return result;
}

std::vector<Known> nearest_by_words(std::string_view word, const std::vector<Known>& known) {
  constexpr std::size_t most = 3;
  const Words wanted = words_in(word);
  if (wanted.empty() || known.size() > most_candidates) return {};
  Shared best{1, 0, 0};
  std::vector<Known> found;
  for (const Known& each : known) {
    const Shared shared = shared_words(wanted, each);
    if (shared < best) continue;
    if (best < shared) found.clear();
    best = shared;
    found.push_back(each);
  }
  if (found.size() > most || best.found * 2 < wanted.size()) return {};
  std::sort(found.begin(), found.end(), [](const Known& a, const Known& b) { return a.name < b.name; });
  return found;
}

std::string did_you_mean_one_of(std::string_view word, const std::vector<Known>& known) {
  std::vector<std::string> names;
  for (const Known& each : known) names.push_back(each.name);
  const auto near = nearest(word, names);
  const std::vector<Known> by_words = nearest_by_words(word, known);
  if (by_words.empty()) return did_you_mean(word, names);
  const Words wanted = words_in(word);
  const bool all_found = shared_words(wanted, by_words.front()).found == wanted.size();
  if (near && (is_slip(word, *near) || !all_found)) return did_you_mean(word, names);
  return "; did you mean " + list_of(by_words) + "?";
}

}  // namespace stringline
