#include "engine/cli/options.h"

#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <cstdlib>

#include "engine/diag/suggest.h"

namespace stringline {
namespace {

struct Command {
  const char* name;
  const char* help;
  const char* example;
  const char* path;  // what its first argument is called; null: none
  const char* path_help;
  bool many;          // several of them
  const char* words;  // what follows, null: nothing
  const char* words_help;
};

constexpr Command commands[] = {
    {"check", "Find what is wrong in house specs and visits.", "check examples/harrow_lane", "PATH",
     "house folders, profiles, visits", true, nullptr, nullptr},
    {"work", "Print the ordered work list of a visit.", "work examples/harrow_lane/visits/s03a_high_action.yaml",
     "VISIT", "the visit's file, or - for standard input", false, nullptr, nullptr},
    {"why", "Tell everything that is known of a reading, a job, a gate, a stop or a rule of a visit.",
     "why examples/harrow_lane/visits/s03a_high_action.yaml action.bass\n         stringline why VISIT tighten_rod "
     "before file_slots",
     "VISIT", "the visit's file, or - for standard input", false, "WHAT", "a name, or JOB before JOB"},
    {"sheet", "Print a visit to fill in: what to measure on a kind of instrument, how, and in which order.",
     "sheet flat_top --house examples/harrow_lane", "PROFILE", "the profile's name", false, nullptr, nullptr},
    {"new", "Print a visit to begin with.", "new flat_top --id 2026-0731 --output visits/2026-0731.yaml", "PROFILE",
     "the profile's name", false, nullptr, nullptr},
    {"note", "Add an entry to a visit's log, checked before it is written, and print the next line of work.",
     "note visits/2026-0731.yaml relief 0.20 mm, action.bass 2.4 mm\n         stringline note VISIT did tighten_rod "
     "1/4 turns",
     "VISIT", "the visit's file", false, "WORDS",
     "READING VALUE, ..; did JOB AMOUNT; fitted SET; retuned; agreed, declined or asked JOB [up_to TOTAL]; waiting "
     "WHAT "
     "[until DATE]; strike ENTRY REASON; text WORDS; closed"},
    {"learn", "Tell what a house's own rod jobs, read before and after, say of how its necks bend; changes nothing.",
     "learn examples/harrow_lane", "HOUSE", "the house's folder", false, nullptr, nullptr},
    {"drift", "Tell what moved between two visits of one instrument, or each of its readings over all its visits.",
     "drift examples/harrow_lane/visits/t05_last_spring.yaml examples/harrow_lane/visits/t05_swollen_top.yaml\n"
     "         stringline drift HL-0101 --house examples/harrow_lane",
     "VISIT", "the earlier and the later visit's file; or one instrument's id", true, nullptr, nullptr},
    {"board", "Print the open visits of a house by due date: where each stands, and what is left of it.",
     "board examples/harrow_lane --today 2026-08-12", "HOUSE", "the house's folder", false, nullptr, nullptr},
};

std::vector<std::string> command_names() {
  std::vector<std::string> names;
  for (const Command& command : commands) names.emplace_back(command.name);
  return names;
}

bool is_command(const std::string& word) {
  const auto names = command_names();
  return std::find(names.begin(), names.end(), word) != names.end();
}

void common_options(CLI::App& app, Options& options, std::string& today, std::string& colour) {
  auto* json = app.add_flag("--json", options.json, "one JSON document instead of text");
  if (app.get_name() == "work" || app.get_name() == "sheet")
    app.add_flag("--html", options.html, "a page to print instead of text")->excludes(json);
  app.add_option("--output", options.output, "write to this file, whole or not at all")->type_name("FILE");
  app.add_option("--house", options.house, "the house's folder; else found by walking up")->type_name("DIR");
  app.add_option("--today", today, "the day to count with, as 2026-08-03")->type_name("DATE");
  app.add_option("--color", colour, "auto, always or never")
      ->type_name("WHEN")
      ->check(CLI::IsMember({"auto", "always", "never"}));
}

int usage(const std::string& message) {
  std::fprintf(stderr, "stringline: %s\n", message.c_str());
  return 2;
}

}  // namespace

bool wants_colour(const Options& options) {
  if (options.colour != Colour::automatic) return options.colour == Colour::always;
  const char* no_colour = std::getenv("NO_COLOR");
  const char* terminal = std::getenv("TERM");
  if (no_colour != nullptr && *no_colour != '\0') return false;
  if (terminal != nullptr && std::string(terminal) == "dumb") return false;
  return isatty(STDERR_FILENO) == 1;
}

Date day_of(const Options& options) { return options.today ? *options.today : today(); }

std::optional<Options> read_options(int argc, char** argv, int& status) {
  Options options;
  std::string path;
  std::string today;
  std::string colour = "auto";
  CLI::App app{
      "Stringline: a repair shop's own set-up specs, and the work list of an instrument that is held against them."};
  app.set_version_flag("--version", STRINGLINE_VERSION);
  app.require_subcommand(1);
  app.footer("Example: stringline work examples/harrow_lane/visits/s03a_high_action.yaml");
  for (const Command& command : commands) {
    auto* sub = app.add_subcommand(command.name, command.help);
    sub->footer(std::string("Example: stringline ") + command.example);
    if (command.many)
      sub->add_option(command.path, options.paths, command.path_help)->required();
    else
      sub->add_option(command.path, path, command.path_help)->required();
    if (command.words != nullptr)
      sub->add_option(command.words, options.words, command.words_help)->required()->expected(1, 1000);
    common_options(*sub, options, today, colour);
    if (std::string(command.name) == "work") sub->add_flag("--all", options.all, "also every rule with its state");
    if (std::string(command.name) == "new") sub->add_option("--id", options.id, "the visit's id")->type_name("ID");
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    const std::string first = argc > 1 ? argv[1] : "";
    const bool unknown = error.get_exit_code() != 0 && !first.empty() && first.front() != '-' && !is_command(first);
    status = unknown ? usage("no command '" + first + "'" + did_you_mean(first, command_names()))
                     : (app.exit(error) == 0 ? 0 : 2);
    return std::nullopt;
  }
  if (!path.empty()) options.paths = {path};
  options.command = app.get_subcommands().front()->get_name();
  options.colour = colour == "always" ? Colour::always : colour == "never" ? Colour::never : Colour::automatic;
  if (!today.empty()) {
    options.today = parse_date(today);
    if (!options.today) {
      status = usage("'" + today + "' is no day; write it as 2026-08-03");
      return std::nullopt;
    }
  }
  return options;
}

}  // namespace stringline
