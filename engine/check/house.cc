// See house.h.
#include "engine/check/house.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/bind.h"
#include "engine/check/calls.h"
#include "engine/check/layer.h"
#include "engine/check/mentions.h"
#include "engine/diag/suggest.h"

namespace stringline {
namespace {

using NameSet = std::set<std::string>;

std::vector<std::string> listed(const NameSet& names) { return {names.begin(), names.end()}; }

bool has_name(const std::vector<Word>& words, const std::string& name) {
  return std::any_of(words.begin(), words.end(), [&](const Word& word) { return word.text == name; });
}

// What all profiles together know.
struct Known {
  NameSet jobs;
  std::vector<stringline::Known> named_jobs;  // the same, with what the first profile that has it calls it
  NameSet fees;                               // that a gate or a stop charges
  NameSet facts;                              // facts, choices, readings: what a table of prices may ask
  NameSet profiles;
  std::map<std::string, NameSet> phases;  // in which a job may stand, over the profiles
  NameSet unsure;                         // jobs of a used profile with mistakes: where they stand is not known
  NameSet unsure_elsewhere;               // of one that is not in use
  NameSet sure;                           // of a used profile without mistakes

  [[nodiscard]] bool is_unsure(const std::string& job) const {
    return unsure.count(job) > 0 || (unsure_elsewhere.count(job) > 0 && sure.count(job) == 0);
  }

  void add(const HouseProfile& profile) {
    const LayeredProfile layered = layer(profile.layers);
    profiles.insert(profile.name);
    for (const auto& [name, job] : layered.jobs) {
      if (jobs.insert(name).second) named_jobs.push_back({name, job.tree.label ? job.tree.label->text : "", ""});
      if (profile.program == nullptr) (profile.used ? unsure : unsure_elsewhere).insert(name);
      if (profile.program != nullptr && profile.used) sure.insert(name);
    }
    for (const auto& [name, gate] : layered.gates)
      if (gate.tree.charge) fees.insert(gate.tree.charge->text);
    for (const auto& [name, stop] : layered.stops)
      if (stop.tree.charge) fees.insert(stop.tree.charge->text);
    for (const auto& [name, fact] : layered.facts) facts.insert(name);
    for (const auto& [name, choice] : layered.choices) facts.insert(name);
    for (const auto& [name, reading] : layered.readings) facts.insert(name);
    if (profile.program != nullptr) add_phases(*profile.program);
  }

  void add_phases(const Program& program) {
    const std::vector<JobCalls> called = calls(program);
    for (std::size_t at = 0; at < program.jobs.size(); ++at) {
      const JobInfo& job = program.jobs[at];
      for (const int phase : phases_of(program, static_cast<JobId>(at)))
        phases[job.name].insert(program.phases[static_cast<std::size_t>(phase)].name);
      // A gate's job without a phase stands wherever the gate is opened.
      if (job.phase < 0 && called[at].by_gate) unsure.insert(job.name);
    }
  }
};

class HouseCheck {
 public:
  HouseCheck(const HouseTree& house, const std::vector<HouseProfile>& profiles, bool all_read, Diagnostics& out)
      : house_(house), profiles_(profiles), all_read_(all_read), out_(out), binder_(names_, dummy_, out) {
    for (const HouseProfile& profile : profiles) known_.add(profile);
    ChoiceTree choice{{"profile", house.name.span}, {}};
    for (const std::string& name : known_.profiles) choice.states.push_back({name, house.name.span});
    names_.choices["profile"] = {choice, {house.name.span, {}}};
    binder_.declare();
    for (const PhaseTree& phase : house.order) order_.insert(phase.name.text);
    for (const PackageTree& package : house.packages) packages_.insert(package.name.text);
    for (const PriceTree& price : house.prices) priced_.insert(price.name.text);
  }

  void run() {
    for (const PhaseTree& phase : house_.order) jobs_of(phase);
    for (const PackageTree& package : house_.packages) check(package);
    for (const PriceTree& price : house_.prices) check(price);
    shares();
    unpriced();
  }

