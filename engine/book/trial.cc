// See trial.h.
#include "engine/book/trial.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "engine/plan/words.h"

namespace stringline {
namespace {

// Facts of the trial stand beside the usual ones and replace those of the same name.
std::vector<FactTree> over(std::vector<FactTree> usual, const std::vector<FactTree>& own) {
  for (const FactTree& fact : own) {
    const auto same = [&](const FactTree& each) { return each.name.text == fact.name.text; };
    usual.erase(std::remove_if(usual.begin(), usual.end(), same), usual.end());
    usual.push_back(fact);
  }
  return usual;
}

InstrumentTree over(const InstrumentTree& usual, const InstrumentTree& own) {
  InstrumentTree both = usual;
  if (own.id) both.id = own.id;
  if (own.label) both.label = own.label;
  if (own.strings) both.strings = own.strings;
  if (own.slots) both.slots = own.slots;
  both.facts = over(usual.facts, own.facts);
  return both;
}

PlayerTree over(const PlayerTree& usual, const PlayerTree& own) {
  PlayerTree both = usual;
  if (own.says) both.says = own.says;
  if (!own.chords.empty()) both.chords = own.chords;
  both.facts = over(usual.facts, own.facts);
  return both;
}

LogEntry intake(const std::vector<ReadTree>& read, Span span) {
  LogEntry entry;
  entry.span = span;
  entry.date = Date{};  // any day: readings of a trial do not age
  entry.date_span = span;
  entry.read = read;
  return entry;
}

// What the file and the trial say of instrument and player, without a log.
VisitTree bench(const TrialsTree& file, const TrialTree& trial) {
  VisitTree visit;
  visit.source = file.source;
  visit.id = trial.name;
  visit.profile = file.profile;
  visit.package = trial.package;
  visit.instrument = over(file.usual.instrument, trial.instrument);
  visit.player = over(file.usual.player, trial.player);
  return visit;
}

// The usual readings are entry 1 and the trial's own entry 2 until `merge_intake` makes one of them.
VisitTree visit_of(const TrialsTree& file, const TrialTree& trial) {
  VisitTree visit = bench(file, trial);
  visit.methods = trial.methods;
  visit.wants = trial.wants;
  visit.log = {intake(file.usual.given, trial.name.span), intake(trial.given, trial.name.span)};
  for (LogEntry entry : trial.log) {
    if (entry.strike) ++entry.strike->entry;
    visit.log.push_back(std::move(entry));
  }
  return visit;
}

void merge_intake(Program& program) {
  const std::vector<ReadEvent> usual = std::move(program.log.front().read);
  program.log.erase(program.log.begin());
  Entry& given = program.log.front();
  std::set<PointId> own;
  for (const ReadEvent& event : given.read) own.insert(event.point);
  for (const ReadEvent& event : usual) {
    if (own.count(event.point) == 0) given.read.push_back(event);
  }
  for (Entry& entry : program.log) --entry.number;
}

// Mistakes wherever they are; what else is worth knowing of the profile is told when the profile is checked.
void pass_on(const Diagnostics& found, SourceId file, Diagnostics& out) {
  for (const Diagnostic& each : found.list()) {
    if (info(each.code).severity == Severity::error || each.span.source == file)
      out.report(each.code, each.span, each.message, each.hint, each.related);
  }
}

class Binding {
 public:
  Binding(const TrialsTree& file, const TrialSpecs& specs, Diagnostics& out) : file_(file), specs_(specs), out_(out) {}

  std::optional<std::vector<Trial>> run() {
    const std::size_t before = out_.error_count();
    if (file_.trials.empty() && !file_.spoiled.any) {
      out_.report(Code::nothing_inside, file_.profile.span, "a file of trials without a trial",
                  "write one: too_straight: {given: {relief: 0.05 mm}, work: loosen_rod}");
      return std::nullopt;
    }
    if (specs_.house == nullptr && file_.order.empty()) {
      out_.report(Code::trials_without_order, file_.profile.span,
                  "these trials do not say in which order the phases come, and no house.yaml is above them",
                  "list the phases in the order of work: order: [structure, rod, nut, bridge_height, final_check]");
      return std::nullopt;
    }
    if (!checked(nullptr, nullptr)) return std::nullopt;
    std::vector<Trial> trials;
    for (const TrialTree& tree : file_.trials) {
      if (auto trial = bind(tree)) trials.push_back(std::move(*trial));
    }
    const bool good = out_.error_count() == before && !file_.spoiled.any;
    return good ? std::optional(std::move(trials)) : std::nullopt;
  }

