// The one place where all stages meet: text, tree, program, judgement, plan, paper.
#include "engine/cli/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <map>
#include <nlohmann/json.hpp>

#include "engine/book/check_book.h"
#include "engine/book/log_entry.h"
#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/diag/suggest.h"
#include "engine/paper/json.h"
#include "engine/paper/learn.h"
#include "engine/paper/sheet.h"
#include "engine/paper/sheet_page.h"
#include "engine/paper/text.h"
#include "engine/paper/why.h"
#include "engine/paper/work_page.h"
#include "engine/plan/plan.h"

namespace stringline {
namespace {

void print(std::FILE* stream, const std::string& text) { (void)std::fwrite(text.data(), 1, text.size(), stream); }

struct Session {
  const Options& options;
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book;

  explicit Session(const Options& asked) : options(asked), book(asked.shipped, sources, diagnostics) {}

  // Where results go; what is told about files goes to standard error.
  void result(const std::string& text) const {
    if (options.output.empty())
      print(stdout, text);
    else
      write_file(options.output, text);
  }

  // Tells the author everything; 3 when something is wrong.
  int finish() {
    if (options.json && diagnostics.has_errors())
      result(json_text(json_head(options.command, diagnostics, sources)));
    else if (!options.json)
      print(stderr, render(diagnostics, sources, wants_colour(options)));
    return diagnostics.has_errors() ? 3 : 0;
  }
};

VisitRequest request_of(const Options& options) {
  return {options.paths.front(), std::nullopt, options.house, day_of(options)};
}

int status_of(const Judgement& judgement, const Plan& plan) {
  if (judgement.ledger[static_cast<std::size_t>(RuleState::error)] > 0) return 3;
  const auto ready = [](const PlanLine& line) { return line.form == PlanLine::Form::job && !line.waits_for_yes; };
  if (std::any_of(plan.lines.begin(), plan.lines.end(), ready)) return 1;
  const bool open = std::any_of(plan.left.begin(), plan.left.end(), [](const LeftAlone& left) { return left.open; });
  return plan.lines.empty() && plan.conflicts.empty() && !open ? 0 : 4;
}

std::string title_of(const OpenVisit& visit) {
  const std::string label = visit.tree->instrument.label ? ", " + visit.tree->instrument.label->text : "";
  return fmt::format("visit {}{}", visit.program.visit, label);
}

WorkPageHead page_head(const OpenVisit& visit) {
  const VisitTree& tree = *visit.tree;
  const auto text = [](const std::optional<Word>& word) { return word ? word->text : std::string(); };
  return {title_of(visit), text(tree.owner), tree.due ? to_text(*tree.due) : "", text(tree.player.says)};
}

int check_command(Session& session) {
  for (const std::string& path : session.options.paths)
    check_path(session.book, path, session.options.house, session.diagnostics);
  const int status = session.finish();
  if (session.options.json && status == 0)
    session.result(json_text(json_head("check", session.diagnostics, session.sources)));
  return status;
}

int work_command(Session& session) {
  const auto visit = open_visit(session.book, request_of(session.options), session.diagnostics);
  if (!visit) return session.finish();
  const Program& program = visit->program;
  const Judgement& judgement = visit->judgement;
  const Plan plan = make_plan(program, judgement);
  const auto chords = sourness(program, judgement);
  const auto clean = clean_sides(program, judgement);
  (void)session.finish();
  if (session.options.json) {
    Json document = json_head("work", session.diagnostics, session.sources);
    add_work(document, {program, judgement, plan, session.sources}, chords, clean);
    session.result(json_text(document));
  } else if (session.options.html) {
    session.result(work_page(program, judgement, plan, page_head(*visit), clean, chords));
  } else {
    const std::string sound = clean_text(program, judgement, clean) + chords_text(program, chords);
    const std::string rules = session.options.all ? ledger_text(program, judgement) : "";
    session.result(work_text(program, judgement, plan, title_of(*visit), sound) + rules);
  }
  return status_of(judgement, plan);
}

int why_command(Session& session) {
  const auto visit = open_visit(session.book, request_of(session.options), session.diagnostics);
  if (!visit) return session.finish();
  const Plan plan = make_plan(visit->program, visit->judgement);
  const WhyContext context{visit->program, visit->judgement, plan, session.sources};
  const auto& words = session.options.words;
  std::vector<Why> answers;
  if (words.size() == 3 && words[1] == "before") {
    if (auto answer = why_before(context, words[0], words[2])) answers.push_back(std::move(*answer));
  } else if (words.size() == 1) {
    answers = why(context, words.front());
  }
  if (answers.empty()) {
    throw WorldError(fmt::format("nothing in this visit is called '{}'{}", fmt::join(words, " "),
                                 did_you_mean(words.front(), why_names(visit->program))));
  }
  (void)session.finish();
  Json document = json_head("why", session.diagnostics, session.sources);
  add_why(document, answers);
  session.result(session.options.json ? json_text(document) : why_text(answers));
  return status_of(visit->judgement, plan);
}

// A profile of the house or of the program, without an instrument.
std::optional<Program> profile_alone(Session& session) {
  const std::string& house_folder = session.options.house;
  const HouseTree* house = session.book.house_above(house_folder.empty() ? "." : house_folder);
  const std::string& name = session.options.paths.front();
  const auto known = session.book.profile_names();
  if (std::find(known.begin(), known.end(), name) == known.end())
    throw WorldError(fmt::format("no profile '{}'{}", name, did_you_mean(name, known)));
  const auto layers = session.book.layers({name, {}});
  return layers ? check({house, *layers, nullptr}, session.diagnostics) : std::nullopt;
}

int text_command(Session& session, const char* key, const std::string& text) {
  (void)session.finish();
  Json document = json_head(session.options.command, session.diagnostics, session.sources);
  document[key] = text;
  session.result(session.options.json ? json_text(document) : text);
  return 0;
}

int sheet_command(Session& session) {
  const auto program = profile_alone(session);
  if (!program) return session.finish();
  if (!session.options.html) return text_command(session, "text", sheet_text(*program, day_of(session.options)));
  (void)session.finish();
  session.result(sheet_page(*program));
  return 0;
}

int new_command(Session& session) {
  const auto program = profile_alone(session);
  if (!program) return session.finish();
  const Date day = day_of(session.options);
  const std::string id = session.options.id.empty() ? "v" + to_text(day) : session.options.id;
  return text_command(session, "text", new_visit_text(*program, id, day));
}

// The programs of a house's visits; one that has a mistake is told and left out.
std::vector<Program> programs_of(Session& session, const HouseTree* house) {
  std::vector<Program> programs;
  for (const std::string& path : session.book.visit_paths()) {
    const VisitTree* visit = session.book.visit(path);
    const auto layers = visit != nullptr && visit->profile ? session.book.layers(*visit->profile) : std::nullopt;
    auto program = layers ? check({house, *layers, visit}, session.diagnostics) : std::nullopt;
    if (program) programs.push_back(std::move(*program));
  }
  return programs;
}

int learn_command(Session& session) {
  const std::string& path = session.options.paths.front();
  const HouseTree* house = session.book.house_above(path);
  if (house == nullptr && !session.diagnostics.has_errors())
    throw WorldError(fmt::format("no house.yaml in '{}'", path));
  const auto learnt = learn(programs_of(session, house));
  if (session.diagnostics.has_errors()) return session.finish();
  (void)session.finish();
  Json document = json_head("learn", session.diagnostics, session.sources);
  add_learnt(document, learnt);
  session.result(session.options.json ? json_text(document) : learn_text(learnt));
  return 0;
}

// What comes next, when the list is made again.
std::string next_line(const OpenVisit& visit, const Plan& plan) {
  if (plan.lines.empty()) return "nothing is left to do\n";
  Plan first = plan;
  first.lines.resize(1);
  first.left.clear();
  return lines_text(visit.program, visit.judgement, first);
}

int note_command(Session& session) {
  const std::string& path = session.options.paths.front();
  const std::string before = read_file(path);
  VisitRequest request = request_of(session.options);
  const VisitTree* tree = session.book.visit(path, before);
  if (tree == nullptr) return session.finish();
  try {
    request.text = with_entry(before, *tree, session.options.words, day_of(session.options));
  } catch (const EntryError& error) {
    throw WorldError(error.what());
  }
  const auto visit = open_visit(session.book, request, session.diagnostics);
  if (!visit) return session.finish();
  write_file(path, *request.text);
  const Plan plan = make_plan(visit->program, visit->judgement);
  (void)session.finish();
  Json document = json_head("note", session.diagnostics, session.sources);
  document["written"] = path;
  document["next"] = next_line(*visit, plan);
  session.result(session.options.json ? json_text(document) : next_line(*visit, plan));
  return status_of(visit->judgement, plan);
}

}  // namespace

int run(const Options& options) {
  using Command = int (*)(Session&);
  static const std::map<std::string, Command> commands{
      {"check", check_command}, {"work", work_command}, {"why", why_command},    {"sheet", sheet_command},
      {"new", new_command},     {"note", note_command}, {"learn", learn_command}};
  Session session(options);
  return commands.at(options.command)(session);
}

}  // namespace stringline
