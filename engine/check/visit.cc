// A visit against its house and itself: package, hurry, dates, what the owner said, methods. See passes.h.
// Tested by tests/golden/check/.
#include <fmt/format.h>

#include <algorithm>

#include "engine/check/passes.h"
#include "engine/diag/suggest.h"

namespace stringline {
namespace {

void known_package(const VisitTree& visit, const HouseTree& house, Diagnostics& out) {
  if (!visit.package || visit.package->text == "none") return;
  std::vector<std::string> names{"none"};
  for (const PackageTree& package : house.packages) names.push_back(package.name.text);
  if (std::count(names.begin(), names.end(), visit.package->text) > 0) return;
  out.report(
      Code::unknown_package, visit.package->span,
      fmt::format("the house has no package '{}'{}", visit.package->text, did_you_mean(visit.package->text, names)),
      "name one of packages: in house.yaml, or none");
}

void known_rush(const VisitTree& visit, const HouseTree& house, Diagnostics& out) {
  if (!visit.rush) return;
  std::vector<std::string> names;
  for (const RushTree& rush : house.rush) names.push_back(rush.name.text);
  if (std::count(names.begin(), names.end(), visit.rush->text) > 0) return;
  out.report(Code::unknown_rush, visit.rush->span,
             fmt::format("the house has no hurry '{}'{}", visit.rush->text, did_you_mean(visit.rush->text, names)),
             "add it under rush: in house.yaml, with its surcharge");
}

// Handing it over late is no slip; working on after that day is.
void due_in_time(const VisitTree& visit, Diagnostics& out) {
  if (!visit.due) return;
  const LogEntry* last = nullptr;
  for (const LogEntry& entry : visit.log) {
    if (entry.date && !entry.closed) last = &entry;
  }
  if (last == nullptr || *last->date <= *visit.due) return;
  out.report(Code::due_passed, visit.due_span,
             fmt::format("it was due on {}, and the log goes on to {}", to_text(*visit.due), to_text(*last->date)),
             "agree on a new day with the owner and write it here", {{last->date_span, "the later entry"}});
}

void waiting_ahead(const VisitTree& visit, Diagnostics& out) {
  std::optional<Date> date;
  for (const LogEntry& entry : visit.log) {
    if (entry.date) date = entry.date;
    if (!date || !entry.waiting || !entry.waiting->until || *entry.waiting->until >= *date) continue;
    out.report(
        Code::waiting_over, entry.span,
        fmt::format("this entry of {} waits until {}, which is over", to_text(*date), to_text(*entry.waiting->until)),
        "write the day the work can go on");
  }
}

void yes_or_no(const VisitTree& visit, const Names& names, Diagnostics& out) {
  for (const LogEntry& entry : visit.log) {
    if (!entry.agreed || !entry.declined) continue;
    for (const Word& job : entry.declined->jobs) {
      const auto same_job = [&](const Word& word) {
        return word.text == job.text || names.find_logged_job(word.text) == names.find_logged_job(job.text);
      };
      const auto agreed = std::find_if(entry.agreed->jobs.begin(), entry.agreed->jobs.end(), same_job);
      if (agreed == entry.agreed->jobs.end() || !names.find_logged_job(job.text)) continue;
      out.report(Code::yes_and_no, job.span, fmt::format("'{}' is agreed and declined in one entry", job.text),
                 "a change of mind is an entry of its own; the last word counts", {{agreed->span, "agreed here"}});
    }
  }
}

void yes_needed(const VisitTree& visit, const Names& names, const Program& program, Diagnostics& out) {
  for (const LogEntry& entry : visit.log) {
    if (!entry.agreed) continue;
    for (const Word& word : entry.agreed->jobs) {
      const auto found = names.find_logged_job(word.text);
      if (!found || program.jobs[*found].needs_yes) continue;
      const bool covered = program.jobs[*found].covered;
      out.report(Code::yes_not_needed, word.span,
                 fmt::format("'{}' needs no yes: {}", word.text,
                             covered ? fmt::format("the package '{}' covers it", program.package)
                                     : "its profile says needs_yes: false"),
                 "a job that is charged beside the package stands under except: of that package");
    }
  }
}

bool is_read(const VisitTree& visit, const std::string& reading) {
  return std::any_of(visit.log.begin(), visit.log.end(), [&](const LogEntry& entry) {
    return std::any_of(entry.read.begin(), entry.read.end(),
                       [&](const ReadTree& read) { return read.reading.name.text == reading; });
  });
}

void methods_used(const VisitTree& visit, Binder& binder) {
  for (const MethodTree& method : visit.methods) {
    const auto& readings = binder.program().readings;
    const auto found = std::find_if(readings.begin(), readings.end(),
                                    [&](const ReadingInfo& each) { return each.name == method.reading.name.text; });
    if (found == readings.end()) continue;  // told where the log is bound
    const ReadingInfo& reading = *found;
    if (reading.source != ReadingInfo::Source::gap) {
      binder.out().report(Code::method_without_gap, method.reading.span,
                          fmt::format("'{}' is no gap under the string, so it is read in one way only", reading.name),
                          "leave it out of methods:", {{reading.span, "the reading"}});
    } else if (!visit.log.empty() && !is_read(visit, reading.name)) {
      binder.out().report(Code::method_unused, method.reading.span,
                          fmt::format("the log never reads '{}', whose method this is", reading.name));
    }
  }
}

}  // namespace

void check_visit(const VisitTree& visit, const Names& names, Binder& binder) {
  Diagnostics& out = binder.out();
  if (names.house != nullptr) {
    known_package(visit, *names.house, out);
    known_rush(visit, *names.house, out);
    yes_needed(visit, names, binder.program(), out);  // without a house nobody is asked
  }
  due_in_time(visit, out);
  waiting_ahead(visit, out);
  yes_or_no(visit, names, out);
  methods_used(visit, binder);
}

}  // namespace stringline
