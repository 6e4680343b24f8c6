#include "engine/paper/page.h"

#include <catch2/catch.hpp>

using namespace stringline;

TEST_CASE("an amount stands at the right edge of the first line of its row") {
  Page page(20);
  page.row("set-up", "85.00");
  page.row("level, crown and polish", "180.00");
  CHECK(page.text() ==
        "set-up         85.00\n"
        "level, crown  180.00\n"
        "  and polish\n");
}

TEST_CASE("what follows a paragraph's first line stands under its text") {
  Page page(20);
  page.item("no line is wider than the page");
  CHECK(page.text() ==
        "- no line is wider\n"
        "  than the page\n");
}

TEST_CASE("a word wider than the page has a line of its own, and nothing is cut") {
  Page page(8);
  page.line("an incomprehensible word");
  CHECK(page.text() == "an\nincomprehensible\nword\n");
}

TEST_CASE("width is counted in characters, not in bytes") {
  CHECK(width_of("a\xC3\xA9z") == 3);
  Page page(10);
  page.row("caf\xC3\xA9", "1.00");
  CHECK(page.text() == "caf\xC3\xA9  1.00\n");
}

TEST_CASE("blank lines never stand in pairs, nor at the top") {
  Page page(10);
  page.blank();
  page.line("a");
  page.blank();
  page.blank();
  page.heading("b");
  CHECK(page.text() == "a\n\nb\n");
}
