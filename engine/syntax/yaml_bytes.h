// What is wrong with a file's bytes before any of them means something: encoding, control characters, line ends, sizes.
#pragma once

#include <string_view>

#include "engine/diag/diagnostic.h"
#include "engine/text/span.h"

namespace stringline {

// The UTF-8 byte order mark, which may stand once, at the start.
inline constexpr std::string_view byte_order_mark_utf8 = "\xEF\xBB\xBF";

// One code point of UTF-8 text, or a byte that begins none: then `length` is 1 and `valid` false.
struct CodePoint {
  char32_t value = 0;
  std::uint32_t length = 1;
  bool valid = true;
};

// `at` is less than text.size(). Refuses overlong forms, surrogates and what lies past U+10FFFF.
[[nodiscard]] CodePoint code_point_at(std::string_view text, std::size_t at);

// The UTF-8 bytes of `point`, which is no surrogate and at most U+10FFFF.
[[nodiscard]] std::string utf8(char32_t point);

// True when nothing was reported.
[[nodiscard]] bool check_bytes(SourceId source, std::string_view text, Diagnostics& out);

}  // namespace stringline