 private:
  bool known_job(const Word& word) {
    if (known_.jobs.count(word.text) > 0) return true;
    if (out_.is_full()) return false;  // nothing more would be told
    if (all_read_) {
      out_.report(
          Code::unknown_job, word.span,
          fmt::format("no profile has a job '{}'{}", word.text, did_you_mean_one_of(word.text, known_.named_jobs)));
    }
    return false;
  }

  bool stands_in(const std::string& job, const std::string& phase) const {
    const auto phases = known_.phases.find(job);
    return known_.is_unsure(job) || (phases != known_.phases.end() && phases->second.count(phase) > 0);
  }

  void jobs_of(const PhaseTree& phase) {
    for (const Word& job : phase.jobs) {
      if (!known_job(job) || stands_in(job.text, phase.name.text)) continue;
      const auto phases = known_.phases.find(job.text);
      const bool nowhere = phases == known_.phases.end() || phases->second.empty();
      out_.report(Code::job_elsewhere, job.span,
                  nowhere ? fmt::format("'{}' never stands in phase '{}'", job.text, phase.name.text)
                          : fmt::format("'{}' never stands in phase '{}' but in '{}'", job.text, phase.name.text,
                                        fmt::join(phases->second, "', '")),
                  "name it there, or change the job's phase: in its profile");
    }
  }

  void check(const PackageTree& package) {
    if (out_.is_full()) return;  // nothing more would be told
    for (const Word& word : package.covers) {
      if (order_.count(word.text) > 0 || known_.jobs.count(word.text) > 0 || !all_read_) continue;
      NameSet all = known_.jobs;
      all.insert(order_.begin(), order_.end());
      out_.report(Code::unknown_covered, word.span,
                  fmt::format("'{}' is neither a phase nor a job{}", word.text, did_you_mean(word.text, listed(all))),
                  "a package covers phases of order: and jobs of profiles");
    }
    for (const Word& word : package.except) {
      if (!known_job(word) || covers(package, word.text) || known_.is_unsure(word.text)) continue;
      out_.report(Code::except_not_covered, word.span,
                  fmt::format("'{}' is not covered by the package '{}' anyway", word.text, package.name.text),
                  "leave it out of except:, or cover its phase");
    }
    if (package.price) amounts(*package.price, fmt::format("the price of '{}'", package.name.text));
  }

  bool covers(const PackageTree& package, const std::string& job) const {
    if (has_name(package.covers, job)) return true;
    const auto phases = known_.phases.find(job);
    return phases != known_.phases.end() &&
           std::any_of(phases->second.begin(), phases->second.end(),
                       [&](const std::string& phase) { return has_name(package.covers, phase); });
  }

  void check(const PriceTree& price) {
    if (out_.is_full()) return;  // nothing more would be told
    const std::string& name = price.name.text;
    if (known_.jobs.count(name) == 0 && known_.fees.count(name) == 0 && all_read_ && !is_misspelt_fee(name)) {
      std::vector<stringline::Known> all = known_.named_jobs;
      for (const std::string& fee : known_.fees) all.push_back({fee, "", ""});
      out_.report(Code::unknown_priced, price.name.span,
                  fmt::format("'{}' is neither a job of a profile nor a fee that a gate or stop charges{}", name,
                              did_you_mean_one_of(name, all)));
    }
    if (price.includes && packages_.count(price.includes->text) == 0) {
      out_.report(Code::unknown_package, price.includes->span,
                  fmt::format("the house has no package '{}'{}", price.includes->text,
                              did_you_mean(price.includes->text, listed(packages_))),
                  "includes: names the package that is not charged beside this job");
    }
    if (price.each && price.at_most && price.at_most->quantity.value < price.each->quantity.value) {
      out_.report(Code::impossible_value, price.name.span,
                  fmt::format("'{}' costs {} each and at most {}: one alone is more than all", name,
                              price.each->written, price.at_most->written));
    }
    if (price.amount) amounts(*price.amount, fmt::format("the price of '{}'", name));
  }

  // A fee that has no price is told where it is charged, with this name as the nearest.
  bool is_misspelt_fee(const std::string& name) const {
    std::vector<std::string> unpriced;
    for (const std::string& fee : known_.fees) {
      if (priced_.count(fee) == 0) unpriced.push_back(fee);
    }
    return nearest(name, unpriced).has_value();
  }

