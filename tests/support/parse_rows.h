// Tables of texts and what is read from them: one loop for expressions, ranges, rows of tables and texts with holes.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "tests/support/scalar.h"

namespace stringline::test {

struct Row {
  const char* text;
  const char* expected;  // what is read, or the report
};

// `parse(node, diagnostics)` gives something that is true and is then printed by `print`.
template <class Parse, class Print>
void check_accepted(const std::vector<Row>& rows, const Parse& parse, const Print& print) {
  for (const Row& row : rows) {
    INFO(row.text);
    Diagnostics out;
    const auto read = parse(scalar(row.text), out);
    CHECK(dump(out, row.text).empty());
    REQUIRE(read);
    CHECK(print(*read) == row.expected);
  }
}

// Nothing comes out but a report, whose message is a message: words, without a full stop.
template <class Parse>
void check_refused(const std::vector<Row>& rows, const Parse& parse) {
  for (const Row& row : rows) {
    INFO(row.text);
    Diagnostics out;
    CHECK_FALSE(parse(scalar(row.text), out));
    INFO(dump(out, row.text));
    CHECK(fits(dump(out, row.text), row.expected));
    for (const Diagnostic& diagnostic : out.list()) {
      CHECK_FALSE(diagnostic.message.empty());
      CHECK(diagnostic.message.back() != '.');
      CHECK(diagnostic.hint.find("{0}") == std::string::npos);  // a place for words that nobody filled in
      CHECK(diagnostic.hint.find("{1}") == std::string::npos);
    }
  }
}

}  // namespace stringline::test
