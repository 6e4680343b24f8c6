// grammar/REFERENCE.md against the tables of the language: nothing is missing from it, nothing in it is gone, and every
// example in it passes the checks that a house's own files pass.
#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "engine/book/book.h"
#include "engine/book/open_trials.h"
#include "engine/check/check.h"
#include "engine/check/facts.h"
#include "engine/diag/render.h"
#include "engine/syntax/keys.h"
#include "engine/syntax/parse_expr.h"
#include "engine/text/limits.h"
#include "engine/value/quantity.h"
#include "tests/support/manual.h"
#include "tests/support/read_case.h"
#include "tests/support/run_program.h"
#include "tests/support/scalar.h"

using namespace stringline;
using stringline::test::Cells;
using stringline::test::code_in;
using stringline::test::Example;
using stringline::test::Manual;
using Words = std::set<std::string>;

namespace {

const Manual& manual() {
  static const Manual read(read_file(std::filesystem::path("grammar/REFERENCE.md")));
  return read;
}

// The code in the first cells of a table.
Words first_cells(const std::string& mark) {
  Words words;
  for (const Cells& row : manual().table(mark)) {
    for (const std::string& word : code_in(row.front())) words.insert(word);
  }
  return words;
}

const std::vector<std::pair<KeyContext, std::string>>& contexts() {
  static const std::vector<std::pair<KeyContext, std::string>> all{
#define STRINGLINE_CONTEXT(context, words, keys) {KeyContext::context, #context},
#include "engine/syntax/keys.def"
  };
  return all;
}

Words reserved_words() {
  return {
#define STRINGLINE_RESERVED(word) word,
#include "engine/syntax/keys.def"
  };
}

Words builtin_names() {
  return {
#define STRINGLINE_BUILTIN(name, parameters, result, help) name,
#include "engine/check/builtins.def"
#undef STRINGLINE_BUILTIN
  };
}

struct DiagnosticRow {
  std::string id;
  std::string summary;
};
std::vector<DiagnosticRow> catalog() {
  return {
#define STRINGLINE_DIAGNOSTIC(name, id, severity, summary) {id, summary},
#include "engine/diag/catalog.def"
#undef STRINGLINE_DIAGNOSTIC
  };
}

std::string in_table(std::string text) {  // a bar would end its cell
  for (std::size_t at = text.find('|'); at != std::string::npos; at = text.find('|', at)) text.replace(at, 1, "&#124;");
  return text;
}

void check_parses(const std::string& text) {
  Diagnostics out;
  const ExprPtr parsed = parse_expression(test::scalar(text), out);
  INFO(text);
  CHECK(parsed);
}

}  // namespace

TEST_CASE("the manual has every key of every map, says which are required, and has no other") {
  for (const auto& [context, name] : contexts()) {
    std::map<std::string, bool> written;
    for (const Cells& row : manual().table("keys: " + name)) {
      REQUIRE(row.size() == 4);
      written[code_in(row[0]).at(0)] = row[2].find("**required**") != std::string::npos;
      CHECK_FALSE(row[1].empty());
      CHECK_FALSE(row[3].empty());
    }
    std::map<std::string, bool> known;
    for (const KeyInfo& key : all_keys()) {
      if (key.context == context) known[std::string(key.key)] = key.required;
    }
    INFO("keys of " << describe(context));
    CHECK(written == known);
  }
}

TEST_CASE("the manual has every limit with its usual number, in the words of the table") {
  std::string written;
  for (const Cells& row : manual().table("limits")) written += row.at(0) + " " + row.at(1) + " " + row.at(2) + "\n";
  std::string known;
  for (const LimitInfo& each : limits::all())
    known += "`" + std::string(each.name) + "` " + std::to_string(each.usual) + " " + std::string(each.words) + "\n";
  CHECK(written == known);
}

TEST_CASE("the index names every key and each map it stands in") {
  std::map<std::string, std::size_t> known;
  for (const KeyInfo& key : all_keys()) ++known[std::string(key.key)];
  std::map<std::string, std::size_t> written;
  for (const Cells& row : manual().table("index")) {
    const auto links = std::count(row.at(1).begin(), row.at(1).end(), '#');
    written[code_in(row.front()).at(0)] = static_cast<std::size_t>(links);
  }
  CHECK(written == known);
}

