// The one place that turns spans into file:line:column, carets and colour.
// Tested by tests/unit/render_test.cc.
#pragma once

#include <string>
#include <string_view>

#include "engine/diag/diagnostic.h"
#include "engine/text/source.h"

namespace stringline {

// All diagnostics in reading order, each as
//   tenor.yaml:6:11: error: unknown name 'nut_gpa'; did you mean 'nut_gap'? [E401]
//      6 |     when: nut_gpa.plain over 22 thou
//        |           ^~~~~~~
//   related places and the hint follow, indented. Control characters are shown as \xNN, a tab as an arrow.
[[nodiscard]] std::string render(const Diagnostics& diagnostics, const Sources& sources, bool colour);

// A JSON array of the same: file, line, column, end_line, end_column, severity, code, message, hint, related.
[[nodiscard]] std::string render_json(const Diagnostics& diagnostics, const Sources& sources);

// "tenor.yaml:6:11", for the lines that say where a value came from.
[[nodiscard]] std::string place(Span span, const Sources& sources);

// Text from a file as it may reach a terminal: C0, DEL, C1 and bidi controls become visible escapes; a newline stays.
[[nodiscard]] std::string printable(std::string_view text);

// The same for a file's name or a message, where a newline is an escape too: it can not begin a line of its own.
[[nodiscard]] std::string on_one_line(std::string_view text);

}  // namespace stringline
