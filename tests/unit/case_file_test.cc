// The golden runner's own tests, with the shell in place of the program: a runner that can not fail proves nothing.
#include "tests/support/case_file.h"

#include <catch2/catch.hpp>
#include <string>

#include "tests/support/golden.h"
#include "tests/support/run_program.h"

using stringline::Case;
using stringline::CaseError;
using stringline::parse_case;
using stringline::print;

namespace {

std::vector<std::string> run_in_shell(const std::string& text, bool update = false, std::string* rewritten = nullptr) {
  Case c = parse_case(text);
  auto faults = run_case(c, "/bin/sh", ".", update);
  if (rewritten != nullptr) *rewritten = print(c);
  return faults;
}

}  // namespace

TEST_CASE("a case in the usual order is printed back byte for byte") {
  const std::string text = GENERATE(
      std::string("# A comment.\nargs: check a.yaml\n=== a.yaml\nprofile: a\n\n=== sub/b.yaml escaped\na\\tb\\\n"
                  "=== stdin\nin\n=== stdout\nout\n=== stderr escaped\n\\x1b[0m\n=== exit 3\n=== after a.yaml\nx\n"),
      std::string("# Two runs.\n=== a\n1\n=== run one\n=== stdout as papers/one.txt\n=== a\n2\n=== run\n=== exit 2\n"
                  "=== after b missing\n"));
  CHECK(print(parse_case(text)) == text);
}

TEST_CASE("a case that can not mean what its author wanted is refused") {
  const std::string text =
      GENERATE(std::string("# no run\n"), std::string("args: a\nargs: b\n"), std::string("hello\nargs: a\n"),
               std::string("args: a\n=== run b\n"), std::string("=== stdout\n"), std::string("args: a\n=== exit x\n"),
               std::string("args: a\n=== stdout\n=== stdout\n"), std::string("args: a\n=== exit 1\ntext\n"),
               std::string("=== run a\n=== file\n"), std::string("args: a\n=== stdout\nno newline"));
  CHECK_THROWS_AS(parse_case(text), CaseError);
}

TEST_CASE("every byte survives a section's escapes") {
  std::string text;
  for (int byte = 0; byte < 256; ++byte) text += static_cast<char>(byte);
  for (const std::string& each : {text, std::string("=== stdout\n"), std::string("plain\n"), std::string("no newline"),
                                  std::string("4\xC2\xBD mm\r\n"), std::string("back\\slash"), std::string()}) {
    const stringline::CaseSection section = stringline::section_for("x", each);
    CHECK(content(section) == each);
    const std::string whole = "args: a\n=== x" + std::string(section.escaped ? " escaped" : "") + "\n" + section.body;
    CHECK(content(parse_case(whole).runs.at(0).files.at(0)) == each);
  }
}

TEST_CASE("an escape that does not exist is refused") {
  stringline::CaseSection section;
  section.escaped = true;
  section.body = GENERATE(std::string("\\q\n"), std::string("\\x1"), std::string("\\xgg"), std::string("\\"));
  CHECK_THROWS_AS(content(section), CaseError);
}

TEST_CASE("arguments are split at spaces outside quotes") {
  CHECK(stringline::split_args("a  'b c' \"d'e\" '' f") == std::vector<std::string>{"a", "b c", "d'e", "", "f"});
  CHECK(stringline::split_args("").empty());
  CHECK_THROWS_AS(stringline::split_args("a 'b"), CaseError);
}

TEST_CASE("a run that does what the case says has no faults") {
  CHECK(run_in_shell("args: -c 'cat; cat sub/f; echo e >&2; echo $TZ $NO_COLOR > sub/f; exit 3'\n=== sub/f\nfile\n"
                     "=== stdin\nin\n=== stdout\nin\nfile\n=== stderr\ne\n=== exit 3\n=== after sub/f\nUTC 1\n"
                     "=== after gone missing\n")
            .empty());
}

TEST_CASE("each thing that comes out otherwise is one fault") {
  CHECK(run_in_shell("args: -c 'echo a'\n").size() == 1);
  CHECK(run_in_shell("args: -c 'echo a >&2'\n").size() == 1);
  CHECK(run_in_shell("args: -c 'printf a'\n=== stdout\na\n").size() == 1);
  CHECK(run_in_shell("args: -c 'exit 1'\n").size() == 1);
  CHECK(run_in_shell("args: -c 'exit 0'\n=== exit 1\n").size() == 1);
  CHECK(run_in_shell("args: -c 'true'\n=== stdout\na\n=== after f\nx\n").size() == 2);
  CHECK(run_in_shell("args: -c 'echo y > f; echo z > g'\n=== after f\nx\n=== after g missing\n").size() == 2);
  CHECK(run_in_shell("args: -c 'kill -9 $$'\n").size() == 1);
}

TEST_CASE("the first line that differs is named") {
  const auto faults = run_in_shell("args: -c 'echo a; echo c'\n=== stdout\na\nb\n");
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].find("line 2\n  expected: b\n  came:     c\n") != std::string::npos);
}

TEST_CASE("runs share one folder, and a file between them is written before the later one") {
  CHECK(run_in_shell("=== f\n1\n=== run -c 'cat f; echo 9 > g'\n=== stdout\n1\n=== f\n2\n=== run -c 'cat f g'\n"
                     "=== stdout\n2\n9\n")
            .empty());
}

TEST_CASE("an update writes what came, and the rewritten case then passes") {
  std::string rewritten;
  const std::string stale =
      "# Kept.\nargs: -c 'printf \"a\\tb\"; echo new > f; exit 4'\n=== stdout\nold\n=== stderr\nold\n=== after f\nold\n"
      "=== after g\nold\n";
  CHECK(run_in_shell(stale, true, &rewritten).empty());
  CHECK(rewritten ==
        "# Kept.\nargs: -c 'printf \"a\\tb\"; echo new > f; exit 4'\n=== stdout escaped\na\\tb\\\n"
        "=== exit 4\n=== after f\nnew\n=== after g missing\n");
  CHECK(run_in_shell(rewritten).empty());
}

TEST_CASE("an update does not accept a crash") { CHECK(run_in_shell("args: -c 'kill -11 $$'\n", true).size() == 1); }

TEST_CASE("a case starts from a copy of a folder, and its output may be expected in a file there") {
  const std::string before = stringline::read_file("tests/package/main.cc");
  CHECK(run_in_shell("from: tests/package\nargs: -c 'cat main.cc; rm main.cc'\n=== stdout as main.cc\n"
                     "=== after main.cc missing\n")
            .empty());
  CHECK(run_in_shell("from: tests/package\nargs: -c 'echo other'\n=== stdout as main.cc\n").size() == 1);
  CHECK(stringline::read_file("tests/package/main.cc") == before);
}
