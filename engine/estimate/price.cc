#include "engine/estimate/price.h"

#include <algorithm>
#include <utility>

namespace stringline {
namespace {

template <class Tree>
const Tree* find_named(const std::vector<Tree>& list, const std::string& name) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const Tree& each) { return each.name.text == name; });
  return found == list.end() ? nullptr : &*found;
}

// Rounded up to a whole number of steps.
std::optional<Ratio> in_whole_steps(Ratio minutes, Ratio step) {
  const auto count = divide(minutes, step);
  if (!count) return std::nullopt;
  const std::int64_t whole = count->num() / count->den() + (count->num() % count->den() > 0 ? 1 : 0);
  return multiply(Ratio(whole), step);
}

Currency currency_of(const HouseTree& house) {
  const auto known = house.currency ? find_currency(house.currency->text) : std::nullopt;
  return known.value_or(Currency{"", 2});
}

bool varies(const std::map<std::string, TypedChoice<TypedPtr>>& prices, const std::string& name) {
  const auto found = prices.find(name);
  if (found == prices.end()) return false;
  const auto* leaf = std::get_if<TypedPtr>(&found->second.node);
  return leaf == nullptr || !std::holds_alternative<typed::Constant>((*leaf)->node);
}

Price flat(Cost cost) { return {Price::How::flat, cost, 1, {}, {}}; }

}  // namespace

PriceBook::PriceBook(const HouseTree& house, const Program& program, const Judgement& judgement)
    : house_(house), program_(program), judgement_(judgement), currency_(currency_of(house)) {}

const PriceTree* PriceBook::find_price(const std::string& name) const { return find_named(house_.prices, name); }
const PartTree* PriceBook::find_part(const std::string& name) const { return find_named(house_.parts, name); }
const PackageTree* PriceBook::find_package(const std::string& name) const { return find_named(house_.packages, name); }

std::optional<std::int64_t> PriceBook::minor(const std::optional<Number>& amount) const {
  return amount ? to_minor(amount->quantity.value, currency_, rounding()) : std::nullopt;
}

// What a table or an expression comes to; between two ends where what it hangs on is not known.
std::optional<Cost> PriceBook::worth(const TypedChoice<TypedPtr>& choice) const {
  const Scene scene(program_, judgement_);
  const Result result = Evaluator(program_, scene).evaluate(choice);
  const Interval& number = result.value.number;
  if (result.failure || !number.lo || !number.hi || number.lo->negative()) return std::nullopt;
  const auto low = to_minor(*number.lo, currency_, rounding());
  const auto high = to_minor(*number.hi, currency_, rounding());
  if (!low || !high) return Cost::too_large();
  return Cost{*low, *high, *high, true};
}

std::optional<Cost> PriceBook::whole_price(const PriceTree& price) const {
  if (price.between) {
    const auto low = minor(std::get<Number>(price.between->lo->node));
    const auto high = minor(std::get<Number>(price.between->hi->node));
    return low && high ? Cost{*low, *high, *high, true} : Cost::too_large();
  }
  const auto found = program_.money.prices.find(price.name.text);
  return found == program_.money.prices.end() ? std::nullopt : worth(found->second);
}

Price PriceBook::priced(const PriceTree& price, int members) const {
  Price result;
  if (price.includes) result.includes = price.includes->text;
  if (price.by_quote) {
    result.how = Price::How::by_quote;
  } else if (price.each) {
    result.how = Price::How::each;
    result.count = members;
    const auto one = minor(price.each);
    result.cost = one ? times(Cost::exactly(*one), members) : Cost::too_large();
    if (const auto most = minor(price.at_most)) result.cost = at_most(result.cost, *most);
  } else if (const auto whole = whole_price(price)) {
    result.how = Price::How::flat;
    result.cost = *whole;
  }
  return result;
}

Price PriceBook::job(JobId job, int members) const {
  const JobInfo& info = program_.jobs[job];
  if (const PriceTree* price = find_price(info.name)) {
    Price result = priced(*price, members);
    if (result.how != Price::How::none) return result;
  }
  if (!info.minutes) return {};
  Price result;
  const Ratio typical = info.minutes->value;
  result.minutes = {typical, typical, typical};
  if (info.minutes_span) result.minutes = {info.minutes_span->first.value, typical, info.minutes_span->second.value};
  if (const auto cost = time(result.minutes, false)) {
    result.how = Price::How::time;
    result.cost = *cost;
  }
  return result;
}

bool PriceBook::job_varies(JobId job) const {
  const std::string& name = program_.jobs[job].name;
  const PriceTree* price = find_price(name);
  return price != nullptr && (price->each || varies(program_.money.prices, name));
}

bool PriceBook::package_varies(const std::string& name) const { return varies(program_.money.packages, name); }

Price PriceBook::named(const std::string& name) const {
  const PriceTree* price = find_price(name);
  return price != nullptr ? priced(*price, 1) : Price{};
}

Price PriceBook::part(const std::string& name) const {
  const PartTree* part = find_part(name);
  if (part == nullptr) return {};
  if (part->price) {
    const auto amount = minor(part->price);
    return flat(amount ? Cost::exactly(*amount) : Cost::too_large());
  }
  const auto cost = minor(part->cost);
  if (!part->cost) return {};
  if (!cost) return flat(Cost::too_large());
  const Ratio markup = house_.markup ? house_.markup->quantity.value : Ratio(0);
  return flat(Cost::exactly(*cost) + share_of(Cost::exactly(*cost), markup, rounding()));
}

Price PriceBook::package(const std::string& name) const {
  const auto found = program_.money.packages.find(name);
  const auto cost = found == program_.money.packages.end() ? std::nullopt : worth(found->second);
  return cost ? flat(*cost) : Price{};
}

std::optional<Cost> PriceBook::time(const Minutes& minutes, bool in_steps) const {
  if (!house_.bench.rate) return std::nullopt;
  const Ratio hourly = house_.bench.rate->quantity.value;
  const auto step = house_.bench.step ? in_unit(house_.bench.step->quantity.value, Unit::minute) : std::nullopt;
  const auto cost_of = [&](Ratio at_bench) -> std::optional<std::int64_t> {
    const auto charged = in_steps && step ? in_whole_steps(at_bench, *step) : std::optional(at_bench);
    const auto hours = charged ? divide(*charged, Ratio(60)) : std::nullopt;
    const auto units = hours ? multiply(*hours, hourly) : std::nullopt;
    return units ? to_minor(*units, currency_, rounding()) : std::nullopt;
  };
  const auto low = cost_of(minutes.low);
  const auto typical = cost_of(minutes.typical);
  const auto high = cost_of(minutes.high);
  if (!low || !typical || !high) return Cost::too_large();
  return Cost{*low, *typical, *high, true};
}

Ratio PriceBook::deposit_share(std::int64_t net) const {
  if (!program_.money.deposit) return 0;
  std::int64_t per_unit = 1;
  for (int i = 0; i < currency_.minor_digits; ++i) per_unit *= 10;
  const auto units = Ratio::make(net, per_unit);
  if (!units) return 0;
  const Scene scene(program_, judgement_);
  Evaluator evaluator(program_, scene);
  Value total;
  total.number = Interval::exactly(*units);
  evaluator.set_total(total);
  const Result share = evaluator.evaluate(*program_.money.deposit);
  const Interval& number = share.value.number;
  return !share.failure && number.hi && !number.hi->negative() ? *number.hi : Ratio(0);
}

}  // namespace stringline
