// Diagnostics as people see them: place, excerpt, caret, colour; and text from files that may act on a terminal.
#include "engine/diag/render.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <string>

using namespace stringline;

namespace {

// The span of the first `words` in `text`.
Span find(SourceId id, const std::string& text, const std::string& words) {
  const auto begin = static_cast<std::uint32_t>(text.find(words));
  return {id, begin, begin + static_cast<std::uint32_t>(words.size())};
}

// The report of one mistake at `words` in `text`, plain.
std::string told(const std::string& text, const std::string& words, const std::string& hint = "") {
  Sources sources;
  const SourceId id = sources.add("tenor.yaml", text);
  Diagnostics diagnostics;
  diagnostics.report(Code::unknown_key, find(id, text, words), "unknown key", hint);
  return render(diagnostics, sources, false);
}

// The two lines of the excerpt.
std::string excerpt(const std::string& text, const std::string& words) {
  const std::string all = told(text, words);
  return all.substr(all.find('\n') + 1);
}

// Source text of the caret line's marked columns, for plain ASCII excerpts.
std::string marked(const std::string& two_lines) {
  const std::size_t end = two_lines.find('\n');
  const std::string caret = two_lines.substr(end + 1);
  const std::size_t from = caret.find('^');
  const std::size_t length = caret.find_last_of("^~") - from + 1;
  return two_lines.substr(0, end).substr(from, length);
}

}  // namespace

TEST_CASE("a report names place, severity, message and code, shows the line, and marks the words") {
  CHECK(told("profile: a\nlable: b\n", "lable", "write 'label'") ==
        "tenor.yaml:2:1: error: unknown key [E301]\n"
        "   2 | lable: b\n"
        "     | ^~~~~\n"
        "   hint: write 'label'\n");
}

TEST_CASE("a mark of one character is a caret alone, and one of none too") {
  CHECK(excerpt("a: b\n", ":") == "   1 | a: b\n     |  ^\n");
  CHECK(excerpt("a: b\n", "") == "   1 | a: b\n     | ^\n");
}

TEST_CASE("columns count code points, and the caret stands below the word all the same") {
  const std::string text = "label: caf\u00e9 \u266f x\n";
  CHECK(told(text, "x") ==
        "tenor.yaml:1:15: error: unknown key [E301]\n"
        "   1 | label: caf\u00e9 \u266f x\n"
        "     |               ^\n");
}

TEST_CASE("a wide character takes two cells and a combining one none") {
  CHECK(excerpt("\u5F26 x\n", "x") == "   1 | \u5F26 x\n     |    ^\n");
  CHECK(excerpt("e\u0301 x\n", "x") == "   1 | e\u0301 x\n     |   ^\n");
  CHECK(excerpt("\U0001F3B8 x\n", "\U0001F3B8") == "   1 | \U0001F3B8 x\n     | ^~\n");
}

TEST_CASE("a tab is one arrow, so the caret never slips") {
  CHECK(excerpt("a:\tb c\n", "b") == "   1 | a:\u2192b c\n     |    ^\n");
}

TEST_CASE("characters that act on a terminal are shown by their numbers and not sent to it") {
  CHECK(excerpt("a\x1b[2Jb x\n", "x") == "   1 | a\\x1B[2Jb x\n     |           ^\n");
  CHECK(excerpt("a\u202Eb x\n", "x") == "   1 | a\\u202Eb x\n     |          ^\n");
  CHECK(excerpt("a\xFF x\n", "x") == "   1 | a\\xFF x\n     |       ^\n");
}

TEST_CASE("messages, hints and paths are one line each and harmless") {
  Sources sources;
  const SourceId id = sources.add("bad\x1b[2Jname.yaml", "a: b\n");
  Diagnostics diagnostics;
  diagnostics.report(Code::unknown_key, {id, 0, 1}, "unknown key 'a\nb\x07'", "write\n'c'");
  CHECK(render(diagnostics, sources, false) ==
        "bad\\x1B[2Jname.yaml:1:1: error: unknown key 'a\\x0Ab\\x07' [E301]\n"
        "   1 | a: b\n"
        "     | ^\n"
        "   hint: write\\x0A'c'\n");
}

