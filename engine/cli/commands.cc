// The one place where all stages meet: text, tree, program, judgement, plan, paper.
#include "engine/cli/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "engine/book/board.h"
#include "engine/book/check_book.h"
#include "engine/book/drift.h"
#include "engine/book/house_visits.h"
#include "engine/book/log_entry.h"
#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/diag/suggest.h"
#include "engine/paper/board.h"
#include "engine/paper/drift.h"
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

std::string instrument_of(const InstrumentTree& instrument) {
  const std::string id = instrument.id ? instrument.id->text : "an instrument without an id";
  return instrument.label ? id + ", " + instrument.label->text : id;
}

// Judges those of the book's visits that can be, and names the others in the head.
std::vector<const HouseVisit*> good_ones(const Session& session, HouseVisits& visits, DriftHead& head) {
  std::vector<const HouseVisit*> good;
  for (std::size_t i = 0; i < visits.all().size(); ++i) {
    if (const HouseVisit* visit = visits.judged(i))
      good.push_back(visit);
    else
      head.left_out.push_back(what_is_wrong(visits.all()[i], session.sources));
  }
  return good;
}

void refuse_a_strange_pair(const Session& session, const OpenVisit& then, const OpenVisit& now) {
  const auto& one = then.tree->instrument.id;
  const auto& other = now.tree->instrument.id;
  if (one && other && one->text != other->text)
    throw WorldError(fmt::format("these are visits of two instruments, '{}' and '{}'", one->text, other->text));
  const auto& before = then.program.log;
  const auto& after = now.program.log;
  if (!before.empty() && !after.empty() && before.front().date > after.front().date)
    throw WorldError(
        fmt::format("'{}' is the later visit; write the earlier one first", session.options.paths.front()));
}

bool lies_between(const HouseVisit& visit, const OpenVisit& then, const OpenVisit& now) {
  const std::string& id = visit.tree->id.text;
  if (id == then.tree->id.text || id == now.tree->id.text || !visit.date) return false;
  const auto& before = then.program.log;
  const auto& after = now.program.log;
  return !before.empty() && !after.empty() && before.front().date <= *visit.date && *visit.date <= after.front().date;
}

int drift_of_two(Session& session) {
  const auto& paths = session.options.paths;
  const std::string& house = session.options.house.empty() ? paths.back() : session.options.house;
  const auto then = open_visit(session.book, {paths.front(), std::nullopt, house, std::nullopt}, session.diagnostics);
  const auto now = open_visit(session.book, {paths.back(), std::nullopt, house, std::nullopt}, session.diagnostics);
  if (!then || !now) return session.finish();
  refuse_a_strange_pair(session, *then, *now);
  DriftHead head{instrument_of(now->tree->instrument), now->program.house, {&then->program, &now->program}, {}};
  std::vector<SeenVisit> between;
  std::optional<HouseVisits> visits;
  if (now->tree->instrument.id) {
    visits.emplace(session.book, now->house, now->tree->instrument.id->text);
    for (const HouseVisit* visit : good_ones(session, *visits, head)) {
      if (lies_between(*visit, *then, *now)) between.push_back({&*visit->program, &*visit->judgement});
    }
  }
  const Drift moved = drift({&then->program, &then->judgement}, {&now->program, &now->judgement}, between);
  (void)session.finish();
  Json document = json_head("drift", session.diagnostics, session.sources);
  add_drift(document, head, moved);
  session.result(session.options.json ? json_text(document) : drift_text(head, moved));
  return status_of(now->judgement, make_plan(now->program, now->judgement));
}

[[noreturn]] void no_such_instrument(Session& session, const HouseTree* house, const std::string& id) {
  if (std::filesystem::exists(id))
    throw WorldError(fmt::format("'{}' is a file: drift takes two visits, or an instrument's id", id));
  std::vector<std::string> ids;
  const HouseVisits all(session.book, house);
  for (const HouseVisit& visit : all.all()) {
    if (visit.tree && visit.tree->instrument.id) ids.push_back(visit.tree->instrument.id->text);
  }
  throw WorldError(fmt::format("no visit of an instrument '{}' that can be read{}", id, did_you_mean(id, ids)));
}

int drift_over_time(Session& session) {
  const std::string& id = session.options.paths.front();
  const std::string folder = session.options.house.empty() ? "." : session.options.house;
  const HouseTree* house = session.book.house_above(folder);
  if (session.diagnostics.has_errors()) return session.finish();
  if (house == nullptr) throw WorldError(fmt::format("no house.yaml in '{}'; say where with --house DIR", folder));
  HouseVisits visits(session.book, house, id);
  DriftHead head;
  const auto good = good_ones(session, visits, head);
  if (good.empty()) no_such_instrument(session, house, id);
  head.instrument = instrument_of(good.back()->tree->instrument);
  head.house = good.back()->program->house;
  std::vector<SeenVisit> seen;
  for (const HouseVisit* visit : good) {
    head.shown.push_back(&*visit->program);
    seen.push_back({&*visit->program, &*visit->judgement});
  }
  const History over_time = history(seen);
  (void)session.finish();
  Json document = json_head("drift", session.diagnostics, session.sources);
  add_history(document, head, over_time);
  session.result(session.options.json ? json_text(document) : history_text(head, over_time));
  return status_of(*seen.back().judgement, make_plan(*seen.back().program, *seen.back().judgement));
}

int drift_command(Session& session) {
  if (session.options.paths.size() > 2) throw WorldError("drift takes two visits, or an instrument's id");
  return session.options.paths.size() == 2 ? drift_of_two(session) : drift_over_time(session);
}

int board_command(Session& session) {
  const std::string& path = session.options.paths.front();
  const HouseTree* house = session.book.house_above(path);
  if (session.diagnostics.has_errors()) return session.finish();
  if (house == nullptr) throw WorldError(fmt::format("no house.yaml in '{}'", path));
  HouseVisits visits(session.book, house);
  const Board open = board(visits, day_of(session.options), session.sources);
  const std::string name = house->label ? house->label->text : house->name.text;
  (void)session.finish();
  Json document = json_head("board", session.diagnostics, session.sources);
  add_board(document, open, name);
  session.result(session.options.json ? json_text(document) : board_text(open, name));
  return status_of(open);
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
      {"check", check_command}, {"work", work_command},   {"why", why_command},
      {"sheet", sheet_command}, {"new", new_command},     {"note", note_command},
      {"learn", learn_command}, {"drift", drift_command}, {"board", board_command}};
  Session session(options);
  return commands.at(options.command)(session);
}

}  // namespace stringline
