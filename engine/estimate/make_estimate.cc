// See estimate.h.
#include <fmt/format.h>

#include <algorithm>

#include "engine/check/mentions.h"
#include "engine/estimate/assumed.h"
#include "engine/estimate/estimate.h"
#include "engine/estimate/gather.h"
#include "engine/estimate/later.h"
#include "engine/estimate/owner_words.h"
#include "engine/estimate/settle.h"
#include "engine/plan/answers.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

// With more offers than this, what comes last is told without the bill that it would make.
constexpr std::size_t most_offers = 12;

class Making {
 public:
  explicit Making(const EstimateInput& in) : in_(in), book_(in.house, in.program, in.judgement) {}

  Estimate run() {
    state_paper();
    Gathered gathered = gather(in_, book_, Stage::planned);
    estimate_.lines = gathered.lines;
    estimate_.bill = settle(estimate_.lines, book_, rush());
    add_offers(std::move(gathered.offers), gathered.lines);
    add_alternatives(gathered.lines);
    add_afterwards();
    add_later(in_, book_, rush(), estimate_);
    add_blocked();
    add_declined();
    list_unpriced();
    list_at_once();
    without_a_yes();
    ask_deposit();
    watch_ceiling(gathered.lines);
    take_time();
    read_before();
    state_progress();
    assume();
    caution();
    return std::move(estimate_);
  }

  Estimate run_final() {
    state_paper();
    auto lines = gather(in_, book_, Stage::final).lines;
    estimate_.lines = lines;
    estimate_.bill = settle(estimate_.lines, book_, rush());
    add_declined();
    list_unpriced();
    watch_ceiling(std::move(lines));
    return std::move(estimate_);
  }

 private:
  void state_paper() {
    const HouseTree& house = in_.house;
    const VisitTree& visit = in_.visit;
    estimate_.kind = house.paper.kind;
    estimate_.currency = book_.currency();
    estimate_.date_form = house.show_date;
    estimate_.tax_included = house.tax.included;
    estimate_.shop = in_.program.house;
    estimate_.contact = contact_of(house);
    estimate_.visit = in_.program.visit;
    if (visit.owner) estimate_.owner = visit.owner->text;
    estimate_.instrument = visit.instrument.label ? visit.instrument.label->text : in_.program.label;
    if (visit.instrument.id) estimate_.instrument_id = visit.instrument.id->text;
    if (visit.player.says) estimate_.says = visit.player.says->text;
    estimate_.date = in_.today;
    if (house.paper.valid_for) estimate_.valid_until = add_days(in_.today, days_up(*house.paper.valid_for));
    if (house.paper.warranty) estimate_.warranty_days = days_up(*house.paper.warranty);
    estimate_.storage = house.storage;
    estimate_.stopped = in_.plan.ended_early;
    estimate_.held = estimate_.stopped && std::none_of(in_.judgement.stops.begin(), in_.judgement.stops.end(),
                                                       [](const TruthState& stop) { return stop.truth == Truth::yes; });
    Said said = said_before(in_.program, in_.judgement);
    estimate_.told = std::move(said.told);
    estimate_.choices = std::move(said.choices);
    estimate_.refer = std::move(said.refer);
    for (const Conflict& conflict : in_.plan.conflicts) {
      estimate_.told.push_back(words_of(conflict));
      estimate_.choices.push_back(
          {estimate_.told.back(), {in_.program.jobs[conflict.one].label, in_.program.jobs[conflict.other].label}});
    }
    for (const Word& each : house.paper.says) estimate_.shop_says.push_back(each.text);
  }

  std::string words_of(const Conflict& conflict) const {
    const auto name = [&](PointId point) { return owner_name(in_.program, in_.program.points[point].reading); };
    return fmt::format("{} calls for \"{}\" and {} for \"{}\", which undo each other; we ask you before we choose",
                       name(conflict.points.front()), in_.program.jobs[conflict.one].label,
                       name(conflict.points.back()), in_.program.jobs[conflict.other].label);
  }