  // Names an expression asks for, with their places.
  static void asked(const ExprPtr& expr, std::vector<std::pair<std::string, Span>>& names) {
    if (!expr) return;
    const auto all = [&](const std::vector<ExprPtr>& list) {
      for (const ExprPtr& each : list) asked(each, names);
    };
    if (const auto* name = std::get_if<Name>(&expr->node)) names.emplace_back(name->name, expr->span);
    if (const auto* unary = std::get_if<Unary>(&expr->node)) all({unary->operand});
    // What stands after `is` or in `one of (..)` may be a state or a verdict: a profile that has the reading knows.
    const auto word = [](const ExprPtr& each) {
      const auto* name = std::get_if<Name>(&each->node);
      return name != nullptr && name->members.empty();
    };
    if (const auto* binary = std::get_if<Binary>(&expr->node)) {
      const bool is = binary->op == BinaryOp::is || binary->op == BinaryOp::is_not;
      asked(binary->left, names);
      if (!is || !word(binary->right)) asked(binary->right, names);
    }
    if (const auto* call = std::get_if<Call>(&expr->node)) all(call->arguments);
    if (const auto* choice = std::get_if<Conditional>(&expr->node))
      all({choice->condition, choice->then_value, choice->else_value});
    if (const auto* one = std::get_if<OneOf>(&expr->node)) {
      all({one->value});
      for (const ExprPtr& item : one->items) {
        if (!word(item)) asked(item, names);
      }
    }
  }

  static void selectors(const ExprChoice& choice, std::vector<std::pair<std::string, Span>>& names) {
    if (const auto* leaf = std::get_if<ExprPtr>(&choice.node)) return asked(*leaf, names);
    const auto& table = *std::get<std::shared_ptr<const TableOf<ExprPtr>>>(choice.node);
    asked(table.selector, names);
    for (const auto& row : table.rows) selectors(row.value, names);
  }

  // Only what asks nothing of the instrument can be worked out for the house as a whole.
  bool of_the_house(const ExprChoice& choice, bool total) {
    std::vector<std::pair<std::string, Span>> names;
    selectors(choice, names);
    bool own = true;
    for (const auto& [name, span] : names) {
      if (name == "profile" || (total && name == "total") || known_.profiles.count(name) > 0) continue;
      own = false;
      NameSet all = known_.facts;
      all.insert(total ? "total" : "profile");
      if (known_.facts.count(name) > 0 || find_axis(name) || name == "gauge" || name == "slot" || !all_read_) continue;
      out_.report(Code::unknown_name, span, fmt::format("unknown name '{}'{}", name, did_you_mean(name, listed(all))),
                  total ? "a deposit hangs on total, or on what a profile knows"
                        : "a price hangs on profile, or on a fact, choice or reading of the profiles");
    }
    return own;
  }

  std::optional<TypedChoice<TypedPtr>> bound(const ExprChoice& choice, Dimension dimension, bool total,
                                             const std::string& what) {
    if (!of_the_house(choice, total)) return std::nullopt;
    Scope scope;
    scope.total = total;
    return binder_.bind_choice<ExprPtr, TypedPtr>(choice, scope, [&](const ExprPtr& leaf) -> std::optional<TypedPtr> {
      TypedPtr value = binder_.bind_as(leaf, {Kind::number, dimension, false, 0}, scope, what);
      return value ? std::optional(value) : std::nullopt;
    });
  }

  void amounts(const ExprChoice& choice, const std::string& what) {
    (void)bound(choice, dimension::money, false, what);
  }

  void shares() {
    if (!house_.deposit) return;
    const auto deposit = bound(*house_.deposit, dimension::number, true, "the deposit");
    if (deposit) reachable(*deposit);
  }

