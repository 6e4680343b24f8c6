// The passes inside check, in the order in which check.cc runs them. Each takes the binder and fills its part of the program.
#pragma once

#include <map>
#include <set>
#include <string>

#include "engine/check/bind.h"
#include "engine/check/check.h"
#include "engine/diag/suggest.h"

namespace stringline {

// readings.cc: every reading with its axes, kind and method, then its points.
// False when there are too many, which was reported: then nothing else can be bound.
[[nodiscard]] bool declare_readings(const LayeredProfile& profile, Program& program, Diagnostics& out);
void bind_readings(const LayeredProfile& profile, Binder& binder);
// The method as written -> stations on the neck; nothing when it was reported.
[[nodiscard]] std::optional<Gap> bind_gap(const GapTree& tree, const LayeredProfile& profile, Binder& binder);

// Whether none of a value lies outside what its reading calls plausible: at least 0.2 mm reaches into 0 .. 1.5 mm. Reports it else.
[[nodiscard]] bool is_plausible(const ReadingInfo& reading, const Interval& value, Unit unit, Span span,
                                Binder& binder);

// Names that targets, gates, stops and rules may use.
struct Names {
  std::map<std::string, JobId> jobs;
  std::map<std::string, int> phases;
  const HouseTree* house = nullptr;
  const std::vector<PhaseTree>* order = nullptr;  // the house's, or the book's; null: the profile's own phases
  // A phase or a fee that the house lacks is one mistake, however often a profile names it.
  std::set<std::string> told;

  [[nodiscard]] std::optional<int> phase(const Word& word, Diagnostics& out);
  std::vector<Known> known_jobs;  // what people call them, for whoever writes a label or only nearly a name
  std::map<std::string, std::vector<std::string>> by_label;  // their names, by label in lower case

  [[nodiscard]] std::optional<JobId> job(const Word& word, Diagnostics& out) const;
  // In a log a job may be called by its label too, where that is one job's alone. `of_package`: what to say to a package.
  [[nodiscard]] std::optional<JobId> logged_job(const Word& word, const char* of_package, Diagnostics& out) const;
  [[nodiscard]] std::optional<JobId> find_logged_job(const std::string& text) const;  // the same, without a word
  [[nodiscard]] std::vector<std::string> jobs_called(const std::string& label) const;
  void part(const Word& word, Diagnostics& out) const;  // of the house, which must be there
};
[[nodiscard]] Names declare_names(const LayeredProfile& profile, const Book& book, Program& program, Diagnostics& out);
using JobChoices = std::optional<std::vector<NameChoice>>;
[[nodiscard]] std::optional<JobChoice> bind_job_choice(const NameChoice& choice, const Scope& scope, Names& names,
                                                       Binder& binder);
[[nodiscard]] std::vector<JobChoice> bind_job_choices(const JobChoices& choices, const Scope& scope, Names& names,
                                                      Binder& binder);
// A key with `gaps` or `all` standing for many readings.
[[nodiscard]] std::vector<PointId> bind_points(const std::vector<KeyPath>& keys, Binder& binder);

// Ends that are known at check must not cross, and an aim must lie inside them.
void check_ends(const TypedRange& range, Binder& binder);

// targets.cc: keys -> one target a point, the narrowest key of the latest layer winning leaf by leaf.
void declare_targets(const LayeredProfile& profile, Binder& binder);
void bind_targets(const LayeredProfile& profile, Names& names, Binder& binder);
void bind_wants(const VisitTree& visit, Names& names, Binder& binder);

// jobs.cc: gates, stops, rules, jobs.
void bind_gates(const LayeredProfile& profile, Names& names, Binder& binder);
void bind_stops(const LayeredProfile& profile, Names& names, Binder& binder);
void bind_rules(const LayeredProfile& profile, Names& names, Binder& binder);
void bind_jobs(const LayeredProfile& profile, Names& names, const VisitTree* visit, Binder& binder);

// fit.cc: whether jobs, their controls and the targets they serve fit together; run on a program without other mistakes.
void check_fit(const LayeredProfile& profile, Binder& binder);

// dependence.cc: no range, verdict or computed reading hangs on itself; what each hangs on, and in which order they come.
void check_dependence(Binder& binder);

// visit.cc: what a visit says of its house, its profile and itself, besides the log's readings.
void check_visit(const VisitTree& visit, const Names& names, Binder& binder);

// expected.cc: what must come out of a trial.
void bind_expected(const TrialTree& trial, const Names& names, Binder& binder);

// prices.cc: what the house asks, with its tables by profile settled for this one.
void bind_prices(const HouseTree& house, Binder& binder);

// log.cc: the bench log of a visit, and the chords its player names.
void bind_chords(const VisitTree& visit, Binder& binder);
void bind_log(const VisitTree& visit, const LayeredProfile& profile, Names& names, Binder& binder);

}  // namespace stringline
