#include "engine/cli/options.h"

#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <iostream>
#include <set>

#include "engine/book/world.h"
#include "engine/diag/suggest.h"
#include "engine/syntax/read_word.h"
#include "engine/text/limits.h"

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
     "VISIT", "the visit's file, or - for standard input; with --lines any number of files, folders, .jsonl and -",
     true, nullptr, nullptr},
    {"why", "Tell everything that is known of a reading, a job, a gate, a stop or a rule of a visit.",
     "why examples/harrow_lane/visits/s03a_high_action.yaml action.bass\n         stringline why VISIT tighten_rod "
     "before file_slots",
     "VISIT", "the visit's file, or - for standard input", false, "WHAT", "a name, or JOB before JOB"},
    {"estimate", "Print what the owner is told: what it costs, what needs a yes, and what stays without it.",
     "estimate examples/harrow_lane/visits/s13_low_as_it_goes.yaml", "VISIT",
     "the visit's file, or - for standard input", false, nullptr, nullptr},
    {"handover", "Print what the owner takes home: how it leaves, what was done, when to come back, how to keep it.",
     "handover examples/harrow_lane/visits/v05_nothing_to_do.yaml", "VISIT",
     "the visit's file, or - for standard input", false, nullptr, nullptr},
    {"sheet", "Print a visit to fill in: what to measure on a kind of instrument, how, and in which order.",
     "sheet flat_top --house examples/harrow_lane", "PROFILE", "the profile's name", false, nullptr, nullptr},
    {"new", "Print a visit to begin with.", "new flat_top --id 2026-0731 --output visits/2026-0731.yaml", "PROFILE",
     "the profile's name", false, nullptr, nullptr},
    {"note", "Add an entry to a visit's log, checked before it is written, and print the next line of work.",
     "note visits/2026-0731.yaml relief 0.20 mm, action.bass 2.4 mm\n         stringline note VISIT did tighten_rod "
     "1/4 turns",
     "VISIT", "the visit's file", false, "WORDS",
     "READING VALUE, READING VALUE\ndid JOB [AMOUNT]\nfitted SET\nretuned\nagreed, declined or asked JOB, JOB [up_to "
     "TOTAL]\nwaiting WHAT [until DATE]\nstrike ENTRY REASON\ntext WORDS\nclosed [WORDS]"},
    {"learn", "Tell what a house's own rod jobs, read before and after, say of how its necks bend; changes nothing.",
     "learn examples/harrow_lane", "HOUSE", "the house's folder", false, nullptr, nullptr},
    {"drift", "Tell what moved between two visits of one instrument, or each of its readings over all its visits.",
     "drift examples/harrow_lane/visits/t05_last_spring.yaml examples/harrow_lane/visits/t05_swollen_top.yaml\n"
     "         stringline drift HL-0101 --house examples/harrow_lane",
     "VISIT", "the earlier and the later visit's file; or one instrument's id", true, nullptr, nullptr},
    {"board", "Print the open visits of a house by due date: where each stands, and what is left of it.",
     "board examples/harrow_lane --today 2026-08-12", "HOUSE", "the house's folder", false, nullptr, nullptr},
    {"schema",
     "Print the JSON Schema of a kind of file, for editors that complete and check as one types, or of what --json "
     "prints.",
     "schema profile --output profile.schema.json", "KIND", "house, profile, trials, visit or output", false, nullptr,
     nullptr},
    {"trial",
     "Run the trials of a profile: what came out beside what was expected, and what of the profile they exercise.",
     "trial flat_top", "PROFILE", "the profile's name, or a file of trials", false, nullptr, nullptr},
};

const Command* find_command(const std::string& name) {
  return std::find_if(std::begin(commands), std::end(commands), [&](const Command& each) { return name == each.name; });
}

std::vector<std::string> command_names() {
  std::vector<std::string> names;
  for (const Command& command : commands) names.emplace_back(command.name);
  return names;
}

Date read_day(const std::string& text) {
  const auto day = parse_date(text);
  if (!day) throw UsageError(fmt::format("'{}' is no day; write it as 2026-08-03", text));
  return *day;
}

Colour read_colour(const std::string& text) {
  if (text == "auto") return Colour::automatic;
  if (text == "always") return Colour::always;
  if (text == "never") return Colour::never;
  const std::string near = did_you_mean(text, {"auto", "always", "never"});
  throw UsageError(fmt::format("'{}' is no way to colour{}", text, near));
}

