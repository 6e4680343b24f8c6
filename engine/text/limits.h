// Every bound on input and output, by name. Each has a diagnostic that tells the author which bound was met.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace stringline {

struct Limits {
#define STRINGLINE_LIMIT(name, usual, most, words) std::size_t name = usual;
#include "engine/text/limits.def"
#undef STRINGLINE_LIMIT
};

struct LimitInfo {
  std::string_view name;
  std::size_t usual;
  std::size_t most;
  std::string_view words;
};

namespace limits {

inline constexpr Limits usual{};
// Those in force. One for the whole program, since they say what this machine is to bear and nothing of what a text means.
[[nodiscard]] const Limits& now();
// Before the first file is read. False when there is no limit of this name, or it can not be so high.
[[nodiscard]] bool set(std::string_view name, std::size_t number);
[[nodiscard]] const std::vector<LimitInfo>& all();
// "; --limit nodes=NUMBER allows more", for the end of a hint.
[[nodiscard]] std::string or_allow_more(std::string_view name);

// What an instrument has, and what can not be moved.
inline constexpr std::size_t max_strings = 24;
inline constexpr std::size_t max_frets = 48;
inline constexpr std::size_t max_pickups = 8;
// Above this many unknown atoms a truth's needs are the union of them all instead of the proven ones.
inline constexpr std::size_t max_proven_unknowns = 12;

}  // namespace limits
}  // namespace stringline
