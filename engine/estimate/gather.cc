#include "engine/estimate/gather.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/estimate/before_work.h"
#include "engine/estimate/owner_words.h"
#include "engine/text/plain_name.h"

namespace stringline {

bool has(const std::vector<JobId>& jobs, JobId job) { return std::count(jobs.begin(), jobs.end(), job) > 0; }

namespace {

class Gathering {
 public:
  Gathering(const EstimateInput& in, const PriceBook& book, Stage stage)
      : in_(in), book_(book), stage_(stage), before_(in) {}

  Gathered run() {
    if (stage_ == Stage::planned) take_plan();
    take_done();
    add_package();
    take_fitted();
    take_used();
    if (!in_.plan.charge.empty()) add_fee(in_.plan.charge);
    return std::move(result_);
  }

 private:
  const JobInfo& info(JobId job) const { return in_.program.jobs[job]; }
  bool is_line(JobId job) const {
    return std::any_of(result_.lines.begin(), result_.lines.end(),
                       [&](const EstimateLine& line) { return line.job == job; });
  }

  void take_plan() {
    for (const PlanLine& line : in_.plan.lines) {
      if (!line.job) continue;
      const bool offer = line.form == PlanLine::Form::offer;
      if (line.waits_for_yes && (offer || in_.plan.ended_early)) {
        result_.offers.push_back(work_line(*line.job, &line));
        continue;
      }
      if (in_.plan.ended_early && !has(in_.judgement.agreed, *line.job)) continue;
      planned_.push_back(*line.job);
      if (info(*line.job).covered && !offer && !in_.plan.ended_early)
        covered_.push_back(*line.job);
      else if (!is_line(*line.job))
        result_.lines.push_back(work_line(*line.job, &line));
    }
  }

  void take_done() {
    for (const JobId job : in_.judgement.done) {
      if (in_.plan.ended_early && !has(in_.judgement.agreed, job)) continue;
      if (info(job).covered) {
        if (!has(covered_, job)) covered_.push_back(job);
      } else if (!is_line(job)) {
        result_.lines.push_back(done_line(job));
      }
    }
  }

  void add_package() {
    const auto& packages = in_.house.packages;
    if (covered_.empty() || in_.plan.ended_early || packages.empty()) return;
    const std::string wanted = in_.visit.package ? in_.visit.package->text : packages.front().name.text;
    const PackageTree* tree = book_.find_package(wanted);
    if (tree == nullptr) return;
    EstimateLine line;
    line.kind = LineKind::package;
    line.name = wanted;
    line.label = tree->label ? tree->label->text : plain_name(wanted);
    line.price = package_price(wanted);
    line.amount = line.price.cost;
    if (tree->for_owner) line.for_what = tree->for_owner->text;
    for (const JobId job : covered_) {
      const auto planned = std::find_if(in_.plan.lines.begin(), in_.plan.lines.end(), [&](const PlanLine& each) {
        return each.job == job && each.form == PlanLine::Form::job;
      });
      line.covers.push_back(info(job).label);
      if (planned == in_.plan.lines.end())
        line.covers_done.push_back(info(job).label);
      else if (stage_ == Stage::planned)
        explain(line, *planned);
    }
    result_.lines.push_back(std::move(line));
  }

  // By what was known before the first of its jobs was done.
  Price package_price(const std::string& name) {
    const BeforeWork::Moment* first = nullptr;
    if (book_.package_varies(name)) {
      for (const JobId job : covered_) {
        const auto moments = before_.of(job);
        if (!moments.empty() && (first == nullptr || moments.front()->program.log.size() < first->program.log.size()))
          first = moments.front();
      }
    }
    return first != nullptr ? first->book.package(name) : book_.package(name);
  }

  // Why a job of the package is done, where the profile says it to the owner.
  void explain(EstimateLine& package, const PlanLine& planned) const {
    if (!info(*planned.job).for_owner) return;
    const auto add = [](std::vector<std::string>& into, std::vector<std::string> texts) {
      for (std::string& text : texts) {
        if (std::count(into.begin(), into.end(), text) == 0) into.push_back(std::move(text));
      }
    };
    add(package.why, why(in_.program, in_.judgement, planned));
    add(package.measured, measured(in_.program, in_.judgement, planned));
  }

