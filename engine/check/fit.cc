// Jobs against the targets they serve: each has a control that moves what it sets, and an aim to bring it to.
// See passes.h. Tested by tests/golden/check/.
#include <fmt/format.h>

#include <map>

#include "engine/check/calls.h"
#include "engine/check/disturb.h"
#include "engine/check/passes.h"

namespace stringline {
namespace {

void control_moves(const Program& program, const JobInfo& job, const JobTree& tree, Diagnostics& out) {
  if (!job.moves) return;
  for (const JobInfo::Set& set : job.sets) {
    if (set.value) continue;
    for (const PointId point : set.points) {
      if (may_move(program, point, *job.moves)) continue;
      const ReadingInfo& reading = program.reading_of(point);
      const std::string read = reading.gap ? fmt::format(", read {},", reading.gap->text) : "";
      out.report(
          Code::control_moves_not, tree.moves->span,
          fmt::format("'{}' does not move '{}'{} which '{}' sets", to_text(*job.moves), reading.name, read, job.name),
          reading.gap ? "name the control that does, or read it where this one moves it"
                      : fmt::format("name the control that does; a reading that goes one to one with it says "
                                    "follows: {}",
                                    to_text(*job.moves)),
          {{reading.span, "the reading"}});
      return;
    }
  }
}

// One side alone is no place to bring a reading to.
bool lacks_aim(const TypedRange& range) { return !range.aim && (!range.lo || !range.hi); }

// Ranges without an aim that jobs bring a reading to, each once however many jobs do.
class Aims {
 public:
  Aims(const Program& program, Diagnostics& out) : program_(program), out_(out) {}

  void look(const JobInfo& job, const JobTree& tree) {
    for (std::size_t at = 0; at < job.sets.size(); ++at) {
      const JobInfo::Set& set = job.sets[at];
      if (set.value || set.points.empty()) continue;
      bool any_target = false;
      for (const PointId point : set.points) {
        const TargetInfo* target = program_.target(point);
        any_target = any_target || target != nullptr;
        if (target != nullptr) look(job, *target);
      }
      const bool written = tree.sets && at < tree.sets->size();
      if (!any_target) no_target(job, set, written ? (*tree.sets)[at].reading.span : job.span);
    }
  }

  void report() const {
    for (const auto& [begin, found] : found_) {
      std::vector<std::string> names;
      std::vector<Related> related;
      for (const JobInfo* job : found.jobs) {
        names.push_back(fmt::format("'{}'", job->name));
        related.push_back({job->span, "the job"});
      }
      out_.report(Code::aim_unknown, found.span,
                  fmt::format("{} {} '{}' to its aim, and a range with one limit has none", fmt::join(names, " and "),
                              names.size() > 1 ? "bring" : "brings", found.reading),
                  "add the aim after the limit: at most 1.5 mm aim 1.2", std::move(related));
    }
  }

 private:
  struct Found {
    Span span;
    std::string reading;
    std::vector<const JobInfo*> jobs;
  };

  void look(const JobInfo& job, const TargetInfo& target) {
    const auto leaf = [&](const TypedRange& range, Span) {
      if (!lacks_aim(range)) return;
      Found& found = found_[{range.span.source, range.span.begin}];
      found.span = range.span;
      found.reading = program_.reading_of(target.point).name;
      if (found.jobs.empty() || found.jobs.back() != &job) found.jobs.push_back(&job);
    };
    if (target.range) for_each_leaf(*target.range, leaf);
    if (target.want && target.want->form == Want::Form::range) leaf(target.want->range, target.want->span);
  }

  void no_target(const JobInfo& job, const JobInfo::Set& set, Span place) {
    const std::string& name = program_.reading_of(set.points.front()).name;
    out_.report(Code::aim_unknown, place,
                fmt::format("'{}' brings '{}' to its aim, and no target gives it one", job.name, name),
                fmt::format("add '{}:' to targets:, or say what it is left at: sets: {{{}: 0 mm}}", name, name));
  }

  const Program& program_;
  Diagnostics& out_;
  std::map<std::pair<SourceId, std::uint32_t>, Found> found_;
};

}  // namespace

void check_fit(const LayeredProfile& profile, Binder& binder) {
  const Program& program = binder.program();
  Diagnostics& out = binder.out();
  Aims aims(program, out);
  for (const JobInfo& job : program.jobs) {
    const JobTree& tree = profile.jobs.at(job.name).tree;
    control_moves(program, job, tree, out);
    aims.look(job, tree);
  }
  aims.report();
}

}  // namespace stringline
