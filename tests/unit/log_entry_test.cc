// One more entry at the end of a log, and every other byte of the file as it was.
#include "engine/book/log_entry.h"

#include <catch2/catch.hpp>
#include <optional>
#include <string>
#include <vector>

#include "engine/diag/render.h"
#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"

namespace stringline {
namespace {

const Date march_first = *parse_date("2026-03-01");
const Date march_second = *parse_date("2026-03-02");

std::optional<VisitTree> tree_of(const std::string& text) {
  Sources sources;
  Diagnostics out;
  const auto node = read_yaml(sources.add("v.yaml", text), sources, out);
  auto tree = node ? read_visit(*node, out) : std::nullopt;
  INFO(render(out, sources, false));
  return out.has_errors() ? std::nullopt : std::move(tree);
}

std::string noted(const std::string& text, const std::vector<std::string>& words, Date date = march_second) {
  const auto before = tree_of(without_empty_log(text));
  REQUIRE(before);
  const NewEntry entry = with_entry(text, *before, words, date);
  const auto after = tree_of(entry.text);
  INFO(entry.text);
  REQUIRE(after);
  CHECK(after->log.size() == before->log.size() + 1);
  CHECK(entry.text.substr(entry.begin, entry.end - entry.begin).find('-') != std::string::npos);
  return entry.text;
}

const std::string head = "visit: n1\nprofile: stick\n";
const std::string log = "log:\n  - date: 2026-03-01\n    read: {relief: 14 thou}\n";

TEST_CASE("what is said becomes one entry") {
  struct Row {
    std::vector<std::string> words;
    std::string lines;
  };
  const Row row = GENERATE(values<Row>({
      {{"relief", "8", "thou"}, "read: {relief: 8 thou}\n"},
      {{"relief 8 thou"}, "read: {relief: 8 thou}\n"},
      {{"relief:", "8", "thou"}, "read: {relief: 8 thou}\n"},
      {{"action.bass 1.7 mm,", "action.treble 1.5 mm"}, "read: {action.bass: 1.7 mm, action.treble: 1.5 mm}\n"},
      {{"octave_error.1", "-3", "cents"}, "read: {octave_error.1: -3 cents}\n"},
      {{"relief [8 thou, 9 thou]"}, "read: {relief: [8 thou, 9 thou]}\n"},
      {{"action.bass {is: 1.6 mm, as: {at: 17, held: [1]}}"},
       "read: {action.bass: {is: 1.6 mm, as: {at: 17, held: [1]}}}\n"},
      {{"humidity", "51", "%RH"}, "read: {humidity: 51 %RH}\n"},
      {{"relief", "contact"}, "read: {relief: contact}\n"},
      {{"did", "tighten_rod", "1/4", "turns"}, "did: {job: tighten_rod, amount: 1/4 turns}\n"},
      {{"did", "restring"}, "did: restring\n"},
      {{"did", "restring,", "tighten_rod 1/8 turns"}, "did: [restring, {job: tighten_rod, amount: 1/8 turns}]\n"},
      {{"fitted", "set_10_46"}, "fitted: set_10_46\n"},
      {{"retuned"}, "retuned: true\n"},
      {{"agreed", "fret_lcp", "up_to", "210.00"}, "agreed: {job: fret_lcp, up_to: 210.00}\n"},
      {{"agreed", "fret_lcp,", "end_dress", "up_to", "210.00"},
       "agreed: {jobs: [fret_lcp, end_dress], up_to: 210.00}\n"},
      {{"declined", "fret_lcp"}, "declined: fret_lcp\n"},
      {{"asked", "fret_lcp, end_dress"}, "asked: [fret_lcp, end_dress]\n"},
      {{"waiting", "parts", "until", "2026-09-01"}, "waiting: {for: \"parts\", until: 2026-09-01}\n"},
      {{"waiting", "the", "owner"}, "waiting: {for: \"the owner\"}\n"},
      {{"strike", "1", "wrong string"}, "strike: {entry: 1, reason: \"wrong string\"}\n"},
      {{"closed"}, "closed: true\n"},
      {{"closed", "picked", "up"}, "closed: \"picked up\"\n"},
      {{"text", "the top: dry, \"loud\" # and \\ so"}, "note: \"the top: dry, \\\"loud\\\" # and \\\\ so\"\n"},
  }));
  CHECK(noted(head + log, row.words) == head + log + "  - date: 2026-03-02\n    " + row.lines);
}

TEST_CASE("the date is left out where it is the last entry's") {
  CHECK(noted(head + log, {"retuned"}, march_first) == head + log + "  - retuned: true\n");
}

TEST_CASE("the entry keeps the file's own indentation") {
  const std::string flush = "log:\n- date: 2026-03-01\n  retuned: true\n";
  CHECK(noted(head + flush, {"retuned"}, march_first) == head + flush + "- retuned: true\n");
  const std::string deep = "log:\n      -   date: 2026-03-01\n          retuned: true\n";
  CHECK(noted(head + deep, {"retuned"}, march_first) == head + deep + "      - retuned: true\n");
  const std::string indented = "  visit: n1\n  profile: stick\n";
  CHECK(noted(indented, {"retuned"}) == indented + "  log:\n    - date: 2026-03-02\n      retuned: true\n");
}

TEST_CASE("readings stand in lines of their own where the file has them so, or they are many") {
  const std::string lines = "log:\n  - date: 2026-03-01\n    read:\n      relief: 14 thou\n";
  CHECK(noted(head + lines, {"relief 8 thou"}, march_first) == head + lines + "  - read:\n      relief: 8 thou\n");
  const std::string many = noted(
      head + log, {"nut_gap.1 0.30 mm, nut_gap.2 0.31 mm, nut_gap.3 0.32 mm, nut_gap.4 0.33 mm, nut_gap.5 0.34 mm"},
      march_first);
  CHECK(many.find("  - read:\n      nut_gap.1: 0.30 mm\n      nut_gap.2: 0.31 mm\n") != std::string::npos);
}

TEST_CASE("line ends stay as they are, also a missing one at the end") {
  const std::string crlf = "visit: n1\r\nprofile: stick\r\nlog:\r\n  - date: 2026-03-01\r\n    retuned: true\r\n";
  CHECK(noted(crlf, {"retuned"}, march_first) == crlf + "  - retuned: true\r\n");
  const std::string unended = head + "log:\n  - date: 2026-03-01\n    retuned: true";
  CHECK(noted(unended, {"retuned"}, march_first) == unended + "\n  - retuned: true");
  CHECK(noted("visit: n1\r\nprofile: stick", {"retuned"}) ==
        "visit: n1\r\nprofile: stick\r\nlog:\r\n  - date: 2026-03-02\r\n    retuned: true");
}

TEST_CASE("what stands behind the log stays behind it") {
  const std::string after = "wants: {relief: leave}\n# the end\n";
  CHECK(noted(head + log + after, {"retuned"}, march_first) == head + log + "  - retuned: true\n" + after);
  const std::string blank = "\n\n# the end\n";
  CHECK(noted(head + log + blank, {"retuned"}, march_first) == head + log + "  - retuned: true\n" + blank);
}

TEST_CASE("a comment that stands deeper than the dashes belongs to the entry above it") {
  const std::string own = "    # read twice\n";
  const std::string next = "  # a remark on the log\n";
  CHECK(noted(head + log + own + next, {"retuned"}, march_first) == head + log + own + "  - retuned: true\n" + next);
}

TEST_CASE("a block of text at the end of the log stays whole") {
  const std::string block = "log:\n  - date: 2026-03-01\n    note: |\n      log:\n\n      - not an entry\n\n";
  const std::string text = noted(head + block, {"retuned"}, march_first);
  CHECK(tree_of(text)->log[0].note->text == tree_of(head + block)->log[0].note->text);
}

TEST_CASE("a log that is missing or empty begins with the entry") {
  const std::string entry = "  - date: 2026-03-02\n    retuned: true\n";
  CHECK(noted(head, {"retuned"}) == head + "log:\n" + entry);
  CHECK(noted(head + "log:\n", {"retuned"}) == head + "log:\n" + entry);
  CHECK(noted(head + "log:   # to come\nwants: {relief: leave}\n", {"retuned"}) ==
        head + "log:   # to come\n" + entry + "wants: {relief: leave}\n");
  CHECK(noted(head + "log: []\n", {"retuned"}) == head + "log:\n" + entry);
  CHECK(noted(head + "log: [ ]  # none\n", {"retuned"}) == head + "log:  # none\n" + entry);
  CHECK(noted(head + "log:", {"retuned"}) == head + "log:\n  - date: 2026-03-02\n    retuned: true");
}

TEST_CASE("a log in brackets is refused with what to do") {
  const std::string text = head + "log: [{date: 2026-03-01, retuned: true}]\n";
  const auto tree = tree_of(text);
  REQUIRE(tree);
  CHECK_THROWS_WITH(with_entry(text, *tree, {"retuned"}, march_second), Catch::Contains("each after a dash"));
  const std::string flow = "{visit: n1, profile: stick}\n";
  const auto whole = tree_of(flow);
  REQUIRE(whole);
  CHECK_THROWS_AS(with_entry(flow, *whole, {"retuned"}, march_second), EntryError);
}

TEST_CASE("words that make no entry say what to write") {
  struct Row {
    std::vector<std::string> words;
    std::string told;
  };
  const Row row = GENERATE(values<Row>({
      {{}, "nothing to note"},
      {{"  "}, "nothing to note"},
      {{","}, "nothing to note"},
      {{"relief"}, "'relief' needs a value"},
      {{"relief 8 thou, action.bass"}, "'action.bass' needs a value"},
      {{"did"}, "'did' needs a job"},
      {{"fitted"}, "'fitted' needs one set"},
      {{"fitted", "a", "b"}, "'fitted' needs one set"},
      {{"retuned", "E4"}, "'retuned' stands alone"},
      {{"agreed"}, "'agreed' needs a job"},
      {{"agreed", "up_to", "3.00"}, "'agreed' needs a job"},
      {{"agreed", "fret_lcp", "up_to"}, "'up_to' needs a total"},
      {{"waiting"}, "'waiting' needs what for"},
      {{"waiting", "parts", "until"}, "'until' needs a day"},
      {{"strike", "3"}, "'strike' needs the entry's number and a reason"},
      {{"text"}, "'text' needs words"},
  }));
  const auto tree = tree_of(head + log);
  REQUIRE(tree);
  CHECK_THROWS_WITH(with_entry(head + log, *tree, row.words, march_second), Catch::Contains(row.told));
}

const KnownWords& bench() {
  static const KnownWords words{{{"cut_saddle", "take wood off the bridge's feet"},
                                 {"stand_bridge", "stand the bridge upright, both feet flat"},
                                 {"retune", "retune"},
                                 {"lower_e", "lower it"},
                                 {"lower_g", "lower it"},
                                 {"tighten_rod", ""}},
                                {"relief", "nut_gap", "retune"}};
  return words;
}

TEST_CASE("a job said by its label is written by its name") {
  struct Row {
    std::vector<std::string> words;
    std::string line;
  };
  const Row row = GENERATE(values<Row>({
      {{"did", "take wood off the bridge's feet"}, "did: cut_saddle"},
      {{"did", "Take", "wood", "off", "the", "bridge's", "feet", "0.4", "mm"},
       "did: {job: cut_saddle, amount: 0.4 mm}"},
      {{"did stand the bridge upright, both feet flat, tighten_rod 1/8 turns"},
       "did: [stand_bridge, {job: tighten_rod, amount: 1/8 turns}]"},
      {{"agreed take wood off the bridge's feet up_to 40.00"}, "agreed: {job: cut_saddle, up_to: 40.00}"},
      {{"declined", "tighten_rod,", "take wood off the bridge's feet"}, "declined: [tighten_rod, cut_saddle]"},
      {{"did lower it"}, "did: \"lower it\""},  // two are called so: check says which
      {{"did take wood off"}, "did: \"take wood off\""},
      {{"did sand the feet 0.4 mm"}, "did: {job: \"sand the feet\", amount: 0.4 mm}"},
      {{"did tighten_rod a bit"}, "did: {job: tighten_rod, amount: a bit}"},
  }));
  const auto tree = tree_of(head + log);
  REQUIRE(tree);
  const std::string text = with_entry(head + log, *tree, row.words, march_second, bench()).text;
  CHECK(text == head + log + "  - date: 2026-03-02\n    " + row.line + "\n");
}

TEST_CASE("a slip in what was read is told with the words that were meant") {
  struct Row {
    std::vector<std::string> words;
    std::string told;
  };
  const Row row = GENERATE(values<Row>({
      {{"relief 0.15 mm nut_gap 0.41 mm"}, "a comma stands between two readings: relief 0.15 mm, nut_gap 0.41 mm"},
      {{"relief 0.15 mm nut_gap.2 0.41 mm"}, "relief 0.15 mm, nut_gap.2 0.41 mm"},
      {{"relief=0.15mm"}, "a reading and its value stand side by side, without '=': relief 0.15 mm"},
      {{"relief", "=", "9", "thou"}, "without '=': relief 9 thou"},
      {{"tighten_rod done"}, "'tighten_rod' is a job, not a reading: did tighten_rod"},
      {{"relief 8 thou, cut_saddle 0.4 mm"}, "not a reading: did cut_saddle 0.4 mm"},
      {{"tighten_rod"}, "not a reading: did tighten_rod"},
  }));
  const auto tree = tree_of(head + log);
  REQUIRE(tree);
  CHECK_THROWS_WITH(with_entry(head + log, *tree, row.words, march_second, bench()), Catch::Contains(row.told));
}

TEST_CASE("a name that a reading and a job share is the reading's") {
  const auto tree = tree_of(head + log);
  REQUIRE(tree);
  const std::string text = with_entry(head + log, *tree, {"retune", "3", "cents"}, march_second, bench()).text;
  CHECK(text == head + log + "  - date: 2026-03-02\n    read: {retune: 3 cents}\n");
}

// Whatever is said, the file holds one entry more or can not be read any more (and is then not written).
TEST_CASE("no word breaks out of its entry") {
  const auto words = GENERATE(values<std::vector<std::string>>({
      {"relief", "8 thou}\n  - closed: true"},
      {"relief: 8 thou}, closed", "true"},
      {"text", "x\"\n  - closed: true"},
      {"did", "a]\n- closed"},
      {"did", "{job: a}", "- closed: true"},
      {"closed", "\\"},
      {"fitted", "\"x"},
      {"agreed", "a: b, c: {d"},
      {"action.bass", "{is: 1 mm}}, {closed: true"},
      {"strike", "1}", "#"},
      {"text", "\x1b[31m"},
  }));
  const std::string text = head + log;
  const auto before = tree_of(text);
  REQUIRE(before);
  std::optional<VisitTree> after;
  try {
    after = tree_of(with_entry(text, *before, words, march_second).text);
  } catch (const EntryError&) {
    return;
  }
  if (!after) return;
  CHECK(after->log.size() == 2);
  CHECK((!after->log[1].closed || words.front() == "closed"));
}

}  // namespace
}  // namespace stringline