std::string read_id_text(const std::string& text) {
  const bool some = std::any_of(text.begin(), text.end(), [](char c) { return c != '-' && c != '_'; });
  if (some && text != "null" && std::all_of(text.begin(), text.end(), is_id_character)) return text;
  throw UsageError(fmt::format("'{}' is no id; letters, digits, - and _ make one: 2026-0731", text));
}

unsigned read_jobs(const std::string& text) {
  unsigned jobs = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), jobs);
  if (read.ec == std::errc() && read.ptr == text.data() + text.size() && jobs >= 1 && jobs <= 64) return jobs;
  throw UsageError(fmt::format("'{}' is no number of jobs; 1 to 64", text));
}

// nodes=40000
void read_limit(const std::string& text) {
  const std::string name = text.substr(0, text.find('='));
  const std::string number = name.size() < text.size() ? text.substr(name.size() + 1) : "";
  const auto info = std::find_if(limits::all().begin(), limits::all().end(),
                                 [&](const LimitInfo& each) { return each.name == name; });
  if (info == limits::all().end()) {
    std::vector<std::string> names;
    for (const LimitInfo& each : limits::all()) names.emplace_back(each.name);
    throw UsageError(fmt::format("no limit '{}'{}; 'stringline --help' lists them", name, did_you_mean(name, names)));
  }
  std::size_t value = 0;
  const auto read = std::from_chars(number.data(), number.data() + number.size(), value);
  const bool whole = read.ec == std::errc() && read.ptr == number.data() + number.size() && value > 0;
  if (!whole || !limits::set(name, value))
    throw UsageError(fmt::format("'{}' can not be the limit '{}'; it is {}, and may be 1 to {}", number, name,
                                 info->usual, info->most));
}

std::string limits_text() {
  std::string text = "\nLimits, for --limit NAME=NUMBER, as they usually are:\n";
  for (const LimitInfo& each : limits::all())
    text += fmt::format("  {:<17}{:>9}  {}\n", each.name, each.usual, each.words);
  text.pop_back();
  return text;
}

