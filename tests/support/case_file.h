// One golden case: files, what to run, and exactly what must come out. A case is a text:
//
//   # Comment lines say what the case shows.
//   args: check tenor.yaml
//   === tenor.yaml
//   profile: tenor
//   === stdout
//   tenor.yaml: no mistakes
//   === exit 0
//
// Head lines, before the first section: `#` comments, `args: ...` (the arguments; quotes as in a shell, nothing is
// expanded) and `from: examples/NAME` (a folder of the project whose copy the case starts from).
// Sections, each with the lines up to the next one as its body:
//   === NAME             a file, written before the run; folders are made
//   === run ARGS         starts a run, instead of `args:`; a case may have several, and a file section between two of
//                        them is written before the later one
//   === stdin            fed to the run; without it the input is empty
//   === stdout, stderr   must match; without the section nothing may be written there
//   === stdout as FILE   the text to match is in that file of the `from:` folder
//   === exit N           the exit status; without it 0
//   === after NAME       the file's content after the run; `=== after NAME missing` says that there must be none
// ` escaped` at the end of a section's title: the body has \\ \t \r \n \xNN, and a backslash at a line's end joins the
// lines (so a text without a final newline can be written).
// Tested by tests/unit/case_file_test.cc.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace stringline {

// A case that can not be read; the text names the line.
struct CaseError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

struct CaseSection {
  std::string name;      // a file's name; empty where the section's kind says it all
  std::string body;      // as written, escapes included
  bool escaped = false;  // the body has escapes
  bool missing = false;  // `after` only: no such file may be there
};

struct CaseRun {
  std::vector<CaseSection> files;  // written before the run
  std::string args;
  std::optional<CaseSection> in;
  std::optional<CaseSection> out;  // a name is the FILE of `as FILE`
  std::optional<CaseSection> err;
  int status = 0;
  std::vector<CaseSection> after;
};

struct Case {
  std::string head;  // every line before the first section, as written
  std::string from;  // empty: start from nothing
  bool titled_runs = false;
  std::vector<CaseRun> runs;
};

// Throws CaseError. print(parse_case(x)) is x when x has its sections in the order above.
[[nodiscard]] Case parse_case(std::string_view text);
[[nodiscard]] std::string print(const Case& c);

// The text that a section stands for. Throws CaseError for an escape that does not exist.
[[nodiscard]] std::string content(const CaseSection& section);
// A section that stands for `text`: as it is where that can be read, else escaped.
[[nodiscard]] CaseSection section_for(std::string name, std::string_view text);

// "check 'a b.yaml' --json" -> three words. Throws CaseError for a quote that is not closed.
[[nodiscard]] std::vector<std::string> split_args(std::string_view line);

}  // namespace stringline
