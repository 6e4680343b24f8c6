// Our own reading of the raw text: every mistake that the YAML of a house book can hold, and, where there is none, the
// events of the document with the exact places that the YAML library does not give: ends, styles, decoded texts.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/text/embedded.h"
#include "engine/text/span.h"

namespace stringline {

struct YamlEvent {
  enum class Kind : std::uint8_t {
    scalar,
    map,  // its entries follow as key, value, key, value
    list,
    end,  // of the last map or list that is open
  };
  Kind kind = Kind::end;
  bool flow = false;                       // written with [ ] or { }
  Span span;                               // of a map or list: from its first to its last character
  ScalarStyle style = ScalarStyle::plain;  // scalar
  std::string text;                        // scalar, decoded
  Embedded embedded;                       // scalar
};

// The events of `text`, whose bytes passed check_bytes. They mean something only when no error was reported.
[[nodiscard]] std::vector<YamlEvent> scan_yaml(SourceId source, std::string_view text, Diagnostics& out);

}  // namespace stringline