  // No bill is below zero: a band below it is never reached, nor `otherwise` when the bands cover the rest.
  void reachable(const TypedChoice<TypedPtr>& deposit) {
    const auto* table = std::get_if<std::shared_ptr<const TypedTable<TypedPtr>>>(&deposit.node);
    if (table == nullptr || !std::holds_alternative<typed::Total>((*table)->selector->node)) return;
    std::vector<const TypedRowKey*> bands;
    const TypedRowKey* rest = nullptr;
    for (const auto& [key, value] : (*table)->rows) {
      if (key.kind == TypedRowKey::Kind::otherwise) rest = &key;
      if (key.kind != TypedRowKey::Kind::band) continue;
      bands.push_back(&key);
      if (key.hi && (key.hi->negative() || (key.hi->num() == 0 && !key.hi_belongs))) never(key.span, "this band");
    }
    std::sort(bands.begin(), bands.end(), [](const TypedRowKey* a, const TypedRowKey* b) {
      if (!a->lo || !b->lo) return !a->lo && b->lo;
      return *a->lo < *b->lo;
    });
    Ratio covered;  // every total below it has its band; none over it is said to have one yet
    bool up_to_it = false;
    bool endless = false;
    for (const TypedRowKey* band : bands) {
      const bool joins = !band->lo || *band->lo < covered || (*band->lo == covered && (up_to_it || band->lo_belongs));
      if (!joins) break;
      endless = endless || !band->hi;
      if (!band->hi || *band->hi < covered) continue;
      covered = *band->hi;
      up_to_it = band->hi_belongs;
    }
    if (rest != nullptr && endless) never(rest->span, "'otherwise'");
  }

  void never(Span span, const char* what) {
    out_.report(Code::dead_row, span, fmt::format("{} is never reached: no bill is below zero", what));
  }

  // Jobs of the profiles in use that no price, no package and no bench time pays for.
  void unpriced() {
    const bool sells = !house_.prices.empty() || !house_.packages.empty() || house_.bench.rate;
    if (!sells) return;
    std::map<std::string, NameSet> without_minutes;  // job -> profiles
    NameSet without_rate;
    for (const HouseProfile& profile : profiles_) {
      if (profile.program == nullptr || !profile.used) continue;
      const std::vector<JobCalls> called = calls(*profile.program);
      for (std::size_t at = 0; at < profile.program->jobs.size(); ++at) {
        const JobInfo& job = profile.program->jobs[at];
        const bool done = job.routine || called[at].any();
        if (!done || is_paid(job)) continue;
        if (!job.minutes)
          without_minutes[job.name].insert(profile.name);
        else if (!house_.bench.rate)
          without_rate.insert(job.name);
      }
    }
    for (const auto& [job, profiles] : without_minutes) {
      out_.report(
          Code::job_without_price, house_.name.span,
          fmt::format(
              "'{}' ({} {}) can not be priced: no package covers it, prices: does not name it, and it has no minutes:",
              job, profiles.size() > 1 ? "profiles" : "profile", fmt::join(profiles, ", ")),
          "give it minutes: in the profile, or a price here");
    }
    if (without_rate.empty()) return;
    out_.report(Code::job_without_price, house_.name.span,
                fmt::format("the house has no bench rate, so {} can not be priced: {}",
                            without_rate.size() == 1 ? "one job" : fmt::format("{} jobs", without_rate.size()),
                            fmt::join(without_rate, ", ")),
                "add bench: {rate: 90.00 per h}, or name them under prices:");
  }

  bool is_paid(const JobInfo& job) const {
    if (priced_.count(job.name) > 0) return true;
    return std::any_of(house_.packages.begin(), house_.packages.end(), [&](const PackageTree& package) {
      return covers(package, job.name) && !has_name(package.except, job.name);
    });
  }

  const HouseTree& house_;
  const std::vector<HouseProfile>& profiles_;
  bool all_read_;
  Diagnostics& out_;
  Known known_;
  NameSet order_;
  NameSet packages_;
  NameSet priced_;
  LayeredProfile names_;  // what a table of prices may ask, bound in a program of nothing else
  Program dummy_;
  Binder binder_;
};

}  // namespace

void check_house(const HouseTree& house, const std::vector<HouseProfile>& profiles, bool all_read, Diagnostics& out) {
  HouseCheck(house, profiles, all_read, out).run();
}

}  // namespace stringline