  // Priced by what was known before it was done, every time it was.
  EstimateLine done_line(JobId job) {
    const auto moments = book_.job_varies(job) ? before_.of(job) : std::vector<const BeforeWork::Moment*>();
    EstimateLine line = moments.empty() ? work_line(job, nullptr) : line_before(job, moments);
    line.done = true;
    return line;
  }

  EstimateLine line_before(JobId job, const std::vector<const BeforeWork::Moment*>& moments) const {
    int called = 0;
    Places places;
    for (const BeforeWork::Moment* moment : moments) {
      called += calls(moment->program, moment->judgement, job);
      if (const PlanLine* planned = moment->line_of(job)) add_places(*planned, places);
      for (const Axis axis : called_over(moment->program, moment->judgement, job)) places.axes.insert(axis);
    }
    const int count = std::max({1, static_cast<int>(places.at.size()), called});
    return priced_line(job, nullptr, moments.back()->book.job(job, count), places.axes);
  }

  EstimateLine work_line(JobId job, const PlanLine* planned) const {
    Places places;
    if (planned != nullptr) add_places(*planned, places);
    for (const Axis axis : called_over(in_.program, in_.judgement, job)) places.axes.insert(axis);
    const int called = calls(in_.program, in_.judgement, job);
    const int count = std::max({1, static_cast<int>(places.at.size()), called});
    return priced_line(job, planned, book_.job(job, count), places.axes);
  }

  EstimateLine priced_line(JobId job, const PlanLine* planned, const Price& price, const std::set<Axis>& axes) const {
    EstimateLine line;
    line.job = job;
    line.name = info(job).name;
    line.label = info(job).label;
    set_price(line, price, axes);
    line.waits = planned != nullptr && planned->waits_for_yes;
    line.asked = has(in_.judgement.asked, job);
    line.agreed = has(in_.judgement.agreed, job);
    if (planned != nullptr) {
      line.why = why(in_.program, in_.judgement, *planned);
      line.measured = measured(in_.program, in_.judgement, *planned);
    }
    line.if_left = stays_without(in_.program, in_.judgement, job);
    hold_to_agreed(line);
    if (stage_ == Stage::final) settle_on_typical(line);
    return line;
  }

  // A bill has one number where the paper had two.
  static void settle_on_typical(EstimateLine& line) {
    const Ratio minutes = line.price.minutes.typical;
    line.price.minutes = {minutes, minutes, minutes};
    const bool fits = line.price.cost.fits;
    line.price.cost = Cost::exactly(line.price.cost.typical);
    line.price.cost.fits = fits;
    line.amount = line.price.cost;
  }

  // The price that the owner said yes to stands, whatever the list says now.
  void hold_to_agreed(EstimateLine& line) const {
    if (!line.agreed) return;
    std::optional<std::int64_t> amount;
    for (std::size_t i = 0; i < in_.program.log.size() && i < in_.visit.log.size(); ++i) {
      const auto& agreed = in_.visit.log[i].agreed;
      if (!agreed || in_.program.log[i].struck || !agreed->amount) continue;
      const auto& yes = in_.program.log[i].agreed;  // the log may call it by its label
      if (yes && !yes->jobs.empty() && in_.program.jobs[yes->jobs.front()].name == line.name)
        amount = book_.minor(agreed->amount);
    }
    if (!amount) return;
    if (line.price.has_amount() && line.price.cost != Cost::exactly(*amount)) line.listed = line.price.cost;
    line.price.how = Price::How::flat;
    line.price.cost = Cost::exactly(*amount);
    line.amount = line.price.cost;
  }

  // Where a job works: the places that ask for it, and what they are members of.
  struct Places {
    std::set<std::array<int, axis_count>> at;
    std::set<Axis> axes;
  };

  void add_places(const PlanLine& planned, Places& places) const {
    for (const PointId point : planned.points) {
      places.at.insert(in_.program.points[point].at);
      for (const Axis axis : in_.program.reading_of(point).axes) places.axes.insert(axis);
    }
  }