TEST_CASE("what goes over several lines is marked to the end of its first") {
  CHECK(excerpt("a: {b: c,\n  d: e}\n", "{b: c,\n  d: e}") == "   1 | a: {b: c,\n     |    ^~~~~~\n");
}

TEST_CASE("a carriage return before the line feed is not shown") {
  CHECK(excerpt("a: b\r\nc: d\r\n", "d") == "   2 | c: d\n     |    ^\n");
}

TEST_CASE("a byte order mark moves neither column nor caret") {
  CHECK(told("\xEF\xBB\xBFhouse: b\n", "house") ==
        "tenor.yaml:1:1: error: unknown key [E301]\n"
        "   1 | house: b\n"
        "     | ^~~~~\n");
}

TEST_CASE("a place at the end of a line, or of the file, has its caret behind the text") {
  Sources sources;
  const SourceId id = sources.add("x.yaml", "a: b");
  Diagnostics diagnostics;
  diagnostics.report(Code::unknown_key, {id, 4, 4}, "something is missing");
  CHECK(render(diagnostics, sources, false) ==
        "x.yaml:1:5: error: something is missing [E301]\n"
        "   1 | a: b\n"
        "     |     ^\n");
}

TEST_CASE("a long line is cut round its mark, and the mark still stands below the word") {
  const std::string text = "a: " + std::string(300, '.') + "here" + std::string(300, '.') + "\n";
  const std::string lines = excerpt(text, "here");
  CHECK(marked(lines) == "here");
  CHECK(lines.substr(0, 10) == "   1 | ...");
  CHECK(lines.find("...\n") != std::string::npos);
  CHECK(lines.find('\n') <= 7 + 103);
  CHECK(marked(excerpt("here" + std::string(300, '.') + "\n", "here")) == "here");
  CHECK(marked(excerpt(std::string(300, '.') + "here\n", "here")) == "here");
}

TEST_CASE("a mark longer than the excerpt ends with it") {
  const std::string lines = excerpt("a: " + std::string(300, 'x') + "\n", std::string(300, 'x'));
  CHECK(marked(lines).find_first_not_of('x') == std::string::npos);
  CHECK(marked(lines).size() == 97);
}

TEST_CASE("line numbers of more than four digits keep the bar in one column") {
  const std::string lines = excerpt(std::string(12344, '\n') + "a: b\n", "b");
  CHECK(lines == "12345 | a: b\n      |    ^\n");
}

TEST_CASE("secondary places follow with their own excerpt, the hint comes last") {
  const std::string text = "a: 1\nb: 2\na: 3\n";
  Sources sources;
  const SourceId id = sources.add("x.yaml", text);
  Diagnostics diagnostics;
  diagnostics.report(Code::duplicate_key, {id, 10, 11}, "the key 'a' stands twice", "keep one",
                     {{{id, 0, 1}, "first written here"}});
  CHECK(render(diagnostics, sources, false) ==
        "x.yaml:3:1: error: the key 'a' stands twice [E127]\n"
        "   3 | a: 3\n"
        "     | ^\n"
        "   x.yaml:1:1: first written here\n"
        "   1 | a: 1\n"
        "     | ^\n"
        "   hint: keep one\n");
}

TEST_CASE("a warning says so and is no error") {
  Sources sources;
  const SourceId id = sources.add("x.yaml", "a: b\n");
  Diagnostics diagnostics;
  diagnostics.report(Code::comment_cut, {id, 0, 1}, "cut off");
  CHECK_FALSE(diagnostics.has_errors());
  CHECK(render(diagnostics, sources, false).substr(0, 22) == "x.yaml:1:1: warning: c");
}

TEST_CASE("reports come by file and place, and the same one once") {
  Sources sources;
  const SourceId a = sources.add("a.yaml", "x: y\nz: w\n");
  const SourceId b = sources.add("b.yaml", "x: y\n");
  Diagnostics diagnostics;
  diagnostics.report(Code::unknown_key, {b, 0, 1}, "third");
  diagnostics.report(Code::unknown_key, {a, 5, 6}, "second");
  diagnostics.report(Code::unknown_key, {a, 0, 1}, "first");
  diagnostics.report(Code::unknown_key, {a, 5, 6}, "second");
  CHECK(diagnostics.error_count() == 4);
  const auto sorted = diagnostics.sorted();
  REQUIRE(sorted.size() == 3);
  CHECK(sorted[0].message == "first");
  CHECK(sorted[1].message == "second");
  CHECK(sorted[2].message == "third");
}

