// Runs the passes of passes.h in order. See check.h.
#include "engine/check/check.h"

#include <algorithm>

#include "engine/check/axes.h"
#include "engine/check/evaluate.h"
#include "engine/check/facts.h"
#include "engine/check/passes.h"
#include "engine/check/sequence.h"

namespace stringline {
namespace {

Result fact_of(const Program& program, const char* name) {
  const Nothing nothing(program);
  for (const FactInfo& fact : program.facts) {
    if (fact.name == name && fact.value) return Evaluator(program, nothing).evaluate(*fact.value);
  }
  return number_result(Interval::anything(), Unit::none);
}

double number_of(const Program& program, const char* name, double otherwise = 0) {
  const Result value = fact_of(program, name);
  return !value.failure && value.value.number.is_exact() ? value.value.number.lo->to_double() : otherwise;
}

// The instrument as the model wants it.
void state_neck(Program& program) {
  program.scale_mm = number_of(program, "scale");
  if (program.scale_mm <= 0 && !program.strings.empty()) program.scale_mm = program.strings.front().scale_mm;
  program.body_joint = number_of(program, "body_joint");
  program.zero_fret = fact_of(program, "zero_fret").truth() == Truth::yes;
  program.post_span_mm = number_of(program, "post_span");
  program.string_span_mm = number_of(program, "string_span");
  const double from = std::clamp(number_of(program, "neck_shape_from", 0.0), 0.0, 1.0);
  program.neck_shape = {from, std::clamp(number_of(program, "neck_shape_to", 1.0), from, 1.0)};
}

std::optional<Program> check_whole(const Book& book, Diagnostics& out) {
  const std::size_t before = out.error_count();
  LayeredProfile profile = layer(book.layers);
  if (book.visit != nullptr) {
    state_facts(book.visit->instrument.facts, profile, out);
    state_facts(book.visit->player.facts, profile, out);
  }
  check_fact_kinds(profile, out);
  Program program;
  program.profile = profile.name;
  program.label = profile.label;
  if (book.house != nullptr) {
    program.house = book.house->label ? book.house->label->text : book.house->name.text;
    program.decide = book.house->decide;
    program.show_length = book.house->show_length;
  }
  lay_out_axes(profile, book.house, book.visit, program, out);
  declare_readings(profile, program, out);
  Binder binder(profile, program, out);
  binder.declare();
  for (const FactInfo& fact : program.facts) {
    if (fact.name != "pickups" && fact.name != "starts" && fact.name != "scales") (void)binder.fact_type(fact.name);
  }
  Names names = declare_names(profile, book, program, out);
  declare_targets(profile, binder);
  bind_readings(profile, binder);
  state_neck(program);
  bind_targets(profile, names, binder);
  bind_gates(profile, names, binder);
  bind_stops(profile, names, binder);
  bind_rules(profile, names, binder);
  bind_jobs(profile, names, book.visit, binder);
  place_jobs(program);
  if (book.house != nullptr) bind_prices(*book.house, binder);
  if (book.visit != nullptr) {
    program.has_visit = true;
    program.visit = book.visit->id.text;
    bind_wants(*book.visit, names, binder);
    bind_log(*book.visit, profile, names, binder);
    bind_chords(*book.visit, binder);
    check_visit(*book.visit, names, binder);
  }
  if (book.trial != nullptr) bind_expected(*book.trial, names, binder);
  check_fact_names(profile, binder.used_facts(), out);
  if (out.error_count() == before) check_dependence(binder);
  if (out.error_count() == before) check_fit(profile, binder);
  if (out.error_count() > before) return std::nullopt;
  return program;
}

Spoiled spoiled_in(const Book& book) {
  Spoiled all;
  for (const ProfileTree* tree : book.layers) all.add(tree->spoiled);
  if (book.visit != nullptr) all.add(book.visit->spoiled);
  return all;
}

}  // namespace

std::optional<Program> check(const Book& book, Diagnostics& out) {
  const Spoiled spoiled = spoiled_in(book);
  if (!spoiled.any) return check_whole(book, out);
  if (spoiled.everything) return std::nullopt;
  Diagnostics found;  // warnings of what is not whole say little
  (void)check_whole(book, found);
  for (const Diagnostic& each : found.list()) {
    if (info(each.code).severity == Severity::error && !spoiled.holds(each.span) && !spoiled.concerns(each.message))
      out.report(each.code, each.span, each.message, each.hint, each.related);
  }
  return std::nullopt;
}

}  // namespace stringline
