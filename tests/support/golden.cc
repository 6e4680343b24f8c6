#include "tests/support/golden.h"

#include <algorithm>
#include <optional>
#include <string_view>
#include <utility>

#include "tests/support/run_program.h"

namespace stringline {
namespace {

namespace fs = std::filesystem;

std::string_view line_at(std::string_view text, std::size_t begin) {
  if (begin >= text.size()) return "(nothing)";
  return text.substr(begin, text.find('\n', begin) - begin);
}

// Names the first line that differs and then shows all of what came, since the difference is often the whole text.
std::string difference(std::string_view what, std::string_view expected, std::string_view actual) {
  const auto at = std::mismatch(expected.begin(), expected.end(), actual.begin(), actual.end());
  const auto same = static_cast<std::size_t>(at.first - expected.begin());
  const auto line = std::count(expected.begin(), at.first, '\n') + 1;
  const std::size_t newline = expected.substr(0, same).rfind('\n');
  const std::size_t begin = newline == std::string_view::npos ? 0 : newline + 1;
  std::string out(what);
  out += " differs in line " + std::to_string(line);
  out.append("\n  expected: ").append(line_at(expected, begin));
  out.append("\n  came:     ").append(line_at(actual, begin));
  out.append("\n  all that came:\n").append(actual);
  if (!actual.empty() && actual.back() != '\n') out += "(no newline at the end)\n";
  return out;
}

std::string in_words(int status) {
  return status < 0 ? "signal " + std::to_string(-status) : "exit " + std::to_string(status);
}

// One run of a case against one outcome.
class Referee {
 public:
  Referee(std::vector<std::string>& faults, fs::path origin, bool update)
      : faults_(faults), origin_(std::move(origin)), update_(update) {}

  void judge(CaseRun& run, const Outcome& outcome, const fs::path& work) {
    text("stdout", run.out, outcome.out);
    text("stderr", run.err, outcome.err);
    status(run, outcome.status);
    for (CaseSection& section : run.after) file(section, work);
  }

 private:
  void text(std::string_view what, std::optional<CaseSection>& section, const std::string& actual) {
    const bool outside = section && !section->name.empty();
    const fs::path path = outside ? origin_ / section->name : fs::path();
    const std::string expected = !section ? "" : !outside ? content(*section) : fs::exists(path) ? read_file(path) : "";
    if (actual == expected) return;
    if (!update_) {
      faults_.push_back(difference(what, expected, actual));
    } else if (outside) {
      write_file(path, actual);
    } else if (actual.empty()) {
      section.reset();
    } else {
      section = section_for("", actual);
    }
  }

  void status(CaseRun& run, int actual) {
    if (actual == run.status) return;
    if (update_ && actual >= 0) {
      run.status = actual;
    } else {
      faults_.push_back("expected " + in_words(run.status) + ", came " + in_words(actual));
    }
  }

  void file(CaseSection& section, const fs::path& work) {
    const bool there = fs::is_regular_file(work / section.name);
    const std::string actual = there ? read_file(work / section.name) : "";
    if (section.missing != there && (section.missing || actual == content(section))) return;
    if (update_) {
      section = section_for(section.name, actual);
      section.missing = !there;
    } else if (section.missing || !there) {
      faults_.push_back(section.name + (there ? " is there, and must not be" : " is not there"));
    } else {
      faults_.push_back(difference(section.name, content(section), actual));
    }
  }

  std::vector<std::string>& faults_;
  fs::path origin_;
  bool update_;
};

}  // namespace

std::vector<std::string> run_case(Case& c, const fs::path& program, const fs::path& root, bool update) {
  std::vector<std::string> faults;
  const ScratchFolder scratch;
  const fs::path work = scratch.path() / "work";
  fs::create_directories(work);
  if (!c.from.empty()) fs::copy(root / c.from, work, fs::copy_options::recursive);
  Referee referee(faults, root / c.from, update);
  for (CaseRun& run : c.runs) {
    for (const CaseSection& file : run.files) write_file(work / file.name, content(file));
    const std::string in = run.in ? content(*run.in) : "";
    const std::size_t before = faults.size();
    referee.judge(run, run_program(program, split_args(run.args), scratch.path(), in), work);
    if (c.titled_runs && faults.size() > before) faults[before] = "run " + run.args + ": " + faults[before];
  }
  return faults;
}

}  // namespace stringline