void common_options(CLI::App& app, Options& options) {
  app.add_flag("--json", options.json, "one JSON document instead of text");
  const std::string name = app.get_name();
  const std::string with_a_page[] = {"work", "estimate", "handover", "sheet", "drift", "board"};
  if (std::find(std::begin(with_a_page), std::end(with_a_page), name) != std::end(with_a_page))
    app.add_flag("--html", options.html, "a page to print instead of text");
  app.add_option("--output", options.output, "write to this file, whole or not at all")->type_name("FILE");
  app.add_option("--house", options.house, "the house's folder; else found by walking up")->type_name("DIR");
  const auto day = [&options](const std::string& text) { options.today = read_day(text); };
  app.add_option_function<std::string>("--today", day, "the day to count with, as 2026-08-03")->type_name("DATE");
  const auto colour = [&options](const std::string& text) { options.colour = read_colour(text); };
  app.add_option_function<std::string>("--color", colour, "auto, always or never")->type_name("WHEN");
  const auto limit = [](const std::vector<std::string>& texts) {
    std::for_each(texts.begin(), texts.end(), read_limit);
  };
  app.add_option_function<std::vector<std::string>>("--limit", limit, "another limit; 'stringline --help' lists them")
      ->type_name("NAME=NUMBER")
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

// What must stand behind the command, without the brackets of what may be left out.
class Help : public CLI::Formatter {
 public:
  std::string make_usage(const CLI::App* app, std::string name) const override {
    const auto* command = find_command(app->get_name());
    if (command == std::end(commands)) return "Usage: stringline COMMAND [OPTIONS]\n";
    const std::string many = command->many ? "..." : "";
    const std::string words = command->words == nullptr ? "" : std::string(" ") + command->words + "...";
    return fmt::format("Usage: {} [OPTIONS] {}{}{}\n", name, command->path, many, words);
  }
  std::string make_option_opts(const CLI::Option* option) const override {
    return option->get_positional() ? "" : CLI::Formatter::make_option_opts(option);
  }
};

void work_options(CLI::App& app, Options& options) {
  app.add_flag("--all", options.all, "also every rule with its state");
  app.add_flag("--lines", options.lines, "with --json: many visits, one object a line, each as it is done");
  app.add_flag("--verdicts", options.verdicts, "with --lines: verdicts and the states of rules alone, without reasons");
  const auto jobs = [&options](const std::string& text) { options.jobs = read_jobs(text); };
  app.add_option_function<std::string>("--jobs", jobs, "with --lines: so many visits at once, 1 to 64")->type_name("N");
}

void add_command(CLI::App& app, const Command& command, Options& options) {
  auto* sub = app.add_subcommand(command.name, command.help);
  sub->footer(std::string("Example: stringline ") + command.example);
  sub->allow_extras();  // reported by us, with the nearest name
  auto* path = sub->add_option(command.path, options.paths, command.path_help);
  if (!command.many) path->expected(1)->allow_extra_args(false);
  if (command.words != nullptr) sub->add_option(command.words, options.words, command.words_help)->expected(-1);
  common_options(*sub, options);
  const std::string name = command.name;
  if (name == "estimate")
    sub->add_flag("--final", options.final_bill, "the bill of what was done, against the estimate");
  if (name == "work") work_options(*sub, options);
  if (name == "trial") {
    sub->add_flag("--all", options.all,
                  "also the trials that came out as expected, and what each part is exercised by");
    sub->add_flag("--propose", options.propose, "instead write boundary cases of a profile, for you to fill in");
    sub->add_flag("--complete", options.complete, "end with 1 also when something is not exercised");
  }
  if (name == "note") {
    const auto day = [&options](const std::string& text) { options.today = read_day(text); };
    sub->add_option_function<std::string>("--date", day, "the day of the entry; the same as --today")
        ->type_name("DATE");
  }
  if (name != "new" && name != "sheet") return;
  const auto id = [&options](const std::string& text) { options.id = read_id_text(text); };
  sub->add_option_function<std::string>("--id", id, "the visit's id")->type_name("ID");
}

std::vector<std::string> option_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

[[noreturn]] void refuse_extra(const CLI::App& app, const std::string& where, const std::string& extra) {
  if (extra.size() > 1 && extra.front() == '-') {
    const std::string name = extra.substr(0, extra.find('='));
    throw UsageError(fmt::format("no option '{}' of '{}'{}", name, where, did_you_mean(name, option_names(app))));
  }
  throw UsageError(fmt::format("'{}' is one argument too many for '{}'", extra, where));
}

// The command, which stands before all else.
const Command& chosen(const CLI::App& app, const std::vector<std::string>& args) {
  if (args.empty()) throw UsageError("no command; 'stringline --help' lists them");
  const std::string& name = args.front();
  const Command* command = find_command(name);
  if (command != std::end(commands)) return *command;
  if (app.get_subcommand("work")->get_option_no_throw(name.substr(0, name.find('='))) != nullptr)
    throw UsageError(fmt::format("'{}' stands before the command; options stand behind it", name));
  if (name.size() > 1 && name.front() == '-') refuse_extra(app, "stringline", name);
  throw UsageError(fmt::format("no command '{}'{}", name, did_you_mean(name, command_names())));
}

// Options are the library's. Arguments are ours: it would take "[a, b]" apart, and lose what stands behind a second "--".
struct Written {
  std::vector<std::string> options;
  std::vector<std::string> arguments;
};

bool takes_value(const CLI::App& app, const std::string& name) {
  const CLI::Option* option = app.get_option_no_throw(name);
  return option != nullptr && option->get_items_expected_max() > 0;
}

// A negative number is an argument, and so is everything behind "--".
Written taken_apart(const CLI::App& app, const std::vector<std::string>& words) {
  Written written;
  std::set<std::string> seen;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& word = words[i];
    if (word == "--") {
      written.arguments.insert(written.arguments.end(), words.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                               words.end());
      break;
    }
    const bool option = word.size() > 1 && word[0] == '-' && (word[1] < '0' || word[1] > '9') && word[1] != '.';
    (option ? written.options : written.arguments).push_back(word);
    const std::string name = word.substr(0, word.find('='));
    if (!option || !takes_value(app, name)) continue;
    if (!seen.insert(name).second && name != "--limit")
      throw UsageError(fmt::format("'{}' stands twice; once is enough", name));
    if (name.size() + 1 < word.size()) continue;
    if (name.size() < word.size() || i + 1 == words.size())
      throw UsageError(fmt::format("'{0}' needs a value: {0} {1}", name, app.get_option(name)->get_type_name()));
    written.options.push_back(words[++i]);
  }
  return written;
}

