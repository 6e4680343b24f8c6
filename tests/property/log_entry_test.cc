// Whatever is noted into whatever visit: the file holds one entry more, and every old byte; or it is refused.
#include "engine/book/log_entry.h"

#include <catch2/catch.hpp>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"

namespace stringline {
namespace {

class Chance {
 public:
  explicit Chance(unsigned seed) : engine_(seed) {}

  std::size_t below(std::size_t count) { return std::uniform_int_distribution<std::size_t>(0, count - 1)(engine_); }
  bool one_in(std::size_t count) { return below(count) == 0; }
  const std::string& of(const std::vector<std::string>& list) { return list[below(list.size())]; }

 private:
  std::mt19937 engine_;
};

std::optional<VisitTree> tree_of(const std::string& text) {
  Sources sources;
  Diagnostics out;
  const auto node = read_yaml(sources.add("v.yaml", text), sources, out);
  auto tree = node ? read_visit(*node, out) : std::nullopt;
  return out.has_errors() ? std::nullopt : std::move(tree);
}

// A visit in one of the many ways to write one; lines end with '\n'.
std::string some_visit(Chance& chance) {
  static const std::vector<std::string> entries{"retuned: true",
                                                "read: {relief: 8 thou}",
                                                "read:\n@  relief: 8 thou\n@  action: {bass: 2 mm}",
                                                "note: |\n@  two lines\n@  log: of text\n@    - deeper",
                                                "did: [restring, {job: tighten_rod, amount: 1/4 turns}]",
                                                "note: \"a # in it\"   # and one behind",
                                                "retuned: false\n@# a comment inside\n@note: 'it''s so'"};
  static const std::vector<std::string> behind{
      "", "\n", "# the end\n", "\n\n# the end\n", "due: 2026-04-01\n", "wants:\n  relief: leave\n"};
  const std::string indent = chance.of({"", "  ", "    "});
  std::string text = chance.of({"", "---\n", "# a head\n\n"}) + "visit: n1\nprofile: stick\n";
  const std::size_t count = chance.below(4);
  if (count == 0)
    return text + chance.of({"", "log:\n", "log:   # none\n", "log: []\n", "log: [ ]  # none\n"}) + chance.of(behind);
  text += "log:\n";
  for (std::size_t i = 0; i < count; ++i) {
    std::string entry = (i == 0 ? "date: 2026-03-01\n@" : "") + chance.of(entries);
    for (std::size_t at = entry.find('@'); at != std::string::npos; at = entry.find('@'))
      entry.replace(at, 1, indent + "  ");
    text += indent + "- " + entry + "\n";
    if (chance.one_in(4)) text += indent + "  # about it\n";
    if (chance.one_in(6)) text += "\n";
  }
  return text + chance.of(behind);
}

std::string with_line_ends(std::string text, bool carriage, bool unended) {
  if (unended && !text.empty()) text.pop_back();
  if (!carriage) return text;
  std::string out;
  for (const char c : text) out += c == '\n' ? std::string("\r\n") : std::string(1, c);
  return out;
}

std::vector<std::string> some_words(Chance& chance) {
  static const std::vector<std::string> verbs{"did",     "fitted",      "agreed",   "declined", "asked",
                                              "retuned", "closed",      "text",     "waiting",  "strike",
                                              "relief",  "action.bass", "nut_gap.1"};
  static const std::vector<std::string> words{
      "8",    "thou", "1/4", "turns", "-3",   "cents", ",",   "restring,", "x,y",    "{",      "}",
      "[",    "]",    ":",   "a:",    "#",    "# x",   "\"",  "'",         "\\",     "- x",    "\n",
      "?",    "*a",   "&b",  "|",     ">",    "%",     "@",   "`",         "up_to",  "3",      "until",
      "true", "null", "~",   "é",     "\x1b", "\xff",  "---", "...",       "{a: 1}", "[1, 2]", "<<:"};
  std::vector<std::string> out{chance.of(verbs)};
  for (std::size_t i = chance.below(5); i > 0; --i) out.push_back(chance.of(words));
  return out;
}

std::string chomped(std::string text) {
  if (!text.empty() && text.back() == '\n') text.pop_back();
  return text;
}

TEST_CASE("a note leaves every old byte and adds one entry, or is refused") {
  constexpr unsigned seed = 20260301;
  INFO("seed " << seed);
  Chance chance(seed);
  int written = 0;
  for (int round = 0; round < 4000; ++round) {
    const std::string text = with_line_ends(some_visit(chance), chance.one_in(3), chance.one_in(3));
    const auto before = tree_of(without_empty_log(text));
    INFO(text);
    REQUIRE(before);
    const auto words = some_words(chance);
    NewEntry entry;
    try {
      entry = with_entry(text, *before, words, *parse_date("2026-03-02"));
    } catch (const EntryError&) {
      continue;
    }
    INFO(entry.text);
    REQUIRE(entry.end <= entry.text.size());
    const std::string rest = entry.text.substr(0, entry.begin) + entry.text.substr(entry.end);
    const bool brackets = text.find("log: [") != std::string::npos;
    if (!brackets) CHECK(rest == text);
    const auto after = tree_of(entry.text);
    if (!after) continue;  // the words themselves were no YAML; the command writes nothing then
    ++written;
    REQUIRE(after->log.size() == before->log.size() + 1);
    for (std::size_t i = 0; i < before->log.size(); ++i) {
      CHECK(after->log[i].read.size() == before->log[i].read.size());
      CHECK(after->log[i].did.size() == before->log[i].did.size());
      CHECK(after->log[i].closed == before->log[i].closed);
      REQUIRE(after->log[i].note.has_value() == before->log[i].note.has_value());
      // A block that ended with the file, without a line end, has one now.
      if (before->log[i].note) CHECK(chomped(after->log[i].note->text) == chomped(before->log[i].note->text));
    }
    CHECK(after->due == before->due);
    CHECK(after->wants.size() == before->wants.size());
  }
  CHECK(written > 500);
}

}  // namespace
}  // namespace stringline
