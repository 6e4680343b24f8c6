// See ruled_out.h.
#include "engine/check/ruled_out.h"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "engine/check/evaluate.h"
#include "engine/check/mentions.h"

namespace stringline {
namespace {

class Search {
 public:
  Search(const Program& program, JobId job) : program_(program), job_(job) {}

  std::optional<RuledOut> run() {
    for (const TargetInfo& target : program_.targets) {
      const Hand& hand = program_.points[target.point].at;
      if (target.low) look(*target.low, hand);
      if (target.high) look(*target.high, hand);
    }
    for (const GateInfo& gate : program_.gates) look(gate.jobs);
    for (const StopInfo& stop : program_.stops) {
      look(stop.jobs);
      look(stop.offers);
    }
    for (const RuleInfo& rule : program_.rules) {
      if (rule.over && (names_it(rule.jobs) || names_it(rule.offers))) return std::nullopt;  // it hangs on a member
      look(rule.jobs);
      look(rule.offers);
    }
    return possible_ ? std::nullopt : found_;
  }

 private:
  bool names_it(const JobChoice& choice) const {
    const auto jobs = jobs_in(choice);
    return std::count(jobs.begin(), jobs.end(), job_) > 0;
  }
  bool names_it(const std::vector<JobChoice>& choices) const {
    return std::any_of(choices.begin(), choices.end(), [&](const JobChoice& choice) { return names_it(choice); });
  }

  void look(const std::vector<JobChoice>& choices) {
    for (const JobChoice& choice : choices) look(choice, empty_hand);
  }

  void look(const JobChoice& choice, const Hand& hand) {
    if (possible_ || !names_it(choice)) return;
    const Nothing nothing(program_);
    const auto here = Evaluator(program_, nothing).possible(choice, hand);
    const auto is_it = [&](const std::optional<JobId>* leaf) { return *leaf == job_; };
    possible_ = here.failure.has_value() || std::any_of(here.leaves.begin(), here.leaves.end(), is_it);
    if (possible_ || found_) return;
    found_.emplace();
    found_->why = asked(choice);
    if (here.leaves.size() == 1) found_->instead = *here.leaves.front();
  }

  // "height_by is wood": what the table asks, where that is one fact of states.
  std::string asked(const JobChoice& choice) const {
    const auto* table = std::get_if<std::shared_ptr<const TypedTable<std::optional<JobId>>>>(&choice.node);
    const auto* fact = table == nullptr ? nullptr : std::get_if<typed::Fact>(&(*table)->selector->node);
    if (fact == nullptr) return {};
    const std::string& name = program_.facts[fact->fact].name;
    const auto state = fact_state(program_, name);
    return state ? fmt::format("{} is {}", name, *state) : std::string();
  }

  const Program& program_;
  JobId job_;
  bool possible_ = false;
  std::optional<RuledOut> found_;
};

}  // namespace

std::optional<RuledOut> ruled_out(const Program& program, JobId job) {
  return program.jobs[job].routine ? std::nullopt : Search(program, job).run();
}

}  // namespace stringline