void take_arguments(const Command& command, const std::vector<std::string>& arguments, Options& options) {
  for (const std::string& each : arguments) {
    if (command.many || options.paths.empty())
      options.paths.push_back(each);
    else if (command.words != nullptr)
      options.words.push_back(each);
    else
      throw UsageError(fmt::format("'{}' is one argument too many for '{}'", each, command.name));
  }
}

// What the library lets pass: unknown options, options that go with others, missing arguments.
void look_through(const CLI::App& sub, const Command& command, const Options& options) {
  for (const std::string& extra : sub.remaining()) refuse_extra(sub, sub.get_name(), extra);
  if (sub.count("--output") > 0 && options.output.empty()) throw UsageError("--output needs a file's name");
  if (sub.count("--house") > 0 && options.house.empty()) throw UsageError("--house needs the house's folder");
  if (options.json && options.html) throw UsageError("--json and --html are two forms of one result; take one of them");
  if (options.lines && !options.json) throw UsageError("--lines writes JSON: add --json");
  if (options.lines && options.html) throw UsageError("--lines writes JSON, and no page");
  if (!options.lines && options.verdicts) throw UsageError("--verdicts goes with --json --lines");
  if (!options.lines && options.jobs > 1) throw UsageError("--jobs goes with --json --lines");
  if (options.lines && options.paths.empty()) return;  // standard input
  if (sub.get_name() == "work" && !options.lines && options.paths.size() > 1)
    throw UsageError(fmt::format("'{}' is one argument too many for 'work'", options.paths[1]));
  const bool short_of_words = command.words != nullptr && options.words.empty();
  if (options.paths.empty() || options.paths.front().empty() || short_of_words)
    throw UsageError(fmt::format("'{}' needs {}{}: stringline {}", command.name, command.path,
                                 command.words == nullptr ? std::string() : std::string(" and ") + command.words,
                                 std::string(command.example).substr(0, std::string(command.example).find('\n'))));
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

std::optional<Options> read_options(int argc, char** argv) {
  Options options;
  CLI::App app(
      "Stringline: a repair shop's own set-up specs, and the work list of an instrument that is held against them.",
      "stringline");
  app.set_version_flag("--version", STRINGLINE_VERSION);
  app.formatter(std::make_shared<Help>());
  app.require_subcommand(0, 1);
  app.allow_extras();
  app.footer("Example: stringline work examples/harrow_lane/visits/s03a_high_action.yaml\n" + limits_text());
  for (const Command& command : commands) add_command(app, command, options);
  std::vector<std::string> args(argv + 1, argv + argc);
  if (!args.empty() && args.front() == "--") args.erase(args.begin());
  const bool asks = !args.empty() && (args.front() == "--help" || args.front() == "-h" || args.front() == "--version");
  const Command* command = asks ? nullptr : &chosen(app, args);
  Written written;
  if (command != nullptr) {
    written = taken_apart(*app.get_subcommand(command->name), {args.begin() + 1, args.end()});
    args = written.options;
    args.insert(args.begin(), command->name);
  }
  std::reverse(args.begin(), args.end());  // as the library wants them
  try {
    app.parse(args);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() != 0) throw UsageError(error.what());
    errno = 0;
    (void)app.exit(error);  // help, version
    if (!std::cout.flush()) throw WorldError(fmt::format("can not write to standard output: {}", std::strerror(errno)));
    return std::nullopt;
  }
  take_arguments(*command, written.arguments, options);
  look_through(*app.get_subcommand(command->name), *command, options);
  options.command = command->name;
  return options;
}

namespace {

bool stands_in(int argc, char** argv, const char* option) {
  const std::vector<std::string> words(argv, argv + argc);
  const auto end = std::find(words.begin(), words.end(), "--");
  return std::find(words.begin(), end, option) != end;
}

}  // namespace

bool asks_for_json(int argc, char** argv) { return stands_in(argc, argv, "--json"); }
bool asks_for_lines(int argc, char** argv) { return stands_in(argc, argv, "--lines"); }

}  // namespace stringline