TEST_CASE("the manual has every word of every set, and the words that are taken") {
  const std::array<std::pair<WordSet, const char*>, 9> sets{{{WordSet::file_kind, "file_kind"},
                                                             {WordSet::verdict, "verdict"},
                                                             {WordSet::rounding, "rounding"},
                                                             {WordSet::date_form, "date_form"},
                                                             {WordSet::paper_kind, "paper_kind"},
                                                             {WordSet::decide, "decide"},
                                                             {WordSet::axis, "axis"},
                                                             {WordSet::reading_kind, "reading_kind"},
                                                             {WordSet::control, "control"}}};
  std::size_t found = 0;
  for (const auto& [set, name] : sets) {
    const auto known = words_of(set);
    Words written;
    for (const Cells& row : manual().table(std::string("words: ") + name)) written.insert(code_in(row.front()).at(0));
    INFO(name);
    CHECK(written == Words(known.begin(), known.end()));
    found += known.size();
  }
  CHECK(found == all_words().size());
  const auto taken = code_in(manual().paragraph("reserved"));
  CHECK(Words(taken.begin(), taken.end()) == reserved_words());
}

TEST_CASE("the manual has every unit and every built-in, with an example that can be read") {
  Words units;
  for (const UnitInfo& unit : all_units()) units.insert(std::string(unit.written));
  units.erase("");
  CHECK(first_cells("units") == units);
  CHECK(first_cells("built-ins") == builtin_names());
  for (const Cells& row : manual().table("built-ins")) {
    const auto examples = code_in(row.at(3));
    CHECK(examples.size() >= 1);
    for (const std::string& example : examples) {
      check_parses(example);
      CHECK(example.find(code_in(row.front()).at(0) + "(") != std::string::npos);
    }
  }
}

TEST_CASE("the manual has every operator, and its table of precedence is the grammar's") {
  const Words written = first_cells("operators");
  std::map<std::string, int> level;
  for (const Cells& row : manual().table("operators")) {
    for (const std::string& word : code_in(row.at(1))) level[word] = std::stoi(row.front());
    for (const std::string& example : code_in(row.at(2))) check_parses(example);
  }
  std::vector<std::string> binary;
  for (auto op = BinaryOp::logical_or; op <= BinaryOp::divide; op = static_cast<BinaryOp>(static_cast<int>(op) + 1)) {
    INFO(word(op));
    REQUIRE(level.count(std::string(word(op))) == 1);
    binary.emplace_back(word(op));
  }
  for (const char* each :
       {"if", "then", "else", "not", "one of", ".", "(", ")", ">", "<", ">=", "<=", "=", "==", "!="}) {
    INFO(each);
    CHECK(level.count(each) == 1);
  }
  for (const std::string& loose : binary) {
    for (const std::string& tight : binary) {
      if (level[loose] >= level[tight]) continue;
      for (const std::string& text : {"a " + loose + " b " + tight + " c", "a " + tight + " b " + loose + " c"}) {
        Diagnostics out;
        const ExprPtr parsed = parse_expression(test::scalar(text), out);
        INFO(text);
        REQUIRE(parsed);
        CHECK(test::head(*parsed) == loose);
      }
    }
  }
  CHECK(level["not"] > level["and"]);
  CHECK(level["not"] < level["is"]);
}

TEST_CASE("the manual has every form of a range and of a table's row") {
  std::string ranges;
  for (const Cells& row : manual().table("ranges")) {
    for (const std::string& text : code_in(row.front())) {
      Diagnostics out;
      INFO(text);
      CHECK(parse_range(test::scalar(text), out));
      ranges += text + "\n";
    }
  }
  for (const char* word : {" .. ", " +- ", "at least ", "at most ", " aim "}) {
    INFO(word);
    CHECK(ranges.find(word) != std::string::npos);
  }
  std::set<RowKey::Kind> kinds;
  for (const Cells& row : manual().table("rows")) {
    for (const std::string& text : code_in(row.front())) {
      Diagnostics out;
      const auto key = parse_row_key(test::scalar(text), out);
      INFO(text);
      REQUIRE(key);
      kinds.insert(key->kind);
    }
  }
  CHECK(kinds.size() == 4);
}

TEST_CASE("the manual has every diagnostic, in the catalog's own words") {
  std::map<std::string, std::string> written;
  for (const Cells& row : manual().table("diagnostics")) written[row.at(0)] = row.at(1);
  std::string to_paste;
  for (const DiagnosticRow& row : catalog()) {
    if (written[row.id] != in_table(row.summary)) to_paste += "| " + row.id + " | " + in_table(row.summary) + " |\n";
    written.erase(row.id);
  }
  INFO("rows to put into grammar/REFERENCE.md, section 18");
  CHECK(to_paste == "");
  INFO("rows that no diagnostic has");
  for (const auto& [id, summary] : written) CHECK(id + " " + summary == "");
}

TEST_CASE("the manual has every fact that means something to the program, and no other") {
  std::set<std::string> written;
  for (const Cells& row : manual().table("facts")) {
    for (const std::string& name : code_in(row.front())) written.insert(name);
  }
  const auto& meant = facts_with_meaning();
  CHECK(written == std::set<std::string>(meant.begin(), meant.end()));
}

TEST_CASE("every link inside the manual leads somewhere") {
  CHECK(manual().dead_links() == std::vector<std::string>());
}

