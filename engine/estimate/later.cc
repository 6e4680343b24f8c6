// See later.h.
#include "engine/estimate/later.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "engine/check/mentions.h"
#include "engine/estimate/gather.h"
#include "engine/estimate/owner_words.h"

namespace stringline {
namespace {

class Foreseeing {
 public:
  Foreseeing(const EstimateInput& in, const PriceBook& book, const std::optional<Surcharge>& rush, Estimate& estimate)
      : in_(in), book_(book), rush_(rush), estimate_(estimate), worst_(in.plan) {}

  void run() {
    if (in_.plan.ended_early) return;
    bool any = false;
    for (const PlanLine& line : in_.plan.lines) {
      if (line.form != PlanLine::Form::read_again || line.points.empty()) continue;
      Later later;
      later.reading = owner_name(in_.program, in_.program.points[line.points.front()].reading);
      later.decides = !line.may_follow.empty();
      const std::vector<JobId> following = follow(line, later);
      any = any || !following.empty();
      suppose(following, line, later.decides);
      ask_if_out(line, later);
      ask_later(line, later);
      if (!later.jobs.empty() || !later.extra.empty() || !later.ask.empty())
        estimate_.later.push_back(std::move(later));
    }
    const Cost most = any ? total_of(worst_) : Cost();
    if (!most.fits || most.high > estimate_.bill.total.high) estimate_.at_most = most;
  }

 private:
  const JobInfo& info(JobId job) const { return in_.program.jobs[job]; }

  // What may follow a reading without a yes: told where it is new, and given back.
  std::vector<JobId> follow(const PlanLine& line, Later& later) const {
    std::vector<JobId> jobs;
    std::vector<std::optional<JobId>> may_follow{line.if_low, line.if_high};
    may_follow.insert(may_follow.end(), line.may_follow.begin(), line.may_follow.end());
    for (const auto& follows : may_follow) {
      if (!follows || has(jobs, *follows)) continue;
      jobs.push_back(*follows);
      const auto known = [&](const EstimateLine& each) { return each.job == *follows; };
      if (info(*follows).covered) {
        tell_covered(*follows, later);
      } else if (std::none_of(estimate_.lines.begin(), estimate_.lines.end(), known)) {
        later.extra.push_back(priced_line(*follows, places(line)));
      }
    }
    return jobs;
  }

  // A covered job's time is paid for; a part that it takes and the bill does not hold is not.
  void tell_covered(JobId job, Later& later) const {
    std::string text = info(job).label;
    if (const auto part = part_of(job))
      text +=
          fmt::format(", where only the {} costs extra, {}", part->label, to_text(part->amount.high, book_.currency()));
    if (std::count(later.jobs.begin(), later.jobs.end(), text) == 0) later.jobs.push_back(text);
  }

  // The part that a job takes, where it has a price and the bill does not hold it.
  std::optional<EstimateLine> part_of(JobId job) const {
    if (info(job).uses.empty()) return std::nullopt;
    EstimateLine part = part_line(in_, book_, info(job).uses);
    const auto same = [&](const EstimateLine& each) { return each.kind == LineKind::part && each.name == part.name; };
    const bool held = std::any_of(estimate_.lines.begin(), estimate_.lines.end(), same);
    if (held || !part.price.has_amount()) return std::nullopt;
    return part;
  }

  int places(const PlanLine& line) const {
    std::set<std::array<int, axis_count>> at;
    for (const PointId point : line.points) at.insert(in_.program.points[point].at);
    return std::max(1, static_cast<int>(at.size()));
  }

  // A job by itself, bench time in whole steps, with the part that it takes: at one place, up to so many.
  EstimateLine priced_line(JobId job, int places) const {
    EstimateLine line;
    line.job = job;
    line.name = info(job).name;
    line.label = info(job).label;
    line.price = book_.job(job, places);
    line.amount = line.price.cost;
    if (line.price.how == Price::How::time)
      line.amount = book_.time(line.price.minutes, true).value_or(Cost::too_large());
    if (line.price.how == Price::How::each) {
      const auto known = std::find_if(estimate_.lines.begin(), estimate_.lines.end(),
                                      [&](const EstimateLine& each) { return each.job == job; });
      const int billed = known != estimate_.lines.end() ? known->price.count : 0;
      const Cost so_far = billed > 0 ? book_.job(job, billed).cost : Cost();
      const Cost one = book_.job(job, billed + 1).cost - so_far;
      const Cost all = book_.job(job, billed + places).cost - so_far;
      line.amount = {one.low, one.typical, all.high, one.fits && all.fits};
    }
    const auto part = line.price.has_amount() ? part_of(job) : std::nullopt;
    if (part) {
      line.label += fmt::format(", with {}", part->label);
      line.amount = line.amount + part->amount;
    }
    return line;
  }

