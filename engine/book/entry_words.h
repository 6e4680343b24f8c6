// The words of a note -> the lines of a log entry: "did tighten_rod 1/4 turns" gives `did: {job: tighten_rod, amount: 1/4 turns}`.
// The forms are listed in log_entry.h, whose tests cover this too.
#pragma once

#include <set>
#include <string>
#include <utility>
#include <vector>

namespace stringline {

// What the visit's profile knows, so that a job may be called by its label, and a slip be told from a name.
struct KnownWords {
  std::vector<std::pair<std::string, std::string>> jobs;  // name and label
  std::set<std::string> readings;
};

// Readings stand one a line below `read:`, or in one line in braces where that is short enough.
enum class ReadStyle : bool { lines, braces };

// Without a dash, the first line's key at column 0. Throws EntryError.
[[nodiscard]] std::vector<std::string> entry_lines(const std::vector<std::string>& arguments, ReadStyle style,
                                                   const KnownWords& known = {});

}  // namespace stringline