 private:
  std::optional<Program> checked(const VisitTree* visit, const TrialTree* trial) {
    Diagnostics found;
    auto program = check({specs_.house, specs_.layers, visit, &file_.order, trial}, found);
    pass_on(found, file_.source, out_);
    return program;
  }

  std::optional<Trial> bind(const TrialTree& tree) {
    Trial trial;
    trial.tree = &tree;
    if (!tree.last.empty()) {
      VisitTree before = bench(file_, tree);
      before.log = {intake(tree.last, tree.name.span)};
      const auto program = checked(&before, nullptr);
      if (!program) return std::nullopt;
      trial.last = last_visit_of(*program, judge(*program));
    }
    const VisitTree visit = visit_of(file_, tree);
    auto program = checked(&visit, &tree);
    if (!program) return std::nullopt;
    trial.program = std::move(*program);
    merge_intake(trial.program);
    return trial;
  }

  const TrialsTree& file_;
  const TrialSpecs& specs_;
  Diagnostics& out_;
};

// What came out, compared -----------------------------------------------------------------

using Names = std::vector<std::string>;

std::string listed(const Names& names) { return names.empty() ? "none" : fmt::format("{}", fmt::join(names, ", ")); }

class Comparison {
 public:
  Comparison(const Program& program, const TrialRun& run) : program_(program), run_(run) {}

  std::vector<Unexpected> run() {
    if (!program_.expected) return {};
    const Expected& expected = *program_.expected;
    sets("stops", expected.stops, true_stops());
    sets("holds", expected.holds, closed_gates());
    for (std::size_t at = 0; at < expected.limits.size(); ++at) limit(expected.limits[at], run_.at_limits[at]);
    if (expected.verdicts) verdicts(*expected.verdicts);
    if (expected.rules) sets("rules", *expected.rules, fired_rules());
    if (expected.work) jobs("work", *expected.work, PlanLine::Form::job);
    if (expected.offers) jobs("offers", *expected.offers, PlanLine::Form::offer);
    amounts(expected.amounts);
    for (const std::string& text : expected.says) says(text);
    return std::move(all_);
  }

 private:
  void add(std::string what, std::string expected, std::string got) {
    all_.push_back({std::move(what), std::move(expected), std::move(got)});
  }

  void sets(const char* what, Names expected, Names got) {
    std::sort(expected.begin(), expected.end());
    std::sort(got.begin(), got.end());
    if (expected != got) add(what, listed(expected), listed(got));
  }

  Names true_stops() const {
    Names names;
    for (std::size_t i = 0; i < program_.stops.size(); ++i) {
      if (run_.judgement.stops[i].truth == Truth::yes) names.push_back(program_.stops[i].name);
    }
    return names;
  }

  Names closed_gates() const {
    Names names;
    for (std::size_t i = 0; i < program_.gates.size(); ++i) {
      if (run_.judgement.gates[i].truth == Truth::no) names.push_back(program_.gates[i].name);
    }
    return names;
  }

  Names fired_rules() const {
    Names names;
    for (std::size_t i = 0; i < program_.rules.size(); ++i) {
      if (run_.judgement.rules[i].state == RuleState::fired) names.push_back(program_.rules[i].name);
    }
    return names;
  }

  // Points of which the same is to be said stand together.
  using Grouped = std::map<std::pair<std::string, std::string>, std::vector<PointId>>;
  void add(const std::string& prefix, const Grouped& grouped) {
    for (const auto& [texts, points] : grouped) add(prefix + name_points(program_, points), texts.first, texts.second);
  }

  void verdicts(const std::map<PointId, Verdict>& expected) {
    Grouped wrong;
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      const PointId point = program_.targets[at].point;
      const Verdict got = run_.judgement.targets[at].verdict;
      const auto named = expected.find(point);
      if (named != expected.end() && named->second != got)
        wrong[{to_text(named->second), to_text(got)}].push_back(point);
      if (named == expected.end() && (got == Verdict::high || got == Verdict::low))
        wrong[{"not out, or named", to_text(got)}].push_back(point);
    }
    add("", wrong);
  }

