// Runs the passes of passes.h in order. See check.h.
#include "engine/check/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "engine/check/axes.h"
#include "engine/check/disturb.h"
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

// A slip of unit or of a decimal point. Common practice, no source: a scale under 200 mm or over 1500 mm is nobody's.
void look_at_scale(const Program& program, Diagnostics& out) {
  const auto scale = std::find_if(program.facts.begin(), program.facts.end(),
                                  [](const FactInfo& fact) { return fact.name == "scale" && fact.value; });
  if (scale == program.facts.end() || !(scale->type.dimension == dimension::length)) return;
  const bool known = program.scale_mm > 0;
  if (!known || (program.scale_mm >= 200 && program.scale_mm <= 1500)) return;
  const Result value = fact_of(program, "scale");
  out.report(Code::odd_scale, scale->value->span,
             fmt::format("a scale of {} is no fretted instrument's", to_text(value.value)),
             "a slip of unit or of a decimal point? scales go from 200 mm to 1500 mm");
}

// One program in the making, with what its passes hand on to each other.
struct Making {
  LayeredProfile profile;
  Program program;
  Diagnostics found;
  Binder binder;
  Names names;

  explicit Making(const std::vector<const ProfileTree*>& layers)
      : profile(layer(layers)), binder(profile, program, found) {}
  Making(const Making&) = delete;
  Making& operator=(const Making&) = delete;
  ~Making() = default;
};

// All that visits to instruments of one kind share: the shop's specs, the facts, the strings, the package. False where so much
// is wrong that nothing more can be bound.
[[nodiscard]] bool check_kind(const Book& book, Making& making) {
  LayeredProfile& profile = making.profile;
  Program& program = making.program;
  Binder& binder = making.binder;
  Names& names = making.names;
  Diagnostics& out = making.found;
  if (book.visit != nullptr) {
    state_facts(book.visit->instrument.facts, profile, out);
    state_facts(book.visit->player.facts, profile, out);
  }
  check_free_names(profile, out);
  check_fact_kinds(profile, out);
  program.profile = profile.name;
  program.label = profile.label;
  if (book.house != nullptr) {
    program.house = book.house->label ? book.house->label->text : book.house->name.text;
    program.decide = book.house->decide;
    program.show_length = book.house->show_length;
  }
  lay_out_axes(profile, book.house, book.visit, program, out);
  if (!declare_readings(profile, program, out)) return false;
  binder.declare();
  declare_targets(profile, binder);
  for (const FactInfo& fact : program.facts) {
    if (fact.name != "pickups" && fact.name != "starts" && fact.name != "scales") (void)binder.fact_type(fact.name);
  }
  names = declare_names(profile, book, program, out);
  bind_readings(profile, binder);
  state_neck(program);
  place_gaps(program);
  look_at_scale(program, out);
  bind_targets(profile, names, binder);
  bind_gates(profile, names, binder);
  bind_stops(profile, names, binder);
  bind_rules(profile, names, binder);
  bind_jobs(profile, names, book.visit, binder);
  place_jobs(program);
  if (book.house != nullptr) bind_prices(*book.house, binder);
  return true;
}

void check_own(const VisitTree& visit, Making& making) {
  making.program.has_visit = true;
  making.program.visit = visit.id.text;
  bind_wants(visit, making.names, making.binder);
  bind_log(visit, making.profile, making.names, making.binder);
  bind_chords(visit, making.binder);
  check_visit(visit, making.names, making.binder);
}

// Whether it all fits together; asked of parts that are right.
void check_together(Making& making) {
  Diagnostics& out = making.found;
  const std::set<std::string> idle = check_fact_names(making.profile, making.binder.used_facts(), out);
  for (FactInfo& fact : making.program.facts) fact.used = idle.count(fact.name) == 0;
  if (!out.has_errors()) check_dependence(making.binder);
  if (!out.has_errors()) check_fit(making.profile, making.binder);
}

std::optional<Program> check_whole(const Book& book, Diagnostics& out) {
  Making making(book.layers);
  if (check_kind(book, making)) {
    if (book.visit != nullptr) check_own(*book.visit, making);
    if (book.trial != nullptr) bind_expected(*book.trial, making.names, making.binder);
    check_together(making);
  }
  out.report_all(making.found);
  if (making.found.has_errors()) return std::nullopt;
  return std::move(making.program);
}

Spoiled spoiled_in(const Book& book) {
  Spoiled all;
  for (const ProfileTree* tree : book.layers) all.add(tree->spoiled);
  if (book.visit != nullptr) all.add(book.visit->spoiled);
  return all;
}

bool same_strings(const std::optional<StringsTree>& a, const std::optional<StringsTree>& b) {
  if (!a || !b) return a.has_value() == b.has_value();
  if (a->set || b->set) return a->set && b->set && a->set->text == b->set->text;
  return std::equal(a->courses.begin(), a->courses.end(), b->courses.begin(), b->courses.end(),
                    [](const Course& one, const Course& other) { return one.strings == other.strings; });
}