// The whole files of the manual make one house book; what is a part of a profile becomes a layer over the profile it shows,
// what is a part of a visit a visit of it.
namespace {

enum class Part : std::uint8_t { whole, house, profile, visit };

std::optional<Part> part_of(const std::string& first_key) {
  if (find_key(KeyContext::house, first_key) != nullptr && first_key != "label" && first_key != "house")
    return Part::house;
  for (const char* whole : {"house", "profile", "visit", "trials"}) {
    if (first_key == whole) return Part::whole;
  }
  if (find_key(KeyContext::profile, first_key) != nullptr) return Part::profile;
  if (find_key(KeyContext::visit, first_key) != nullptr) return Part::visit;
  return std::nullopt;
}

std::string first_value(const std::string& text) {
  const std::size_t begin = text.find(": ") + 2;
  return text.substr(begin, text.find('\n') - begin);
}

// Where an example goes in the house book; empty for a part of a house file, which is only read.
std::string file_for(const Example& example, Part part) {
  const std::string number = std::to_string(example.line);
  if (part == Part::profile) return "profiles/part_" + number + ".yaml";
  if (part == Part::visit) return "visits/part_" + number + ".yaml";
  if (part == Part::house) return {};
  if (example.first_key == "house") return "house.yaml";
  if (example.first_key == "trials") return "profiles/" + first_value(example.text) + ".trials.yaml";
  return example.first_key + "s/" + first_value(example.text) + ".yaml";
}

std::string whole_text(const Example& example, Part part) {
  const std::string name = "part_" + std::to_string(example.line);
  const bool strings = example.text.find("\ninstrument:") != std::string::npos;
  switch (part) {
    case Part::profile: return "profile: " + name + "\nbased_on: parlor\n" + example.text;
    case Part::visit:
      return "visit: " + name + "\nprofile: parlor\n" + (strings ? "" : "instrument: {strings: set_11_50}\n") +
             example.text;
    case Part::house: return "house: " + name + "\n" + example.text;
    case Part::whole: break;
  }
  return example.text;
}

// Every trial of the manual comes out as it says.
std::string mistakes_in_trials(HouseBook& book, const std::filesystem::path& path, Sources& sources, Diagnostics& out) {
  const auto open = open_trials(book, path.string(), "", out);
  std::string mistakes = render(out, sources, false);
  if (open == nullptr) return mistakes + "not one trial was run";
  for (const Trial& trial : open->trials) {
    for (const Unexpected& each : unexpected_in(trial.program, run_trial(trial, trial.program)))
      mistakes += trial.tree->name.text + ": " + each.what + ": " + each.expected + ", got " + each.got + "\n";
  }
  return mistakes;
}

std::string mistakes_of(HouseBook& book, const HouseTree* house, const std::filesystem::path& path, Sources& sources,
                        Diagnostics& out) {
  const std::size_t before = out.list().size();
  const bool is_visit = path.parent_path().filename() == "visits";
  const VisitTree* visit = is_visit ? book.visit(path.string()) : nullptr;
  const Word name = visit != nullptr && visit->profile ? *visit->profile : Word{path.stem().string(), {}};
  const auto layers = is_visit && visit == nullptr ? std::nullopt : book.layers(name);
  if (layers) (void)check({house, *layers, visit}, out);
  return out.list().size() == before ? "" : render(out, sources, false);
}

}  // namespace

TEST_CASE("every example of the manual passes the checks of a house's own files") {
  const ScratchFolder scratch;
  std::vector<std::filesystem::path> paths;
  std::map<std::string, int> seen;
  for (const Example& example : manual().examples()) {
    INFO("grammar/REFERENCE.md:" << example.line);
    const auto part = part_of(example.first_key);
    REQUIRE(part);
    ++seen[example.first_key];
    const std::string text = whole_text(example, *part);
    const std::string file = file_for(example, *part);
    if (file.empty()) {
      const test::ReadCase read(text);
      CHECK(read.said() == "");
      CHECK(read.house.has_value());
      continue;
    }
    const auto path = scratch.path() / file;
    std::filesystem::create_directories(path.parent_path());
    write_file(path, text);
    if (file != "house.yaml") paths.push_back(path);
  }
  CHECK(seen["house"] == 1);
  CHECK(seen["profile"] >= 2);
  CHECK(seen["visit"] >= 1);
  CHECK(seen["trials"] == 1);
  Sources sources;
  Diagnostics out;
  HouseBook book({"profiles"}, sources, out);
  const HouseTree* house = book.house_above(scratch.path().string());
  REQUIRE(house != nullptr);
  for (const auto& path : paths) {
    INFO(path.filename() << " (the number is the line in grammar/REFERENCE.md)");
    if (path.stem().extension() == ".trials") {
      CHECK(mistakes_in_trials(book, path, sources, out) == "");
      continue;
    }
    CHECK(mistakes_of(book, house, path, sources, out) == "");
  }
}