  static std::int64_t days_up(const Number& time) { return days_up(time.quantity.value); }
  static std::int64_t days_up(Ratio seconds) {
    const auto days = divide(seconds, Ratio(86'400));
    return days ? days->num() / days->den() + (days->num() % days->den() > 0 ? 1 : 0) : 0;
  }

  static std::int64_t hours_up(Ratio seconds) {
    const auto hours = divide(seconds, Ratio(3'600));
    return hours ? hours->num() / hours->den() + (hours->num() % hours->den() > 0 ? 1 : 0) : 0;
  }

  std::optional<Surcharge> rush() const {
    if (!in_.visit.rush) return std::nullopt;
    for (const RushTree& rush : in_.house.rush) {
      if (rush.name.text == in_.visit.rush->text)
        return Surcharge{rush.name.text, "for the hurry: " + plain_name(rush.name.text), rush.share.quantity.value};
    }
    return std::nullopt;
  }

  Cost total_of(std::vector<EstimateLine> lines) const { return settle(lines, book_, rush()).total; }

  // An offer costs what it would cost by itself, bench time in whole steps; the bill with it is shown beside it, from the plan
  // that a yes makes.
  void add_offers(std::vector<EstimateLine> offers, const std::vector<EstimateLine>& base) {
    std::vector<JobId> priced;
    for (EstimateLine& offer : offers) {
      if (offer.price.how == Price::How::time)
        offer.amount = book_.time(offer.price.minutes, true).value_or(Cost::too_large());
      if (offer.price.has_amount() && priced.size() < most_offers) {
        priced.push_back(*offer.job);
        const auto planned = lines_if({*offer.job}, {});
        if (planned) include(offer, *planned);
        auto lines = planned.value_or(with_job(base, offer));
        const Bill bill = settle(lines, book_, rush());
        offer.total_with = bill.total;
        offer.deposit_share = book_.deposit_share(bill.net.typical);
        offer.deposit = share_of(bill.net, offer.deposit_share, book_.rounding());
      }
      estimate_.offers.push_back(std::move(offer));
    }
    if (priced.size() < 2) return;
    if (auto lines = lines_if(priced, {})) estimate_.with_all_offers = total_of(std::move(*lines));
  }

  // What the package covers costs nothing beside it.
  static void include(EstimateLine& offer, const std::vector<EstimateLine>& lines) {
    for (const EstimateLine& each : lines) {
      if (each.job == offer.job) return;
      if (std::count(each.covers.begin(), each.covers.end(), offer.label) > 0) offer.included_in = each.label;
    }
    if (!offer.included_in.empty()) offer.price.cost = offer.amount = {};
  }

  // The package that the visit asks for, where a yes to what is offered or agreed would not bring it with it.
  void add_afterwards() {
    if (!estimate_.stopped || in_.house.packages.empty()) return;
    const std::string wanted = in_.visit.package ? in_.visit.package->text : in_.house.packages.front().name.text;
    const PackageTree* tree = book_.find_package(wanted);
    const auto includes = [&](const EstimateLine& line) { return line.price.includes == wanted; };
    const auto is_work = [](const EstimateLine& line) { return line.kind == LineKind::work; };
    if (tree == nullptr || std::any_of(estimate_.offers.begin(), estimate_.offers.end(), includes) ||
        std::any_of(estimate_.lines.begin(), estimate_.lines.end(), includes))
      return;
    if (estimate_.offers.empty() && std::none_of(estimate_.lines.begin(), estimate_.lines.end(), is_work)) return;
    const Price price = book_.package(wanted);
    if (price.has_amount())
      estimate_.afterwards = Afterwards{tree->label ? tree->label->text : plain_name(wanted), price.cost};
  }

  std::vector<EstimateLine> with_job(std::vector<EstimateLine> lines, EstimateLine line) const {
    line.agreed = true;
    const std::string& uses = in_.program.jobs[*line.job].uses;
    lines.push_back(std::move(line));
    if (!uses.empty()) lines.push_back(part_line(in_, book_, uses));
    return lines;
  }

  // Other jobs of the same table, where a line still waits for a yes.
  void add_alternatives(const std::vector<EstimateLine>& base) {
    for (EstimateLine& line : estimate_.lines) {
      if (line.kind != LineKind::work || !line.waits || line.done) continue;
      const auto planned = std::find_if(in_.plan.lines.begin(), in_.plan.lines.end(),
                                        [&](const PlanLine& each) { return each.job == line.job; });
      if (planned == in_.plan.lines.end()) continue;
      for (const JobId job : neighbours(*planned)) add_alternative(line, *planned, job, base);
    }
  }

  std::vector<JobId> neighbours(const PlanLine& line) const {
    const Answers answers(in_.program, in_.judgement);
    std::vector<JobId> jobs;
    for (const PointId point : line.points) {
      const TargetInfo* target = in_.program.target(point);
      if (target == nullptr) continue;
      for (const auto* choice : {&target->low, &target->high}) {
        for (const JobId job : answers.alternatives(*choice, point, *line.job)) {
          if (!has(jobs, job)) jobs.push_back(job);
        }
      }
    }
    return jobs;
  }

  // The lines of the bill when the owner says yes to these and no to those: the plan is made again. Nothing where that plan does
  // not hold what was said yes to.
  std::optional<std::vector<EstimateLine>> lines_if(const std::vector<JobId>& yes, const std::vector<JobId>& no) const {
    Judgement judgement = in_.judgement;
    judgement.agreed.insert(judgement.agreed.end(), yes.begin(), yes.end());
    judgement.declined.insert(judgement.declined.end(), no.begin(), no.end());
    const Plan plan = make_plan(in_.program, judgement);
    for (const JobId job : yes) {
      const auto is_it = [&](const PlanLine& line) { return line.job == job && !line.waits_for_yes; };
      if (std::none_of(plan.lines.begin(), plan.lines.end(), is_it)) return std::nullopt;
    }
    return gather({in_.program, in_.house, in_.visit, judgement, plan, in_.today, in_.last}, book_, Stage::planned)
        .lines;
  }

  void add_alternative(EstimateLine& line, const PlanLine& planned, JobId job, const std::vector<EstimateLine>& base) {
    const JobInfo& info = in_.program.jobs[job];
    Instead other;
    other.job = job;
    other.label = info.label;
    other.price = book_.job(job, line.price.count);
    const auto lines = lines_if({job}, {*line.job});
    if (!lines) return;
    other.total = total_of(*lines);
    const bool own_line =
        std::any_of(lines->begin(), lines->end(), [&](const EstimateLine& each) { return each.job == job; });
    for (const EstimateLine& each : *lines) {
      const auto& covers = each.covers;
      if (!own_line && std::count(covers.begin(), covers.end(), info.label) > 0) other.included_in = each.label;
    }
    for (const EstimateLine& each : base) {
      if (each.kind == LineKind::package && each.name == other.price.includes) other.includes = each.label;
    }
    if (other.included_in.empty() && !other.price.has_amount()) return;
    if (!other.included_in.empty())
      other.price.cost = {};
    else if (other.price.how == Price::How::time)
      other.price.cost = book_.time(other.price.minutes, true).value_or(Cost::too_large());
    for (const PointId point : planned.points) {
      const auto sets = [&](const JobInfo::Set& set) {
        return std::count(set.points.begin(), set.points.end(), point) > 0;
      };
      const std::string name = owner_name(in_.program, in_.program.points[point].reading);
      if (std::none_of(info.sets.begin(), info.sets.end(), sets) &&
          std::count(other.leaves.begin(), other.leaves.end(), name) == 0)
        other.leaves.push_back(name);
    }
    line.instead.push_back(std::move(other));
  }

  // Jobs of readings that a closed gate holds: they wait, without a price.
  void add_blocked() {
    for (std::size_t i = 0; i < in_.program.gates.size(); ++i) {
      const GateInfo& gate = in_.program.gates[i];
      if (in_.judgement.gates[i].truth == Truth::yes || gate.holds_visit) continue;
      Blocked blocked;
      blocked.after = plain_name(gate.name);
      for (const LeftAlone& left : in_.plan.left) {
        const auto is_held = [&](PointId point) { return std::count(gate.holds.begin(), gate.holds.end(), point) > 0; };
        if (!left.job || !std::any_of(left.points.begin(), left.points.end(), is_held)) continue;
        if (has(in_.judgement.declined, *left.job)) continue;
        const std::string& label = in_.program.jobs[*left.job].label;
        if (std::count(blocked.jobs.begin(), blocked.jobs.end(), label) == 0) blocked.jobs.push_back(label);
      }
      const auto opening = opening_jobs(gate);
      if (!opening.empty()) blocked.after = fmt::format("{}", fmt::join(opening, ", "));
      if (!blocked.jobs.empty()) estimate_.blocked.push_back(std::move(blocked));
    }
  }

  std::vector<std::string> opening_jobs(const GateInfo& gate) const {
    std::vector<std::string> labels;
    for (const JobChoice& choice : gate.jobs) {
      for (const JobId job : jobs_in(choice)) {
        const bool planned = std::any_of(in_.plan.lines.begin(), in_.plan.lines.end(),
                                         [&](const PlanLine& line) { return line.job == job; });
        if (planned) labels.push_back(in_.program.jobs[job].label);
      }
    }
    return labels;
  }

  void add_declined() {
    for (const JobId job : in_.judgement.declined) {
      const bool missed = std::any_of(in_.plan.left.begin(), in_.plan.left.end(),
                                      [&](const LeftAlone& left) { return left.job == job; });
      if (missed)
        estimate_.declined.push_back({in_.program.jobs[job].label, stays_without(in_.program, in_.judgement, job)});
    }
  }

  void list_unpriced() {
    for (const EstimateLine& line : estimate_.lines) {
      if (!line.price.has_amount()) estimate_.unpriced.push_back(line.label);
    }
  }

  void list_at_once() {
    for (const PlanLine& line : in_.plan.lines) {
      const bool planned = line.form == PlanLine::Form::job && line.job && !has(in_.judgement.agreed, *line.job);
      if (!in_.plan.ended_early || !planned || line.waits_for_yes) continue;
      const JobInfo& job = in_.program.jobs[*line.job];
      const Price price = book_.job(*line.job, 1);
      const bool costs = !job.covered && price.has_amount() && !price.cost.is_zero();
      (costs ? estimate_.paid_later : job.wait ? estimate_.rests : estimate_.at_once).push_back(job.label);
    }
  }

  // The plan is made again as if the owner had said no to everything that waits, and to what takes its place.
  void without_a_yes() {
    Judgement refused = in_.judgement;
    std::vector<EstimateLine> lines = estimate_.lines;
    bool any = false;
    while (refuse(lines, refused)) {
      any = true;
      const Plan plan = make_plan(in_.program, refused);
      lines =
          gather({in_.program, in_.house, in_.visit, refused, plan, in_.today, in_.last}, book_, Stage::planned).lines;
    }
    if (!any) return;
    estimate_.if_no = settle(lines, book_, rush());
    estimate_.gone_if_no = missing(estimate_.lines, lines);
    estimate_.new_if_no = missing(lines, estimate_.lines);
  }

  // What goes or comes with a refusal, besides the lines that were asked for.
  static std::vector<std::string> missing(const std::vector<EstimateLine>& from, const std::vector<EstimateLine>& in) {
    std::vector<std::string> labels;
    for (const EstimateLine& line : from) {
      const auto same = [&](const EstimateLine& each) { return each.kind == line.kind && each.name == line.name; };
      const bool follows = line.kind == LineKind::work || line.kind == LineKind::part || line.kind == LineKind::package;
      if (follows && !line.waits && std::none_of(in.begin(), in.end(), same)) labels.push_back(line.label);
    }
    return labels;
  }

  // False when nothing more waits for a yes.
  static bool refuse(const std::vector<EstimateLine>& lines, Judgement& judgement) {
    const std::size_t before = judgement.declined.size();
    for (const EstimateLine& line : lines) {
      if (!line.waits || !line.job || has(judgement.declined, *line.job)) continue;
      judgement.declined.push_back(*line.job);
      judgement.asked.erase(std::remove(judgement.asked.begin(), judgement.asked.end(), *line.job),
                            judgement.asked.end());
    }
    return judgement.declined.size() > before;
  }

  void ask_deposit() {
    estimate_.deposit_share = book_.deposit_share(estimate_.bill.net.typical);
    estimate_.deposit = share_of(estimate_.bill.net, estimate_.deposit_share, book_.rounding());
  }

  // What the owner was told the whole would come to, against what is agreed and covered now.
  void watch_ceiling(std::vector<EstimateLine> lines) {
    if (!in_.judgement.up_to) return;
    const auto told = to_minor(in_.judgement.up_to->value, book_.currency(), book_.rounding());
    if (!told) return;
    lines.erase(std::remove_if(lines.begin(), lines.end(), [](const EstimateLine& line) { return line.waits; }),
                lines.end());
    Ceiling ceiling;
    ceiling.told = *told;
    ceiling.now = total_of(std::move(lines));
    if (in_.house.ask_again) ceiling.leeway = in_.house.ask_again->quantity.value;
    const auto leeway = share_of(*told, ceiling.leeway.value_or(Ratio(0)), MoneyRounding::down);
    const auto most = leeway ? add_minor(*told, *leeway) : std::nullopt;
    ceiling.passed = ceiling.now.typical > *told;
    ceiling.may_pass = ceiling.now.high > *told;
    ceiling.ask_again = most && ceiling.now.typical > *most;
    estimate_.ceiling = ceiling;
  }

  void take_time() {
    Timing& timing = estimate_.timing;
    Ratio low_wait = 0;
    Ratio high_wait = 0;
    const auto more = [](Ratio& into, Ratio what) { into = add(into, what).value_or(into); };
    for (const PlanLine& line : in_.plan.lines) {
      if (!line.job || (line.form == PlanLine::Form::offer && line.waits_for_yes)) continue;
      const JobInfo& job = in_.program.jobs[*line.job];
      if (job.minutes) {
        more(timing.bench.typical, job.minutes->value);
        more(timing.bench.low, job.minutes_span ? job.minutes_span->first.value : job.minutes->value);
        more(timing.bench.high, job.minutes_span ? job.minutes_span->second.value : job.minutes->value);
      }
      if (job.wait) {
        more(low_wait, job.wait->first.value);
        more(high_wait, job.wait->second.value);
      }
    }
    timing.wait_days_low = days_up(low_wait);
    timing.wait_days_high = days_up(high_wait);
    if (low_wait == high_wait) timing.wait_hours = hours_up(high_wait);
    timing.due = in_.visit.due;
    timing.earliest = add_days(in_.today, timing.wait_days_low);
    timing.latest = add_days(in_.today, timing.wait_days_high);
  }

  // Not while it is stopped, for then nothing rests on it, nor where nothing costs anything.
  void assume() {
    if (estimate_.stopped || estimate_.finished || estimate_.lines.empty()) return;
    estimate_.assumed = assumed_in_order(in_.program, in_.judgement, in_.plan, estimate_.says);
  }

  void read_before() {
    for (const PlanLine& line : in_.plan.lines) {
      if (line.form == PlanLine::Form::read_first && !line.points.empty())
        estimate_.told.push_back(fmt::format("before anything else we measure {}; what it shows can change this paper",
                                             name_readings_for_owner(line.points)));
    }
  }

  void state_progress() {
    const auto is_done = [](const EstimateLine& line) {
      return (line.kind == LineKind::work && line.done) || !line.covers_done.empty();
    };
    estimate_.begun = std::any_of(estimate_.lines.begin(), estimate_.lines.end(), is_done);
    const auto is_open = [](const PlanLine& line) { return line.form != PlanLine::Form::offer || !line.waits_for_yes; };
    estimate_.finished = estimate_.begun && std::none_of(in_.plan.lines.begin(), in_.plan.lines.end(), is_open);
  }

  std::string name_readings_for_owner(const std::vector<PointId>& points) const {
    std::vector<std::string> names;
    for (const PointId point : points) {
      const std::string name = owner_name(in_.program, in_.program.points[point].reading);
      if (std::count(names.begin(), names.end(), name) == 0) names.push_back(name);
    }
    return fmt::format("{}", fmt::join(names, ", "));
  }

  void caution() {
    const bool work = !estimate_.finished &&
                      std::any_of(estimate_.lines.begin(), estimate_.lines.end(), [](const EstimateLine& line) {
                        return line.kind == LineKind::package || line.kind == LineKind::work;
                      });
    if (work) {
      estimate_.cautions.push_back(
          "wood moves with the weather: a set-up that is right today can want a touch when the "
          "season turns");
      estimate_.cautions.push_back(
          "parts of yours that stay on are used as they are; seized or worn ones can cost more, "
          "and we ask first");
      estimate_.cautions.push_back(
          "no original part is altered or thrown away without your yes; what is replaced comes "
          "back to you");
    }
    if (in_.visit.rush && !rush())
      estimate_.cautions.push_back(
          fmt::format("the house names no price for '{}', so nothing is added for the hurry", in_.visit.rush->text));
  }

  const EstimateInput& in_;
  PriceBook book_;
  Estimate estimate_;
};

bool all_fit(const Estimate& estimate) {
  bool fit = estimate.bill.total.fits && estimate.deposit.fits;
  if (estimate.at_most) fit = fit && estimate.at_most->fits;
  if (estimate.with_all_offers) fit = fit && estimate.with_all_offers->fits;
  if (estimate.afterwards) fit = fit && estimate.afterwards->price.fits;
  if (estimate.if_no) fit = fit && estimate.if_no->total.fits;
  if (estimate.ceiling) fit = fit && estimate.ceiling->now.fits;
  for (const EstimateLine& line : estimate.lines) {
    fit = fit && line.amount.fits && line.tax.fits;
    for (const Instead& instead : line.instead) fit = fit && instead.total.fits;
  }
  for (const EstimateLine& offer : estimate.offers)
    fit = fit && offer.amount.fits && offer.deposit.fits && (!offer.total_with || offer.total_with->fits);
  return fit;
}

std::optional<Estimate> fitting(Estimate estimate, const EstimateInput& in, Diagnostics& out) {
  if (all_fit(estimate)) return estimate;
  out.report(Code::sum_too_large, in.house.name.span,
             "the prices of this house add up to more than can be held exactly",
             "look for an amount with too many digits");
  return std::nullopt;
}

}  // namespace

ShopContact contact_of(const HouseTree& house) {
  const auto text = [](const std::optional<Word>& word) { return word ? word->text : std::string(); };
  return {text(house.address), text(house.phone), text(house.email)};
}

std::optional<Estimate> make_estimate(const EstimateInput& in, Diagnostics& out) {
  return fitting(Making(in).run(), in, out);
}

std::optional<Estimate> make_final(const EstimateInput& in, Diagnostics& out) {
  return fitting(Making(in).run_final(), in, out);
}

}  // namespace stringline
