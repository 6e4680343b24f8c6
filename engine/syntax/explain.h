// What to tell the author of an expression that does not follow the grammar: the place, the reason, what to write instead.
// Knows the habits that people bring from other notations (`&&`, `inch`, curly quotes); knows nothing of how text is parsed.
// Tested by tests/unit/parse_expr_test.cc, parse_range_test.cc, row_key_test.cc and parse_text_test.cc.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "engine/diag/diagnostic.h"

namespace stringline {

// Offsets are bytes in the decoded text of the scalar.
struct Mistake {
  Code code{};
  std::size_t begin = 0;
  std::size_t end = 0;
  std::string message;
  std::string hint;
};

// Where a word stands decides what to say about it: `not` before a value is another habit than `not` after one.
enum class Place : std::uint8_t {
  value,      // a value is wanted
  operation,  // a value is complete; an operator or the end is wanted
  range,      // the same, inside a range
  row,        // the key of a table's row
  number,     // a single number
};

// `wanted` had to stand at `at` and does not.
[[nodiscard]] Mistake explain_unexpected(std::string_view text, std::size_t at, std::string_view wanted, Place place);

// [number, end) is a number and the word from `unit` on that is no unit: "9 mils" gives the hint "write '9 thou'".
[[nodiscard]] Mistake explain_unit(std::string_view text, std::size_t number, std::size_t unit, std::size_t end);

// A badly written number as the language would write it: "007" 7, "1_000" 1000, ".5" 0.5, "1-1/64 in" 1 1/64 in,
// "9thou" 9 thou, "25  1/2" 25 1/2.
[[nodiscard]] std::string rewrite_number(std::string_view written);

// The unit that `word` stands for ("mils" is thou, "inch" is in); empty when it is none or would need a conversion.
[[nodiscard]] std::string_view unit_meant(std::string_view word);

// The end of the last word or sign before `at`; 0 when there is none.
[[nodiscard]] std::size_t end_of_previous(std::string_view text, std::size_t at);

[[nodiscard]] inline bool is_word_char(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}

}  // namespace stringline
