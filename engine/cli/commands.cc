// The one place where all stages meet: text, tree, program, judgement, plan, paper.
#include "engine/cli/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"

namespace stringline {
namespace {

void print(std::FILE* stream, const std::string& text) { (void)std::fwrite(text.data(), 1, text.size(), stream); }

struct Session {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book;

  explicit Session(const Options& options) : book(options.shipped, sources, diagnostics) {}

  // Tells the author everything; 3 when something is wrong.
  int finish(const Options& options) {
    print(stderr, render(diagnostics, sources, options.colour));
    return diagnostics.has_errors() ? 3 : 0;
  }
};

void check_profile(Session& session, const HouseTree* house, const Word& name) {
  const auto layers = session.book.layers(name);
  if (layers) (void)check({house, *layers, nullptr}, session.diagnostics);
}

void check_visit(Session& session, const HouseTree* house, const std::string& path) {
  const VisitTree* visit = session.book.visit(path);
  if (visit == nullptr || !visit->profile) return;
  const auto layers = session.book.layers(*visit->profile);
  if (layers) (void)check({house, *layers, visit}, session.diagnostics);
}

void check_path(Session& session, const std::string& path) {
  namespace fs = std::filesystem;
  const HouseTree* house = session.book.house_above(path);
  if (!fs::is_directory(path)) {
    if (fs::path(path).filename() == "house.yaml") return;
    const bool visit = fs::path(path).parent_path().filename() == "visits";
    if (visit) return check_visit(session, house, path);
    const ProfileTree* profile = session.book.profile_file(path);
    if (profile != nullptr) {
      std::vector<const ProfileTree*> layers{profile};
      if (profile->based_on) {
        const auto below = session.book.layers(*profile->based_on);
        if (!below) return;
        layers.insert(layers.begin(), below->begin(), below->end());
      }
      (void)check({house, layers, nullptr}, session.diagnostics);
    }
    return;
  }
  if (house == nullptr && !session.diagnostics.has_errors())
    throw WorldError(fmt::format("no house.yaml in '{}'", path));
  for (const std::string& name : session.book.profile_names()) check_profile(session, house, {name, {}});
  for (const std::string& visit : session.book.visit_paths()) check_visit(session, house, visit);
}

int status_of(const Judgement& judgement, const Plan& plan) {
  if (judgement.ledger[static_cast<std::size_t>(RuleState::error)] > 0) return 3;
  const auto ready = [](const PlanLine& line) { return line.form == PlanLine::Form::job && !line.waits_for_yes; };
  if (std::any_of(plan.lines.begin(), plan.lines.end(), ready)) return 1;
  return plan.lines.empty() ? 0 : 4;
}

}  // namespace

int check_command(const Options& options) {
  Session session(options);
  for (const std::string& path : options.paths) check_path(session, path);
  return session.finish(options);
}

int work_command(const Options& options) {
  Session session(options);
  const auto visit = open_visit(session.book, options.paths.front(), std::nullopt, session.diagnostics);
  if (!visit) return session.finish(options);
  const Plan plan = make_plan(visit->program, visit->judgement);
  (void)session.finish(options);
  const std::string label = visit->tree->instrument.label ? ", " + visit->tree->instrument.label->text : "";
  const std::string sound =
      clean_text(visit->program, visit->judgement, clean_sides(visit->program, visit->judgement)) +
      chords_text(visit->program, sourness(visit->program, visit->judgement));
  print(stdout, work_text(visit->program, visit->judgement, plan,
                          fmt::format("visit {}{}", visit->program.visit, label), sound));
  if (options.all) print(stdout, ledger_text(visit->program, visit->judgement));
  return status_of(visit->judgement, plan);
}

}  // namespace stringline
