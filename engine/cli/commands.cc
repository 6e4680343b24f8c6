// The one place where all stages meet: text, tree, program, judgement, plan, paper.
#include "engine/cli/commands.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "engine/book/board.h"
#include "engine/book/check_book.h"
#include "engine/book/drift.h"
#include "engine/book/handover.h"
#include "engine/book/house_visits.h"
#include "engine/book/log_entry.h"
#include "engine/book/open_trials.h"
#include "engine/book/propose.h"
#include "engine/book/told.h"
#include "engine/check/layer.h"
#include "engine/cli/progress.h"
#include "engine/cli/session.h"
#include "engine/cli/work.h"
#include "engine/cli/work_lines.h"
#include "engine/diag/render.h"
#include "engine/diag/suggest.h"
#include "engine/judge/came_in.h"
#include "engine/paper/board.h"
#include "engine/paper/board_page.h"
#include "engine/paper/drift.h"
#include "engine/paper/drift_page.h"
#include "engine/paper/estimate_json.h"
#include "engine/paper/estimate_page.h"
#include "engine/paper/estimate_text.h"
#include "engine/paper/handover_json.h"
#include "engine/paper/handover_page.h"
#include "engine/paper/handover_paper.h"
#include "engine/paper/json.h"
#include "engine/paper/learn.h"
#include "engine/paper/lines.h"
#include "engine/paper/schema.h"
#include "engine/paper/sheet.h"
#include "engine/paper/sheet_page.h"
#include "engine/paper/text.h"
#include "engine/paper/trial.h"
#include "engine/paper/why.h"
#include "engine/paper/work_page.h"
#include "engine/plan/plan.h"

