#include "engine/diag/suggest.h"

#include <algorithm>
#include <cstddef>

namespace stringline {
namespace {

constexpr std::size_t short_list = 8;

// Insertions, deletions, replacements and swaps of neighbours that turn `a` into `b`; three rows of the table are kept.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::swap(before, last);
    std::swap(last, row);
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, replaced});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
    }
  }
  return row[b.size()];
}

}  // namespace

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
  const std::string* best = nullptr;
  std::size_t best_distance = 0;
  for (const std::string& candidate : candidates) {
    const std::size_t longer = std::max(word.size(), candidate.size());
    const std::size_t shorter = std::min(word.size(), candidate.size());
    const std::size_t allowed = std::max<std::size_t>(1, longer / 3);
    if (longer - shorter > allowed) continue;
    const std::size_t distance = edit_distance(word, candidate);
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

}  // namespace stringline
