// Limits and bytes that no readable case file can hold: each bound at its last good and its first bad value.
// What people write wrong by hand is in tests/golden/yaml.
#include "engine/syntax/yaml_gate.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/diag/render.h"
#include "engine/syntax/read_yaml.h"
#include "engine/text/limits.h"

using namespace stringline;

namespace {

struct Gate {
  Sources sources;
  Diagnostics diagnostics;
  bool passed = false;

  explicit Gate(const std::string& text) {
    passed = read_yaml(sources.add("x.yaml", text), sources, diagnostics).has_value();
  }

  // "E101 1:1", each once and in reading order.
  [[nodiscard]] std::string codes() const {
    std::string result;
    for (const Diagnostic& d : diagnostics.sorted()) {
      const Position at = sources.position(d.span.source, d.span.begin);
      result += (result.empty() ? "" : ", ") + std::string(info(d.code).id) + " " + std::to_string(at.line) + ":" +
                std::to_string(at.column);
    }
    return result;
  }
  [[nodiscard]] std::string told() const { return render(diagnostics, sources, false); }
};

std::string codes(const std::string& text) { return Gate(text).codes(); }

// `count` keys of a map, "k0: v".
std::string keys(std::size_t count) {
  std::string text;
  for (std::size_t i = 0; i < count; ++i) text += "k" + std::to_string(i) + ": v\n";
  return text;
}

std::string repeated(const std::string& text, std::size_t count) {
  std::string all;
  for (std::size_t i = 0; i < count; ++i) all += text;
  return all;
}

}  // namespace

TEST_CASE("a file of as many bytes as may be is read, one more is told once and nothing else of it") {
  const std::string head = "profile: tenor\n";
  const std::string comment = "#" + std::string(97, '.') + "\n";  // 99 bytes
  std::string text = head + repeated(comment, (limits::usual.file_bytes - head.size()) / comment.size());
  text += "#" + std::string(limits::usual.file_bytes - text.size() - 1, '.');
  REQUIRE(text.size() == limits::usual.file_bytes);
  CHECK(codes(text).empty());
  CHECK(codes(text + "\n") == "E101 1:1");
  const Gate gate(text + "\xFF\tx\n");
  CHECK(gate.codes() == "E101 1:1");
  CHECK(gate.told().find("1048576 bytes") != std::string::npos);
}

TEST_CASE("a line of as many bytes as may be is read, a longer one is told at its start") {
  const std::string key = "label: ";
  const std::string longest = key + std::string(limits::usual.line_bytes - key.size(), 'x');
  CHECK(codes("profile: tenor\n" + longest + "\n").empty());
  CHECK(codes("profile: tenor\n" + longest + "x\n") == "E108 2:1");
  CHECK(codes("profile: tenor\n" + longest + "x").find("E108 2:1") == 0);  // without a last line end
}

TEST_CASE("blank lines may stand in a row up to their bound, whatever they hold") {
  const std::string blank = repeated("\n", limits::usual.blank_lines);
  CHECK(codes("profile: tenor\n" + blank + "label: a\n").empty());
  CHECK(codes("profile: tenor\n" + blank + "  \r\nlabel: a\n") == "E109 1002:1");
  CHECK(codes("profile: tenor\n" + blank + "# a comment\n" + blank + "label: a\n").empty());
}

TEST_CASE("maps and lists nest to their bound, in every style") {
  const std::size_t most = limits::usual.nesting;
  const auto brackets = [](std::size_t lists) {
    return "a: " + std::string(lists, '[') + "x" + std::string(lists, ']') + "\n";
  };
  CHECK(codes(brackets(most - 2)).empty());  // with the map outside and the text inside
  CHECK(codes(brackets(most - 1)).find("E124") == 0);
  CHECK(codes(brackets(2000)).find("E124") == 0);
  const auto dashes = [](std::size_t lists) { return "a:\n  " + repeated("- ", lists) + "x\n"; };
  CHECK(codes(dashes(most - 2)).empty());
  CHECK(codes(dashes(most - 1)).find("E124") == 0);
  CHECK(codes(dashes(1900)).find("E124") == 0);
  std::string maps;
  for (std::size_t i = 0; i < 200; ++i) maps += std::string(i, ' ') + "a:\n";
  CHECK(codes(maps + std::string(200, ' ') + "b: x\n").find("E124") == 0);
}

TEST_CASE("brackets hold bytes up to their bound, over as many lines as they like") {
  const std::string line = "x,\n ";  // 4 bytes an entry
  const std::size_t fit = (limits::usual.flow_bytes - 2) / line.size();
  CHECK(codes("a: [" + repeated(line, fit) + "]\n").empty());
  CHECK(codes("a: [" + repeated(line, fit + 1) + "]\n") == "E125 1:4");
}

TEST_CASE("a file holds keys and values up to their bound") {
  const std::size_t pairs = (limits::usual.nodes - 1) / 2;  // the map itself is one
  CHECK(codes(keys(pairs)).empty());
  CHECK(codes(keys(pairs + 1)).find("E126") == 0);
  CHECK(codes("a: [" + repeated("x,", 8000) + "]\n").find("E108") == 0);  // on one line it is the line that is too long
}

TEST_CASE("a key holds bytes up to what every YAML reader takes") {
  CHECK(codes(std::string(1000, 'k') + ": v\n").empty());
  CHECK(codes(std::string(1001, 'k') + ": v\n") == "E153 1:1");
  CHECK(codes("{" + std::string(1001, 'k') + ": v}\n") == "E153 1:2");
}