  void limit(const Expected::AtLimit& expected, const std::vector<Verdict>& got) {
    std::map<Verdict, std::vector<PointId>> wrong;
    for (std::size_t i = 0; i < got.size(); ++i) {
      if (got[i] != expected.verdict) wrong[got[i]].push_back(expected.points[i]);
    }
    const std::string value = to_text(expected.value.value, expected.value.unit);
    for (const auto& [verdict, points] : wrong)
      add(fmt::format("{} at {}", name_points(program_, points), value), to_text(expected.verdict), to_text(verdict));
  }

  // Jobs of every visit may be left out; where one is named, all of them count.
  void jobs(const char* what, const std::vector<JobId>& expected, PlanLine::Form form) {
    const auto is_routine = [&](JobId job) { return program_.jobs[job].routine; };
    const bool all = std::any_of(expected.begin(), expected.end(), is_routine);
    Names wanted;
    Names got;
    for (const JobId job : expected) wanted.push_back(program_.jobs[job].name);
    for (const PlanLine& line : run_.plan.lines) {
      if (line.form == form && (all || !is_routine(*line.job))) got.push_back(program_.jobs[*line.job].name);
    }
    if (wanted != got) add(what, listed(wanted), listed(got));
  }

  std::string amount(const Expected::Amount& expected) const {
    for (const PlanLine& line : run_.plan.lines) {
      if (line.form != PlanLine::Form::job || line.job != expected.job) continue;
      for (const Amount& each : line.amounts) {
        if (each.point == expected.point) return each.text;
      }
    }
    return "none";
  }

  void amounts(const std::vector<Expected::Amount>& expected) {
    std::map<JobId, Grouped> wrong;
    for (const Expected::Amount& each : expected) {
      const std::string got = amount(each);
      if (got != each.text) wrong[each.job][{each.text, got}].push_back(each.point);
    }
    for (const auto& [job, grouped] : wrong) add(fmt::format("amount of {}, ", program_.jobs[job].name), grouped);
  }

  void says(const std::string& text) {
    const auto holds = [&](const std::string& told) { return told.find(text) != std::string::npos; };
    const Names& told = run_.plan.told;
    if (std::none_of(told.begin(), told.end(), holds))
      add("says", text, told.empty() ? "nothing" : fmt::format("{}", fmt::join(told, "; ")));
  }

  const Program& program_;
  const TrialRun& run_;
  std::vector<Unexpected> all_;
};

// At their limits ---------------------------------------------------------------------------

// What was given, but for the points of the limit: each read once, by the method its target is stated in.
std::vector<ReadEvent> moved_to(const Expected::AtLimit& limit, const Program& program, std::vector<ReadEvent> given) {
  for (const PointId point : limit.points) {
    const auto same = [&](const ReadEvent& event) { return event.point == point; };
    given.erase(std::remove_if(given.begin(), given.end(), same), given.end());
    ReadEvent event;
    event.point = point;
    event.numbers = {limit.value.value};
    event.unit = limit.value.unit;
    event.method = program.target(point)->gap;
    given.push_back(std::move(event));
  }
  return given;
}

// One reading at a time, all else as given, and the tool's doubt left aside: it is the limit that is tried.
std::vector<std::vector<Verdict>> verdicts_at_limits(const Program& program, const LastVisit* last) {
  std::vector<std::vector<Verdict>> all;
  if (!program.expected || program.expected->limits.empty()) return all;
  Program bench = program;
  bench.decide = Decide::plain;
  const std::vector<ReadEvent> given = bench.log.front().read;
  for (const Expected::AtLimit& limit : program.expected->limits) {
    bench.log.front().read = moved_to(limit, program, given);
    const Judgement judgement = judge(bench, {std::nullopt, last});
    std::vector<Verdict>& verdicts = all.emplace_back();
    for (const PointId point : limit.points)
      verdicts.push_back(judgement.targets[static_cast<std::size_t>(program.target_of[point])].verdict);
  }
  return all;
}

}  // namespace

std::optional<std::vector<Trial>> bind_trials(const TrialsTree& file, const TrialSpecs& specs, Diagnostics& out) {
  return Binding(file, specs, out).run();
}

TrialRun run_trial(const Trial& trial, const Program& program) {
  TrialRun run;
  const LastVisit* last = trial.last ? &*trial.last : nullptr;
  run.judgement = judge(program, {std::nullopt, last});
  run.plan = make_plan(program, run.judgement);
  run.at_limits = verdicts_at_limits(program, last);
  return run;
}

std::vector<Unexpected> unexpected_in(const Program& program, const TrialRun& run) {
  return Comparison(program, run).run();
}

}  // namespace stringline