namespace stringline {
namespace {

std::string title_of(const OpenVisit& visit) {
  const std::string label = visit.tree->instrument.label ? ", " + visit.tree->instrument.label->text : "";
  return fmt::format("visit {}{}", visit.program.visit, label);
}

WorkPageHead page_head(const OpenVisit& visit) {
  const VisitTree& tree = *visit.tree;
  const auto text = [](const std::optional<Word>& word) { return word ? word->text : std::string(); };
  return {title_of(visit), text(tree.owner), tree.due ? to_text(*tree.due) : "", text(tree.player.says)};
}

// The result of a command that has a document and a text: what --json asks for.
void show(const Session& session, const Json& document, const std::string& text) {
  session.result(session.options.json ? json_text(document) : text);
}

// The same where there is a page too.
template <typename Page>
void show(const Session& session, const Json& document, const std::string& text, Page page) {
  session.options.html ? session.result(page()) : show(session, document, text);
}

int check_command(Session& session) {
  std::vector<std::string> unread;
  for (const std::string& path : session.options.paths)
    check_path(session.book, path, session.options.house, session.diagnostics, unread);
  if (session.options.json) {
    Json document = session.document();
    if (!unread.empty()) document["error"] = fmt::format("{}", fmt::join(unread, "; "));
    session.result(json_text(document));
  } else if (!session.options.output.empty()) {
    session.result(render(session.diagnostics, session.sources, false));
  } else {
    (void)session.finish();
  }
  for (const std::string& each : unread) (void)std::fprintf(stderr, "stringline: %s\n", on_one_line(each).c_str());
  return !unread.empty() ? 2 : session.diagnostics.has_errors() ? 3 : 0;
}

int work_command(Session& session) {
  if (session.options.lines) return work_lines(session.options);
  const auto visit = session.visit();
  if (!visit) return session.finish();
  const Program& program = visit->program;
  const Judgement& judgement = visit->judgement;
  const Work work = work_of(*visit, day_of(session.options), session.diagnostics);
  (void)session.finish();
  if (session.options.json) {
    Json document = session.document();
    add_work(document, *visit, work, session.sources);
    session.result(json_text(document));
    return work.status;
  }
  const auto chords = sourness(program, judgement);
  const auto clean = clean_sides(program, judgement);
  if (session.options.html) {
    const auto before = came_in(program, visit->last ? &*visit->last : nullptr);
    session.result(work_page(program, judgement, work.plan, page_head(*visit), {clean, chords, before}));
    return work.status;
  }
  const std::string sound = clean_text(program, judgement, clean) + chords_text(program, chords);
  const std::string rules = session.options.all ? ledger_text(program, judgement) : "";
  session.result(work_text(program, judgement, work.plan, title_of(*visit), sound) + rules);
  return work.status;
}

int why_command(Session& session) {
  const auto visit = session.visit();
  if (!visit) return session.finish();
  const Plan plan = make_plan(visit->program, visit->judgement);
  const auto answers = why({visit->program, visit->judgement, plan, session.sources}, session.options.words);
  if (!answers.unknown.empty()) throw UsageError(answers.unknown);
  (void)session.finish();
  Json document = session.document();
  add_why(document, {visit->program, visit->judgement, plan, session.sources}, answers.all);
  show(session, document, why_text(answers.all));
  return status_of(visit->judgement, plan);
}

// A sum that was agreed and would be passed by more than the house allows itself keeps everything waiting.
int status_of_estimate(const OpenVisit& visit, const Plan& plan, const Estimate& estimate) {
  const int status = status_of(visit.judgement, plan);
  return estimate.ceiling && estimate.ceiling->ask_again && status != 3 ? 4 : status;
}

int estimate_command(Session& session) {
  const auto visit = session.visit();
  if (!visit) return session.finish();
  if (visit->house == nullptr) throw WorldError("an estimate needs prices, and no house.yaml lies above the visit");
  const Plan plan = make_plan(visit->program, visit->judgement);
  const Date day = day_of(session.options);
  const EstimateInput in{
      visit->program, *visit->house, *visit->tree, visit->judgement, plan, day, visit->last ? &*visit->last : nullptr};
  const bool final_bill = session.options.final_bill;
  const auto estimate = final_bill ? make_final(in, session.diagnostics) : make_estimate(in, session.diagnostics);
  if (!estimate) return session.finish();
  const auto told = final_bill ? told_before_work(session.book, *visit, day) : std::nullopt;
  const auto changes = told ? differences(*told, *estimate, in) : std::vector<Difference>();
  (void)session.finish();
  if (session.options.html) {
    session.result(final_bill ? final_page(*estimate, told, changes)
                              : estimate_page(*estimate, in, clean_sides(visit->program, visit->judgement)));
    return status_of_estimate(*visit, plan, *estimate);
  }
  Json document = session.document();
  if (final_bill)
    add_final(document, *estimate, told, changes);
  else
    add_estimate(document, *estimate);
  show(session, document, final_bill ? final_text(*estimate, told, changes) : estimate_text(*estimate));
  return status_of_estimate(*visit, plan, *estimate);
}

int handover_command(Session& session) {
  const auto visit = session.visit();
  if (!visit) return session.finish();
  const Plan plan = make_plan(visit->program, visit->judgement);
  const auto before = came_in(visit->program, visit->last ? &*visit->last : nullptr);
  const Handover sheet = handover(*visit, before, plan, day_of(session.options));
  (void)session.finish();
  Json document = session.document();
  add_handover(document, sheet);
  show(session, document, handover_text(sheet), [&] { return handover_page(sheet, *visit, before); });
  return status_of(visit->judgement, plan);
}

// A profile of the house or of the program, without an instrument.
std::optional<Program> profile_alone(Session& session, const HouseTree* house) {
  const std::string& name = session.options.paths.front();
  const auto known = session.book.profile_names();
  if (std::find(known.begin(), known.end(), name) == known.end()) {
    const std::string near = nearest(name, known) ? did_you_mean(name, known) : "";
    const std::string remedy = house == nullptr ? "; one of your own is found in its house, or with --house DIR"
                                                : fmt::format("; in reach are {}", fmt::join(known, ", "));
    throw UsageError(fmt::format("no profile '{}'{}", name, near.empty() ? remedy : near));
  }
  const auto layers = session.book.layers({name, {}});
  return layers ? check({house, *layers, nullptr}, session.diagnostics) : std::nullopt;
}

// A file to begin with: to --output, where nothing may be yet, or to standard output.
int begin_file(Session& session, const std::string& text) {
  const std::string& file = session.options.output;
  if (!file.empty()) write_new_file(file, text);
  Json document = session.document();
  document["written"] = file.empty() ? Json(nullptr) : Json(file);
  document["text"] = text;
  (void)session.finish();
  if (session.options.json)
    print_result(json_text(document));
  else if (file.empty())
    print_result(text);
  return 0;
}

int sheet_command(Session& session) {
  const HouseTree* house = session.house_for(".");
  const auto program = profile_alone(session, house);
  if (!program) return session.finish();
  if (session.options.html) {
    (void)session.finish();
    session.result(sheet_page(*program));
    return 0;
  }
  return begin_file(session, sheet_text(*program, house, session.new_id("sheet"), day_of(session.options)));
}

int new_command(Session& session) {
  const HouseTree* house = session.house_for(".");
  const auto program = profile_alone(session, house);
  if (!program) return session.finish();
  const Date day = day_of(session.options);
  return begin_file(session, new_visit_text(*program, house, session.new_id(to_text(day)), day));
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
  const HouseTree* house = session.house_named();
  const auto learnt = learn(programs_of(session, house));
  const int status = session.finish();
  if (status != 0) return status;
  Json document = session.document();
  add_learnt(document, learnt);
  show(session, document, learn_text(learnt));
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
  const std::string& house = session.options.house;
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
  Json document = session.document();
  add_drift(document, head, moved);
  show(session, document, drift_text(head, moved), [&] {
    return drift_page(head, moved, {&then->program, &then->judgement}, {&now->program, &now->judgement});
  });
  return status_of(now->judgement, make_plan(now->program, now->judgement));
}

// An instrument may be called like a file, so this is looked at when nothing else was found.
void refuse_one_visit(const std::string& id) {
  if (std::filesystem::exists(id))
    throw WorldError(fmt::format("'{}' is a file: drift takes two visits, or an instrument's id", id));
}

[[noreturn]] void no_such_instrument(Session& session, const HouseTree* house, const std::string& id) {
  refuse_one_visit(id);
  std::vector<std::string> ids;
  const HouseVisits all(session.book, house);
  for (const HouseVisit& visit : all.all()) {
    if (visit.tree && visit.tree->instrument.id) ids.push_back(visit.tree->instrument.id->text);
  }
  throw WorldError(fmt::format("no visit of an instrument '{}' that can be read{}", id, did_you_mean(id, ids)));
}

int drift_over_time(Session& session) {
  const std::string& id = session.options.paths.front();
  const HouseTree* house = session.house_for(".");
  if (session.diagnostics.has_errors()) return session.finish();
  if (house == nullptr) refuse_one_visit(id);
  if (house == nullptr) throw WorldError("no house.yaml here or above; say where with --house DIR");
  Progress reading("visits looked at");
  HouseVisits visits(session.book, house, id, [&](auto done, auto all) { reading.tell(done, all); });
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
  Json document = session.document();
  add_history(document, head, over_time);
  show(session, document, history_text(head, over_time), [&] { return history_page(head, over_time); });
  return status_of(*seen.back().judgement, make_plan(*seen.back().program, *seen.back().judgement));
}

int drift_command(Session& session) {
  if (session.options.paths.size() > 2) throw WorldError("drift takes two visits, or an instrument's id");
  return session.options.paths.size() == 2 ? drift_of_two(session) : drift_over_time(session);
}

int board_command(Session& session) {
  const HouseTree* house = session.house_named();
  if (session.diagnostics.has_errors()) return session.finish();
  Progress reading("visits read");
  HouseVisits visits(session.book, house, std::nullopt, [&](auto done, auto all) { reading.tell(done, all); });
  Progress judging("visits judged");
  const Board open =
      board(visits, day_of(session.options), session.sources, [&](auto done, auto all) { judging.tell(done, all); });
  const std::string name = house->label ? house->label->text : house->name.text;
  (void)session.finish();
  Json document = session.document();
  add_board(document, open, name);
  show(session, document, board_text(open, name), [&] { return board_page(open, name); });
  return status_of(open);
}

int schema_command(Session& session) {
  const std::string& kind = session.options.paths.front();
  const auto& kinds = schema_kinds();
  if (std::find(kinds.begin(), kinds.end(), kind) == kinds.end())
    throw UsageError(fmt::format("there is no schema of '{}'{}", kind, did_you_mean(kind, kinds)));
  session.result(json_text(schema_of(kind)));
  return 0;
}

// A list written over the file it was made from would be the end of that file.
void refuse_to_write_over(const Options& options, const std::string& path) {
  std::error_code error;
  if (!options.output.empty() && std::filesystem::equivalent(options.output, path, error))
    throw UsageError(fmt::format("--output would write over '{}' itself", path));
}

int propose(Session& session) {
  const std::string& name = session.options.paths.front();
  const HouseTree* house = session.house_for(".");
  if (!profile_alone(session, house)) return session.finish();
  const std::string path = session.book.trials_path(name);
  const TrialsTree* file = path.empty() ? nullptr : session.book.trials(path);
  const auto layers = session.book.layers({name, {}});
  if (!layers || session.diagnostics.has_errors()) return session.finish();
  const auto text = propose_trials({name, {house, *layers}, file}, session.sources, session.diagnostics);
  return text ? begin_file(session, *text) : session.finish();
}

int trial_command(Session& session) {
  if (session.options.propose) return propose(session);
  const auto open =
      open_trials(session.book, session.options.paths.front(), session.options.house, session.diagnostics);
  const int mistakes = session.finish();
  if (mistakes != 0 || !open) return mistakes;
  refuse_to_write_over(session.options, open->path);
  std::vector<TrialRun> runs;
  TrialPaper paper{*open, {}, {}};
  for (const Trial& trial : open->trials) {
    runs.push_back(run_trial(trial, trial.program));
    paper.unexpected.push_back(unexpected_in(trial.program, runs.back()));
  }
  paper.coverage = coverage(open->trials, runs, session.sources);
  Json document = session.document();
  add_trials(document, paper, session.sources);
  show(session, document, trial_text(paper, session.sources, session.options.all));
  const bool good = std::all_of(paper.unexpected.begin(), paper.unexpected.end(),
                                [](const auto& unexpected) { return unexpected.empty(); });
  return good && (!session.options.complete || paper.coverage.is_complete()) ? 0 : 1;
}

// A visit may end with work undone; how much of it.
std::string closed_text(const Program& program, const Judgement& judgement) {
  Judgement open = judgement;
  open.closed = false;
  const Plan rest = make_plan(program, open);
  const std::size_t lines = rest.lines.size() + rest.conflicts.size();
  if (lines == 0) return "closed; nothing was left to do\n";
  return fmt::format("closed with {} of work left\n", lines == 1 ? "one line" : fmt::format("{} lines", lines));
}

// The first line of the list as it is now.
std::string next_text(const Program& program, const Judgement& judgement, const Plan& plan) {
  if (judgement.closed) return closed_text(program, judgement);
  if (plan.lines.empty() && !plan.conflicts.empty()) return printable(folded(plan.conflicts.front().why)) + "\n";
  if (plan.lines.empty()) return "nothing is left to do\n";
  Plan first = plan;
  first.lines.resize(1);
  return lines_text(program, judgement, first);
}

// The names a note may use; none where the visit's profile can not be read, which is told.
KnownWords known_words(Session& session, const VisitTree& visit) {
  KnownWords known;
  const auto layers = visit.profile ? session.book.layers(*visit.profile) : std::nullopt;
  if (!layers) return known;
  const LayeredProfile profile = layer(*layers);
  for (const auto& [name, job] : profile.jobs)
    known.jobs.emplace_back(name, job.tree.label ? job.tree.label->text : "");
  for (const auto& [name, reading] : profile.readings) known.readings.insert(name);
  return known;
}

// What the file says with the entry in it; nothing when it has mistakes of its own.
std::optional<NewEntry> noted(Session& session, const std::string& path, const std::string& before) {
  const VisitTree* tree = session.book.visit(path, without_empty_log(before));
  if (tree == nullptr || tree->spoiled.any) return std::nullopt;
  try {
    const KnownWords known = known_words(session, *tree);
    if (session.diagnostics.has_errors()) return std::nullopt;
    return with_entry(before, *tree, session.options.words, day_of(session.options), known);
  } catch (const EntryError& error) {
    throw UsageError(error.what());
  }
}

int note_command(Session& session) {
  const std::string& path = session.options.paths.front();
  if (path == "-") throw UsageError("'note' writes into the visit's file; standard input is none");
  (void)session.house_for(path);  // what leads out of its folder is neither read nor written
  const std::string before = session.book.read_inside(path);
  const auto entry = noted(session, path, before);
  const auto visit = entry ? session.visit(entry->text) : nullptr;
  if (!visit) return session.refuse("nothing was written");
  session.refuse_unless_it_can_be_told();
  if (session.book.read_inside(path) != before)
    throw WorldError(fmt::format("'{}' was changed meanwhile; note again", path));
  write_file(path, entry->text);
  session.hear_only_of(
      {visit->tree->source, static_cast<std::uint32_t>(entry->begin), static_cast<std::uint32_t>(entry->end)});
  const Work work = work_of(*visit, day_of(session.options), session.diagnostics);
  (void)session.finish();
  Json document = session.document();
  add_note(document, {visit->program, visit->judgement, work.plan, session.sources}, path,
           entry->text.substr(entry->begin, entry->end - entry->begin));
  const std::string told = work.asks ? printable(folded(work.plan.told.front())) + "\n" : "";
  try {
    show(session, document, told + next_text(visit->program, visit->judgement, work.plan));
  } catch (const WorldError& error) {
    throw WorldError(fmt::format("{}; the entry is in '{}' all the same", error.what(), path));
  }
  return work.status;
}

// `work - < FOLDER`: nothing can be read from it, which would look like an empty file.
void refuse_folder_as_input(const std::vector<std::string>& paths) {
  struct stat input = {};
  if (std::count(paths.begin(), paths.end(), "-") == 0 || ::fstat(STDIN_FILENO, &input) != 0) return;
  if (S_ISDIR(input.st_mode)) throw WorldError("standard input is a folder, and not a file");
}

}  // namespace

int run(const Options& options) {
  using Command = int (*)(Session&);
  static const std::map<std::string, Command> commands{
      {"check", check_command},       {"work", work_command},         {"why", why_command},
      {"sheet", sheet_command},       {"new", new_command},           {"note", note_command},
      {"learn", learn_command},       {"drift", drift_command},       {"board", board_command},
      {"estimate", estimate_command}, {"handover", handover_command}, {"trial", trial_command},
      {"schema", schema_command}};
  for (const std::string& path : options.paths) refuse_to_write_over(options, path);
  if (!options.house.empty()) HouseBook::refuse_no_house(options.house);  // before anything is read
  refuse_folder_as_input(options.paths);
  Session session(options);
  return commands.at(options.command)(session);
}

}  // namespace stringline
