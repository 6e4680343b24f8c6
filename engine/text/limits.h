// Every bound on input, by name. Each has a diagnostic that tells the author which bound was met.
#pragma once

#include <cstddef>

namespace stringline::limits {

inline constexpr std::size_t max_file_bytes = 1U << 20U;
inline constexpr std::size_t max_yaml_depth = 32;
inline constexpr std::size_t max_yaml_nodes = 20'000;
inline constexpr std::size_t max_line_bytes = 4'096;
inline constexpr std::size_t max_flow_bytes = 16U << 10U;
inline constexpr std::size_t max_blank_lines = 1'000;
inline constexpr std::size_t max_expression_bytes = 4'096;
inline constexpr std::size_t max_expression_depth = 64;
inline constexpr std::size_t max_layers = 16;
inline constexpr std::size_t max_strings = 24;
inline constexpr std::size_t max_frets = 48;
inline constexpr std::size_t max_pickups = 8;
// Above this many unknown atoms a truth's needs are the union of them all instead of the proven ones.
inline constexpr std::size_t max_proven_unknowns = 12;

}  // namespace stringline::limits