TEST_CASE("reading stops after a hundred mistakes and says so") {
  std::string text;
  for (int i = 0; i < 300; ++i) text += "k" + std::to_string(i) + ": @\n";
  const Gate gate(text);
  CHECK(gate.diagnostics.list().size() == 101);
  CHECK(gate.diagnostics.sorted().back().code == Code::too_many_mistakes);
  const std::string all = gate.codes();
  CHECK(all.substr(all.size() - 10) == "E160 101:7");
}

TEST_CASE("another encoding is told once, with or without its mark, and not as a hundred control characters") {
  const auto wide = [](const std::string& mark, std::size_t before, std::size_t after) {
    std::string text = mark;
    for (const char c : std::string("profile: tenor\n")) {
      text += std::string(before, '\0') + c + std::string(after, '\0');
    }
    return text;
  };
  const auto told_as = [&](const std::string& text, const std::string& name) {
    const Gate gate(text);
    CHECK(gate.codes() == "E104 1:1");
    CHECK(gate.told().find(name) != std::string::npos);
  };
  told_as(wide("\xFF\xFE", 0, 1), "UTF-16");
  told_as(wide("\xFE\xFF", 1, 0), "UTF-16");
  told_as(wide("", 0, 1), "UTF-16");
  told_as(wide("", 1, 0), "UTF-16");
  told_as(wide(std::string("\xFF\xFE\0\0", 4), 0, 3), "UTF-32");
  told_as(wide(std::string("\0\0\xFE\xFF", 4), 3, 0), "UTF-32");
  told_as(wide("", 0, 3), "UTF-32");
  told_as(wide("", 3, 0), "UTF-32");
}

TEST_CASE("bytes that are no UTF-8 are told at their place: overlong, surrogate, too high, cut off") {
  for (const std::string bad :
       {"\xC0\xAF", "\xE0\x80\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xF8\x88\x80\x80\x80", "\x80", "\xFF"}) {
    INFO(printable(bad));
    CHECK(codes("label: ab" + bad + "c\n") == "E105 1:10");
  }
  CHECK(codes("label: ab\xE2\x99") == "E105 1:10");
  CHECK(codes("label: \xFF b \xFF\nfoo: \xFF\n").find("E105 1:8, E105 1:") == 0);  // each run by itself
}

TEST_CASE("the last code point of each length is read, the ones that are none are refused") {
  for (const std::string good :
       {"\x7E", "\xC2\xA1", "\xDF\xBF", "\xE0\xA0\x80", "\xEF\xBF\xBD", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBD"}) {
    INFO(good);
    CHECK(codes("label: 'a" + good + "'\n").empty());
  }
  CHECK(codes("label: a\xEF\xBF\xBE\n") == "E106 1:9");      // U+FFFE
  CHECK(codes("label: a\xF0\x9F\xBF\xBF\n") == "E106 1:9");  // U+1FFFF
}

TEST_CASE("every control character is refused by its number, wherever it stands") {
  for (unsigned point = 0; point < 0xA0; ++point) {
    const bool control = (point < 0x20 && point != '\t' && point != '\n' && point != '\r') || point >= 0x7F;
    if (!control) continue;
    const std::string c =
        point < 0x80 ? std::string(1, static_cast<char>(point)) : "\xC2" + std::string(1, static_cast<char>(point));
    INFO(point);
    CHECK(codes("label: 'abcd" + c + "'\n") == "E106 1:13");
    CHECK(codes("label: abcd  # " + c + "\n") == "E106 1:16");
  }
  CHECK(codes("label: a\u2028b\n") == "E106 1:9");
  CHECK(codes("label: a\u2029b\n") == "E106 1:9");
}

TEST_CASE("a carriage return needs its line feed, also at the end of the file and in quotes") {
  CHECK(codes("label: a\r\nfoo: b\r\n").empty());
  CHECK(codes("label: a\rfoo: b\n") == "E107 1:9");
  CHECK(codes("label: a\r") == "E107 1:9");
  CHECK(codes("label: 'a\rb'\n") == "E107 1:10");
  CHECK(codes("label: a\r\r\n") == "E107 1:9");
}

TEST_CASE("mistakes of the bytes stop after twenty, so a picture given for a profile does not fill the screen") {
  CHECK(Gate(repeated("\x01\xFF", 500)).diagnostics.list().size() == 20);
}

TEST_CASE("a byte order mark may stand once, at the start") {
  const std::string mark = "\xEF\xBB\xBF";
  CHECK(codes(mark + "label: a\n").empty());
  CHECK(codes(mark + mark + "label: a\n") == "E103 1:1");
  CHECK(codes("label: a" + mark + "\n") == "E103 1:9");
  CHECK(codes(mark) == "E102 1:1");
  CHECK(codes("") == "E102 1:1");
  CHECK(codes(" \n\r\n# nothing\n") == "E102 1:1");
}

TEST_CASE("the gate answers as it reports") {
  for (const std::string text : {"a: b\n", "a: [b\n", "", "\xFF", "a: b\na: c\n", "[x]\n", "just text\n"}) {
    Sources sources;
    Diagnostics diagnostics;
    std::vector<YamlEvent> events;
    const bool passed = yaml_gate(sources.add("x.yaml", text), sources, diagnostics, events);
    INFO(printable(text));
    CHECK(passed != diagnostics.has_errors());
    if (passed) CHECK_FALSE(events.empty());
  }
}