TEST_CASE("colour wraps the same text and nothing else") {
  Sources sources;
  const SourceId id = sources.add("x.yaml", "a: 1\na: 2\n");
  Diagnostics diagnostics;
  diagnostics.report(Code::duplicate_key, {id, 5, 6}, "twice", "keep one", {{{id, 0, 1}, "first written here"}});
  const std::string coloured = render(diagnostics, sources, true);
  CHECK(coloured.find("\x1b[1mx.yaml:2:1\x1b[0m: \x1b[1;31merror\x1b[0m: twice [E127]\n") == 0);
  std::string stripped;
  for (std::size_t i = 0; i < coloured.size(); ++i) {
    if (coloured[i] == '\x1b') {
      i = coloured.find('m', i);
    } else {
      stripped += coloured[i];
    }
  }
  CHECK(stripped == render(diagnostics, sources, false));
}

TEST_CASE("printable text keeps its lines and letters, and shows what would act on a terminal") {
  CHECK(printable("plain \u00e9 \u266f\nnext") == "plain \u00e9 \u266f\nnext");
  CHECK(printable("a\tb") == "a\\x09b");
  CHECK(printable("a\rb") == "a\\x0Db");
  CHECK(printable(std::string("a\0b", 3)) == "a\\x00b");
  CHECK(printable("\x1b]0;title\x07") == "\\x1B]0;title\\x07");
  CHECK(printable("\x7F\u0085\u009B") == "\\x7F\\x85\\x9B");
  CHECK(printable("a\u200Bb\u2066c\uFEFFd") == "a\\u200Bb\\u2066c\\uFEFFd");
  CHECK(printable("cut \xE2\x99") == "cut \\xE2\\x99");
  CHECK(printable("").empty());
}

TEST_CASE("the JSON of a report holds both ends of its place, and survives bytes that are no UTF-8") {
  const std::string text = "a: b\ncaf\u00e9: d\n";
  Sources sources;
  const SourceId id = sources.add("x.yaml", text);
  Diagnostics diagnostics;
  diagnostics.report(Code::unknown_key, find(id, text, "caf\u00e9"), "unknown key '\xFF'", "", {{{id, 0, 1}, "here"}});
  const auto json = nlohmann::json::parse(render_json(diagnostics, sources));
  REQUIRE(json.size() == 1);
  CHECK(json[0]["file"] == "x.yaml");
  CHECK(json[0]["line"] == 2);
  CHECK(json[0]["column"] == 1);
  CHECK(json[0]["end_line"] == 2);
  CHECK(json[0]["end_column"] == 5);
  CHECK(json[0]["severity"] == "error");
  CHECK(json[0]["code"] == "E301");
  CHECK(json[0]["message"] == "unknown key '\uFFFD'");
  CHECK(json[0]["related"][0]["label"] == "here");
  CHECK(json[0]["related"][0]["line"] == 1);
  CHECK(render_json(Diagnostics{}, sources) == "[]");
}

TEST_CASE("every code has its own id, a severity that its letter says, and one line of summary") {
  std::vector<std::string_view> ids;
  for (const CodeInfo& code : all_codes()) {
    INFO(code.id);
    CHECK(std::find(ids.begin(), ids.end(), code.id) == ids.end());
    ids.push_back(code.id);
    REQUIRE(code.id.size() == 4);
    const char letter = code.severity == Severity::error ? 'E' : code.severity == Severity::warning ? 'W' : 'N';
    CHECK(letter == code.id[0]);
    CHECK_FALSE(code.summary.empty());
    CHECK(code.summary.find('\n') == std::string_view::npos);
    CHECK(code.summary.back() != '.');
    CHECK(&info(code.code) == &code);
  }
}
