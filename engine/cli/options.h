// What a run was asked to do.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "engine/value/date.h"

namespace stringline {

enum class Colour : std::uint8_t { automatic, always, never };

struct Options {
  std::string command;
  std::vector<std::string> paths;    // houses, profiles, visits; of sheet, new and trial: the profile's name
  std::vector<std::string> words;    // what follows the path: a name to explain, what to note
  std::vector<std::string> shipped;  // folders of shipped profiles
  std::string house;                 // --house; empty: found by walking up
  std::string output;                // --output; empty: standard output
  std::string id;                    // of a new visit
  std::optional<Date> today;         // --today
  Colour colour = Colour::automatic;
  bool json = false;
  bool html = false;  // of the papers: a page to print
  bool all = false;
  bool complete = false;    // --complete of trial
  bool propose = false;     // --propose of trial
  bool final_bill = false;  // --final of estimate
  bool lines = false;       // --lines of work: many visits, an object a line
  bool verdicts = false;    // --verdicts of work: of each no more than that
  unsigned jobs = 1;        // --jobs of work: so many at once
};

// The command line says something that there is not. Exit status 2.
struct UsageError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// Colour on standard error: by --color, NO_COLOR, TERM, and whether it is a terminal.
[[nodiscard]] bool wants_colour(const Options& options);
// --today, else the machine's day.
[[nodiscard]] Date day_of(const Options& options);

// The command line -> options. Nothing when help or the version was asked for and printed. Throws UsageError.
[[nodiscard]] std::optional<Options> read_options(int argc, char** argv);
// True when --json, or --lines, stands on the command line, whatever else is wrong with it.
[[nodiscard]] bool asks_for_json(int argc, char** argv);
[[nodiscard]] bool asks_for_lines(int argc, char** argv);

}  // namespace stringline
