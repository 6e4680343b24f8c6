#include "engine/paper/page.h"

#include <catch2/catch.hpp>

#include "engine/paper/owner_html.h"

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

TEST_CASE("a page that is signed has every box in one block with the signature") {
  HtmlWriter out;
  HtmlOwnerPage page(out);
  page.line("A Shop");
  page.choice("", "low strings", "low strings");
  page.choice("", "long bends", "long bends");
  page.row("1. Refret", "460.00");
  page.answer("1. Refret", "");
  page.choice("1a", "level the frets", "instead: level the frets, 180.00");
  page.heading("HOW LONG");
  page.how_to_answer({"Answer line 1"}, "I say yes.");
  const std::string html = out.take();
  const std::size_t block = html.find("<section");
  REQUIRE(block != std::string::npos);
  CHECK(html.find("signature", block) < html.find("</section>", block));
  int boxes = 0;
  for (std::size_t at = html.find("class=\"square\""); at != std::string::npos;
       at = html.find("class=\"square\"", at + 1)) {
    CHECK(at > block);
    ++boxes;
  }
  CHECK(boxes == 5);  // low, long, yes, no, 1a
  CHECK(html.find("instead: level the frets, 180.00") < block);
}