// A table is never taken for the same as another.
bool same_value(const FactTree& a, const FactTree& b) {
  const auto* one = std::get_if<ExprChoice>(&a.value);
  const auto* other = std::get_if<ExprChoice>(&b.value);
  if (one != nullptr && other != nullptr) {
    const auto* x = std::get_if<ExprPtr>(&one->node);
    const auto* y = std::get_if<ExprPtr>(&other->node);
    return x != nullptr && y != nullptr && same(**x, **y);
  }
  const auto* list = std::get_if<std::vector<ExprPtr>>(&a.value);
  const auto* other_list = std::get_if<std::vector<ExprPtr>>(&b.value);
  if (list != nullptr && other_list != nullptr) {
    return std::equal(list->begin(), list->end(), other_list->begin(), other_list->end(),
                      [](const ExprPtr& x, const ExprPtr& y) { return same(*x, *y); });
  }
  const auto* map = std::get_if<std::vector<FactTree::MapItem>>(&a.value);
  const auto* other_map = std::get_if<std::vector<FactTree::MapItem>>(&b.value);
  return map != nullptr && other_map != nullptr &&
         std::equal(map->begin(), map->end(), other_map->begin(), other_map->end(), [](const auto& x, const auto& y) {
           return x.key.text == y.key.text && x.value && y.value && same(*x.value, *y.value);
         });
}

bool same_facts(const std::vector<FactTree>& a, const std::vector<FactTree>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const FactTree& one, const FactTree& other) {
    return one.name.text == other.name.text && same_value(one, other);
  });
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

constexpr std::size_t kinds_kept = 100;  // a program is some hundred kilobytes

struct ManyChecks::Kind {
  std::vector<const ProfileTree*> layers;
  std::vector<FactTree> instrument;  // as the first visit states them
  std::vector<FactTree> player;
  std::optional<StringsTree> strings;
  std::optional<StringsTree> slots;
  std::string package;
  Making making;
  std::uint64_t steps = 0;  // of what they share
  bool held = false;        // somebody has the program

  Kind(const std::vector<const ProfileTree*>& from, const VisitTree& visit)
      : layers(from),
        instrument(visit.instrument.facts),
        player(visit.player.facts),
        strings(visit.instrument.strings),
        slots(visit.instrument.slots),
        package(visit.package ? visit.package->text : ""),
        making(from) {}

  [[nodiscard]] bool fits(const std::vector<const ProfileTree*>& other, const VisitTree& visit) const {
    return layers == other && package == (visit.package ? visit.package->text : "") &&
           same_strings(strings, visit.instrument.strings) && same_strings(slots, visit.instrument.slots) &&
           same_facts(instrument, visit.instrument.facts) && same_facts(player, visit.player.facts);
  }

  // Back to what all of the kind share.
  void clear() {
    making.program.log.clear();
    making.program.chords.clear();
    for (TargetInfo& target : making.program.targets) target.want.reset();
    making.names.told.clear();
    making.binder.set_steps(steps);
  }
};

ManyChecks::ManyChecks(const HouseTree* house) : house_(house) {}
ManyChecks::~ManyChecks() = default;

// A kind is kept only when nothing at all was said of it: what is told must name the places of the visit at hand. For the same
// reason a visit with a mistake of its own is looked at by itself.
std::shared_ptr<const Program> ManyChecks::check(const std::vector<const ProfileTree*>& layers, const VisitTree& visit,
                                                 Diagnostics& out) {
  const Book book{house_, layers, &visit};
  const auto alone = [&]() -> std::shared_ptr<const Program> {
    auto program = stringline::check(book, out);
    return program ? std::make_shared<const Program>(std::move(*program)) : nullptr;
  };
  if (spoiled_in(book).any) return alone();
  auto found = std::find_if(kinds_.begin(), kinds_.end(), [&](const auto& kind) { return kind->fits(layers, visit); });
  if (found == kinds_.end()) {
    auto fresh = std::make_unique<Kind>(layers, visit);
    if (check_kind(book, fresh->making)) check_together(fresh->making);
    fresh->steps = fresh->making.binder.steps();
    if (!fresh->making.found.list().empty()) return alone();
    const auto idle = [](const auto& kind) { return !kind->held; };
    if (kinds_.size() >= kinds_kept) {
      const auto oldest = std::find_if(kinds_.rbegin(), kinds_.rend(), idle);
      if (oldest != kinds_.rend()) kinds_.erase(std::next(oldest).base());
    }
    found = kinds_.insert(kinds_.begin(), std::move(fresh));
  } else if ((*found)->held) {
    return alone();
  }
  std::rotate(kinds_.begin(), found, std::next(found));
  Kind& kind = *kinds_.front();
  kind.clear();
  check_own(visit, kind.making);
  if (!visit.wants.empty()) check_together(kind.making);
  if (!kind.making.found.list().empty()) {
    kind.making.found = {};
    if (!visit.wants.empty()) kinds_.erase(kinds_.begin());  // in what order its targets hang on each other is spoiled
    return alone();
  }
  kind.held = true;
  return {&kind.making.program, [&kind](const Program*) { kind.held = false; }};
}

}  // namespace stringline
