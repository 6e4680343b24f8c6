#include "engine/diag/suggest.h"

#include <algorithm>
#include <array>
#include <compare>
#include <cstddef>
#include <cstdint>

namespace stringline {
namespace {

constexpr std::size_t short_list = 8;

// How far words of at most 64 bytes are from one: insertions, deletions, replacements and swaps of neighbours. A column of the
// usual table is two machine words, in which each bit tells whether a cell is one more, or one less, than the one above it; so a
// column takes a dozen operations (H. Hyyro, "A bit-vector algorithm for computing Levenshtein and Damerau edit distances",
// Nordic Journal of Computing 10, 2003; the steps written from memory, the tests hold them against the table).
class DistanceFrom {
 public:
  explicit DistanceFrom(std::string_view word) : size_(word.size()) {
    for (std::size_t i = 0; i < size_; ++i) places_[static_cast<unsigned char>(word[i])] |= std::uint64_t{1} << i;
  }

  [[nodiscard]] std::size_t to(std::string_view other) const {
    if (size_ == 0) return other.size();
    const std::uint64_t last = std::uint64_t{1} << (size_ - 1);
    std::uint64_t more = ~std::uint64_t{0};
    std::uint64_t less = 0;
    std::uint64_t diagonal = 0;  // where a cell is the same as the one before it in both directions
    std::uint64_t places_before = 0;
    std::size_t distance = size_;
    for (const char c : other) {
      const std::uint64_t places = places_[static_cast<unsigned char>(c)];
      const std::uint64_t swapped = ((~diagonal & places) << 1) & places_before;
      diagonal = (((places & more) + more) ^ more) | places | less | swapped;
      const std::uint64_t right_more = less | ~(diagonal | more);
      const std::uint64_t right_less = diagonal & more;
      if ((right_more & last) != 0) ++distance;
      if ((right_less & last) != 0) --distance;
      const std::uint64_t from_above = (right_more << 1) | 1;
      more = (right_less << 1) | ~(diagonal | from_above);
      less = from_above & diagonal;
      places_before = places;
    }
    return distance;
  }

 private:
  std::size_t size_;
  std::array<std::uint64_t, 256> places_{};  // of each byte in the word
};

// Longer ones are no slip of the hand.
constexpr std::size_t longest_word = 64;

// ---- words

using Words = std::vector<std::string>;

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool is_letter(char c) { return (lower(c) >= 'a' && lower(c) <= 'z') || (c >= '0' && c <= '9'); }

// In lower case; those that tell nothing apart are left out.
Words words_in(std::string_view text) {
  static constexpr std::array<std::string_view, 14> empty{"the", "and", "for",  "off",  "its",  "all",  "one",
                                                          "out", "are", "this", "that", "with", "from", "into"};
  constexpr std::size_t longest_empty = 4;
  Words words;
  for (auto at = std::find_if(text.begin(), text.end(), is_letter); at != text.end();) {
    const auto end = std::find_if_not(at, text.end(), is_letter);
    if (end - at >= 3) {
      std::string word(at, end);
      std::transform(word.begin(), word.end(), word.begin(), lower);
      if (word.size() > longest_empty || std::find(empty.begin(), empty.end(), word) == empty.end())
        words.push_back(std::move(word));
    }
    at = std::find_if(end, text.end(), is_letter);
  }
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
  return DistanceFrom(word).to(near) <= most;
}

}  // namespace

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
  if (candidates.size() > most_candidates || word.size() > longest_word) return std::nullopt;
  const DistanceFrom from(word);
  const std::string* best = nullptr;
  std::size_t best_distance = 0;
  for (const std::string& candidate : candidates) {
    const std::size_t longer = std::max(word.size(), candidate.size());
    const std::size_t shorter = std::min(word.size(), candidate.size());
    const std::size_t allowed = std::max<std::size_t>(1, longer / 3);
    if (longer - shorter > allowed) continue;
    const std::size_t distance = from.to(candidate);
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
  std::vector<const Known*> likely;
  for (const Known& each : known) {
    const Shared shared = shared_words(wanted, each);
    if (shared < best) continue;
    if (best < shared) likely.clear();
    best = shared;
    likely.push_back(&each);
  }
  if (likely.size() > most || best.found * 2 < wanted.size()) return {};
  std::vector<Known> found;
  for (const Known* each : likely) found.push_back(*each);
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
