// What an author writes stays text on a page, whatever it holds.
#include "engine/paper/html.h"

#include <catch2/catch.hpp>

using namespace stringline;

TEST_CASE("tags, quotes and ampersands of a text are shown, not obeyed") {
  CHECK(html_text("<script>alert(\"x\")</script>") == "&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt;");
  CHECK(html_text("Bell & O'Hara") == "Bell &amp; O&#39;Hara");
  CHECK(html_attribute("\" onload='x'") == "&quot; onload=&#39;x&#39;");
}

TEST_CASE("control characters and broken UTF-8 become visible") {
  CHECK(html_text(std::string("a\x07z")) == "a\\x07z");
  CHECK(html_text("a\xFFz") == "a\\xFFz");
  CHECK(html_text("\xE2\x80\xAEz").find("\xE2\x80\xAE") == std::string::npos);  // a bidi override
  CHECK(html_text("one\ntwo") == "one two");
}

TEST_CASE("a stretch from right to left is isolated, with the spaces and digits inside it and none around it") {
  const std::string word = "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D";  // four Hebrew letters
  CHECK(html_text("for " + word + ", 2 mm") == "for <bdi>" + word + "</bdi>, 2 mm");
  CHECK(html_text(word + " 12 " + word) == "<bdi>" + word + " 12 " + word + "</bdi>");
  CHECK(html_text(word + " and " + word) == "<bdi>" + word + "</bdi> and <bdi>" + word + "</bdi>");
  CHECK(html_attribute(word) == word);
}

TEST_CASE("the writer escapes text and attributes and closes tags in the order they were opened") {
  HtmlWriter out;
  out.open("p", {{"title", "a\"b"}}).text("1 < 2 ").leaf("b", "&").empty("br").close();
  CHECK(out.take() == "<p title=\"a&quot;b\">1 &lt; 2 <b>&amp;</b>\n<br /></p>");
}

TEST_CASE("a page loads nothing, runs nothing and keeps its title apart from its tags") {
  const std::string page = html_page("</title><script>", "<p>x</p>");
  CHECK(page.find("<script") == std::string::npos);
  CHECK(page.find("://") == std::string::npos);
  CHECK(page.find("url(") == std::string::npos);
  CHECK(page.find("<title>&lt;/title&gt;&lt;script&gt;</title>") != std::string::npos);
  CHECK(page.find("default-src &#39;none&#39;") != std::string::npos);
}
