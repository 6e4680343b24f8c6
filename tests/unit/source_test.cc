// Where an offset of a file lies: lines and columns from 1, columns in code points.
#include "engine/text/source.h"

#include <catch2/catch.hpp>
#include <string>

using namespace stringline;

namespace {

// "line:column" of the first `marker` in `text`.
std::string place_of(const std::string& text, const std::string& marker) {
  Sources sources;
  const Position position = sources.position(sources.add("x", text), text.find(marker));
  return std::to_string(position.line) + ":" + std::to_string(position.column);
}

std::string at(const Sources& sources, SourceId id, std::size_t offset) {
  const Position position = sources.position(id, offset);
  return std::to_string(position.line) + ":" + std::to_string(position.column);
}

}  // namespace

TEST_CASE("lines and columns count from one") {
  CHECK(place_of("abc\nde\n", "a") == "1:1");
  CHECK(place_of("abc\nde\n", "c") == "1:3");
  CHECK(place_of("abc\nde\n", "d") == "2:1");
  CHECK(place_of("\n\n\nx", "x") == "4:1");
}

TEST_CASE("a column counts code points and not bytes") {
  CHECK(place_of("caf\u00e9 x", "x") == "1:6");            // two bytes
  CHECK(place_of("\u266f\u266f x", "x") == "1:4");         // three bytes each
  CHECK(place_of("\U0001F3B8 x\n", "x") == "1:3");         // four bytes
  CHECK(place_of("\u00e9\u00e9\n\u00e9x", "x") == "2:2");  // the line above does not count
}

TEST_CASE("an offset inside a code point answers for the place after its lead byte, and never crashes") {
  Sources sources;
  const SourceId id = sources.add("x", "a\u00e9b");
  CHECK(at(sources, id, 0) == "1:1");
  CHECK(at(sources, id, 1) == "1:2");
  CHECK(at(sources, id, 2) == "1:3");
  CHECK(at(sources, id, 3) == "1:3");
}

TEST_CASE("both line ends end a line, and neither is part of its text") {
  Sources sources;
  const SourceId id = sources.add("x", "one\r\ntwo\nthree");
  CHECK(sources.line(id, 1) == "one");
  CHECK(sources.line(id, 2) == "two");
  CHECK(sources.line(id, 3) == "three");
  CHECK(at(sources, id, 5) == "2:1");
  CHECK(at(sources, id, 3) == "1:4");  // the carriage return itself
  CHECK(at(sources, id, 9) == "3:1");
}

TEST_CASE("a carriage return without a line feed ends no line") {
  Sources sources;
  const SourceId id = sources.add("x", "one\rtwo");
  CHECK(sources.line(id, 1) == "one\rtwo");
  CHECK(sources.line(id, 2).empty());
  CHECK(at(sources, id, 4) == "1:5");
}

TEST_CASE("a byte order mark at the start is no column and no part of the first line") {
  Sources sources;
  const SourceId id = sources.add("x", "\xEF\xBB\xBFhouse: a\norder: []");
  CHECK(sources.line(id, 1) == "house: a");
  CHECK(at(sources, id, 0) == "1:1");
  CHECK(at(sources, id, 2) == "1:1");
  CHECK(at(sources, id, 3) == "1:1");
  CHECK(at(sources, id, 4) == "1:2");
  CHECK(sources.text(id).size() == 21);  // the text itself is unchanged
}

TEST_CASE("an offset past the end answers for the end, and a line that is not there is empty") {
  Sources sources;
  const SourceId id = sources.add("x", "ab\ncd");
  CHECK(at(sources, id, 5) == "2:3");
  CHECK(at(sources, id, 5000) == "2:3");
  CHECK(sources.line(id, 0).empty());
  CHECK(sources.line(id, 3).empty());
}

TEST_CASE("a last line end begins a line of nothing") {
  Sources sources;
  const SourceId id = sources.add("x", "ab\n");
  CHECK(at(sources, id, 3) == "2:1");
  CHECK(sources.line(id, 2).empty());
}

TEST_CASE("an empty file has one line and one place") {
  Sources sources;
  const SourceId id = sources.add("x", "");
  CHECK(at(sources, id, 0) == "1:1");
  CHECK(at(sources, id, 7) == "1:1");
  CHECK(sources.line(id, 1).empty());
  const SourceId mark_only = sources.add("y", "\xEF\xBB\xBF");
  CHECK(at(sources, mark_only, 0) == "1:1");
  CHECK(at(sources, mark_only, 9) == "1:1");
}

TEST_CASE("texts keep their names and bytes when more are added") {
  Sources sources;
  const SourceId first = sources.add("a.yaml", "one");
  const std::string_view before = sources.text(first);
  for (int i = 0; i < 100; ++i) sources.add("more.yaml", std::string(1000, 'x'));
  CHECK(sources.text(first).data() == before.data());
  CHECK(sources.path(first) == "a.yaml");
  CHECK(sources.text(first) == "one");
}