  // "6 strings" beside a price for each, where all of them are of one axis.
  static void set_price(EstimateLine& line, const Price& price, const std::set<Axis>& axes) {
    line.price = price;
    line.amount = price.cost;
    if (price.how != Price::How::each || price.count < 2) return;
    static constexpr const char* names[] = {"sides", "strings", "frets", "pickups"};
    const char* name = axes.size() == 1 ? names[static_cast<std::size_t>(*axes.begin())] : "places";
    line.places = fmt::format("{} {}", price.count, name);
  }

  void take_fitted() {
    if (in_.plan.ended_early) return;
    for (const Entry& entry : in_.program.log) {
      if (entry.struck) continue;
      std::set<std::string> used;
      for (const DidEvent& did : entry.did) {
        if (!info(did.job).uses.empty()) used.insert(info(did.job).uses);
      }
      if (entry.fitted) {
        add_part(part_line(in_, book_, entry.fitted_name), true);
        const PartTree* fitted = book_.find_part(entry.fitted_name);
        used.erase(entry.fitted_name);
        if (fitted == nullptr || !fitted->strings.empty()) used.erase("strings");
      }
      for (const std::string& name : used) add_part(part_line(in_, book_, name), true);
    }
  }

  void take_used() {
    std::set<std::string> used;
    for (const JobId job : planned_) {
      if (!info(job).uses.empty()) used.insert(info(job).uses);
    }
    for (const std::string& name : used) add_part(part_line(in_, book_, name));
  }

  void add_part(EstimateLine part, bool done = false) {
    part.done = done;
    for (EstimateLine& line : result_.lines) {
      if (line.kind != LineKind::part || line.name != part.name) continue;
      ++line.price.count;
      line.price.cost = line.price.cost + part.price.cost;
      line.amount = line.price.cost;
      line.done = line.done && done;
      return;
    }
    result_.lines.push_back(std::move(part));
  }

  void add_fee(const std::string& name) {
    EstimateLine line;
    line.kind = LineKind::fee;
    line.name = name;
    const PriceTree* price = book_.find_price(name);
    line.label = price != nullptr && price->label ? price->label->text : plain_name(name);
    line.price = book_.named(name);
    line.credited = price != nullptr && price->credited;
    line.amount = line.price.cost;
    result_.lines.push_back(std::move(line));
  }

  const EstimateInput& in_;
  const PriceBook& book_;
  Stage stage_;
  BeforeWork before_;
  Gathered result_;
  std::vector<JobId> planned_;
  std::vector<JobId> covered_;
};

bool same_gauges(const std::vector<Course>& a, const std::vector<Course>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const Course& x, const Course& y) { return x.written == y.written; });
}

// The house's name of the strings that this instrument wears.
std::string set_of(const EstimateInput& in) {
  const auto& strings = in.visit.instrument.strings;
  if (!strings) return "strings";
  if (strings->set) return strings->set->text;
  for (const PartTree& part : in.house.parts) {
    if (!part.strings.empty() && same_gauges(part.strings, strings->courses)) return part.name.text;
  }
  return "strings";
}

std::string digits_of(const Course& course) {
  return course.written.substr(0, course.written.find_first_not_of("0123456789."));
}

}  // namespace

std::string set_text(const PartTree& part) {
  if (part.label || part.strings.empty()) return part.label ? part.label->text : plain_name(part.name.text);
  const auto thicker = [](const Course& a, const Course& b) {
    return a.strings.front().diameter < b.strings.front().diameter;
  };
  const auto [thin, thick] = std::minmax_element(part.strings.begin(), part.strings.end(), thicker);
  return fmt::format("{} to {}", digits_of(*thin), digits_of(*thick));
}

EstimateLine part_line(const EstimateInput& in, const PriceBook& book, const std::string& name) {
  EstimateLine line;
  line.kind = LineKind::part;
  line.name = name == "strings" ? set_of(in) : name;
  line.price = book.part(line.name);
  line.amount = line.price.cost;
  const PartTree* part = book.find_part(line.name);
  if (part != nullptr && part->label) {
    line.label = part->label->text;
  } else if (part != nullptr && !part->strings.empty()) {
    line.label = "set of strings, " + set_text(*part);
  } else {
    line.label = line.name == "strings" ? "set of strings" : plain_name(line.name);
  }
  return line;
}

Gathered gather(const EstimateInput& in, const PriceBook& book, Stage stage) {
  return Gathering(in, book, stage).run();
}

}  // namespace stringline