  Cost total_of(const Plan& plan) const {
    auto lines =
        gather({in_.program, in_.house, in_.visit, in_.judgement, plan, in_.today, in_.last}, book_, Stage::planned)
            .lines;
    return settle(lines, book_, rush_).total;
  }

  static void add(JobId job, const std::vector<PointId>& points, Plan& plan) {
    const auto is_it = [&](const PlanLine& line) { return line.form == PlanLine::Form::job && line.job == job; };
    const auto found = std::find_if(plan.lines.begin(), plan.lines.end(), is_it);
    PlanLine& line = found != plan.lines.end() ? *found : plan.lines.emplace_back();
    line.form = PlanLine::Form::job;
    line.job = job;
    line.points.insert(line.points.end(), points.begin(), points.end());
  }

  // Into the worst plan: all of them, or the dearest where the reading decides between them.
  void suppose(const std::vector<JobId>& jobs, const PlanLine& line, bool decides) {
    if (!decides || jobs.size() < 2) {
      for (const JobId job : jobs) add(job, line.points, worst_);
      return;
    }
    std::optional<std::pair<std::int64_t, JobId>> dearest;
    for (const JobId job : jobs) {
      const EstimateLine alone = priced_line(job, places(line));
      const auto cost = std::pair(info(job).covered ? 0 : alone.amount.high, job);
      if (!dearest || cost.first > dearest->first) dearest = cost;
    }
    add(dearest->second, line.points, worst_);
  }

  // What the table names for the reading, or may name, besides what follows without a yes.
  void ask_if_out(const PlanLine& line, Later& later) const {
    for (const Branch& branch : line.branches) {
      std::vector<JobId> jobs = branch.may;
      if (branch.job) jobs.push_back(*branch.job);
      for (const JobId job : jobs) {
        if (info(job).covered && !branch.declined) tell_covered(job, later);
        if (info(job).needs_yes && !has(in_.judgement.agreed, job))
          ask_later({priced_line(job, places(line)), false, branch.verdict, branch.likely}, later);
      }
    }
  }

  // What rules that hang on these readings would call, where it needs a yes.
  void ask_later(const PlanLine& line, Later& later) const {
    for (std::size_t i = 0; i < in_.program.rules.size(); ++i) {
      const RuleOutcome& outcome = in_.judgement.rules[i];
      const auto hangs_on = [&](const Need& need) {
        return !need.fact && std::count(line.points.begin(), line.points.end(), need.id) > 0;
      };
      if (outcome.state != RuleState::unknown || std::none_of(outcome.needs.begin(), outcome.needs.end(), hangs_on))
        continue;
      for (const auto* choices : {&in_.program.rules[i].jobs, &in_.program.rules[i].offers}) {
        for (const JobChoice& choice : *choices) {
          for (const JobId job : jobs_in(choice)) {
            if (choices == &in_.program.rules[i].offers || info(job).needs_yes)
              ask_later({priced_line(job, 1), true, std::nullopt, false}, later);
          }
        }
      }
    }
  }

  // What the paper has already is not asked again, but for a job that is priced for each place: that may be one more.
  void ask_later(LaterAsk ask, Later& later) const {
    const JobId job = *ask.line.job;
    const auto known = [&](const EstimateLine& each) { return each.job == job; };
    const auto any = [&](const std::vector<EstimateLine>& lines) {
      return std::any_of(lines.begin(), lines.end(), known);
    };
    const bool one_more = !ask.of_rule && ask.line.price.how == Price::How::each;
    if (has(in_.judgement.declined, job) || (ask.of_rule && has(in_.judgement.done, job)) || any(later.extra) ||
        (!one_more && (any(estimate_.lines) || any(estimate_.offers))))
      return;
    const auto asked =
        std::find_if(later.ask.begin(), later.ask.end(), [&](const LaterAsk& each) { return known(each.line); });
    if (asked == later.ask.end()) return later.ask.push_back(std::move(ask));
    if (asked->when != ask.when) asked->when = std::nullopt;
    asked->likely = asked->likely || ask.likely;
  }

  const EstimateInput& in_;
  const PriceBook& book_;
  const std::optional<Surcharge>& rush_;
  Estimate& estimate_;
  Plan worst_;
};

}  // namespace

void add_later(const EstimateInput& in, const PriceBook& book, const std::optional<Surcharge>& rush,
               Estimate& estimate) {
  Foreseeing(in, book, rush, estimate).run();
}

}  // namespace stringline
