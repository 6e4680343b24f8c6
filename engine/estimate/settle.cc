#include "engine/estimate/settle.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <span>

namespace stringline {
namespace {

bool is_work(const EstimateLine& line) {
  return line.kind == LineKind::package || line.kind == LineKind::work || line.kind == LineKind::step;
}

Cost sum_of(const std::vector<EstimateLine>& lines, bool (*wanted)(const EstimateLine&)) {
  Cost sum;
  for (const EstimateLine& line : lines) {
    if (wanted(line)) sum = sum + line.amount;
  }
  return sum;
}

void add_line(std::vector<EstimateLine>& lines, LineKind kind, std::string name, std::string label, Cost amount) {
  if (amount.is_zero() && amount.fits) return;
  EstimateLine line;
  line.kind = kind;
  line.name = std::move(name);
  line.label = std::move(label);
  line.price = {Price::How::flat, amount, 1, {}, {}};
  line.amount = amount;
  lines.push_back(std::move(line));
}

// A package that a job includes is not charged beside it.
void drop_included(std::vector<EstimateLine>& lines) {
  for (EstimateLine& package : lines) {
    if (package.kind != LineKind::package) continue;
    const auto includes = [&](const EstimateLine& line) {
      return line.kind == LineKind::work && line.price.includes == package.name;
    };
    const auto found = std::find_if(lines.begin(), lines.end(), includes);
    if (found == lines.end()) continue;
    package.included_in = found->label;
    package.amount = {};
  }
}

std::optional<Minutes> sum(const Minutes& a, const Minutes& b) {
  const auto low = add(a.low, b.low);
  const auto typical = add(a.typical, b.typical);
  const auto high = add(a.high, b.high);
  if (!low || !typical || !high) return std::nullopt;
  return Minutes{*low, *typical, *high};
}

// Where a line that was added is dearer on a good day than as a rule, or cheaper on a bad one, the range of the work narrows by as
// much: then each line's ends are in order and add up to the ends of the bill. There is always room, for no bill is dearer on a
// good day.
void keep_in_order(std::span<EstimateLine> lines, Cost& added) {
  if (!added.fits) return;
  std::int64_t low = std::max<std::int64_t>(0, added.low - added.typical);
  std::int64_t high = std::max<std::int64_t>(0, added.typical - added.high);
  added.low -= low;
  added.high += high;
  for (EstimateLine& line : lines) {
    const std::int64_t up = std::clamp<std::int64_t>(line.amount.typical - line.amount.low, 0, low);
    const std::int64_t down = std::clamp<std::int64_t>(line.amount.high - line.amount.typical, 0, high);
    line.amount.low += up;
    line.amount.high -= down;
    low -= up;
    high -= down;
  }
}

bool is_time(const EstimateLine& line) { return line.kind == LineKind::work && line.price.how == Price::How::time; }

// Bench time is one running sum: each line costs what it adds to it. What is missing to the last whole step belongs to the job
// where there is one alone, and is a line of its own where several share it.
void charge_time(std::vector<EstimateLine>& lines, const PriceBook& book) {
  Minutes so_far;
  Cost charged;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (!is_time(lines[i])) continue;
    const auto more = sum(so_far, lines[i].price.minutes);
    const auto cost = (more ? book.time(*more, false) : std::nullopt).value_or(Cost::too_large());
    lines[i].amount = cost - charged;
    keep_in_order({lines.data(), i}, lines[i].amount);
    charged = cost;
    if (more) so_far = *more;
  }
  const auto whole = book.time(so_far, true);
  if (!whole) return;
  if (std::count_if(lines.begin(), lines.end(), is_time) == 1) {
    std::find_if(lines.begin(), lines.end(), is_time)->amount = *whole;
    return;
  }
  Cost rest = *whole - charged;
  keep_in_order(lines, rest);
  add_line(lines, LineKind::step, "step", "bench time, made up to a whole step", rest);
}

void add_minimum(std::vector<EstimateLine>& lines, const PriceBook& book) {
  const auto minimum = book.minor(book.house().bench.minimum);
  const bool any = std::any_of(lines.begin(), lines.end(), [](const EstimateLine& line) {
    return is_work(line) && (line.price.has_amount() || line.done);
  });
  if (!minimum || !any) return;
  const Cost now = sum_of(
      lines, [](const EstimateLine& line) { return line.kind != LineKind::fee && line.kind != LineKind::credit; });
  Cost missing = at_least(Cost::exactly(*minimum) - now, 0);
  keep_in_order(lines, missing);
  add_line(lines, LineKind::minimum, "minimum", "up to the least the shop charges", missing);
}

void add_credits(std::vector<EstimateLine>& lines, const PriceBook& book) {
  const bool goes_ahead = std::any_of(
      lines.begin(), lines.end(), [](const EstimateLine& line) { return line.kind == LineKind::work && line.agreed; });
  Cost left = sum_of(lines, [](const EstimateLine& line) { return line.kind != LineKind::fee; });
  struct Taken {
    std::string name;
    std::string label;
    Cost amount;
  };
  std::vector<Taken> taken;
  for (const EstimateLine& line : lines) {
    const PriceTree* price = line.kind == LineKind::fee ? book.find_price(line.name) : nullptr;
    if (price == nullptr || !price->credited || !goes_ahead) continue;
    const Cost credit = lesser(line.amount, left);
    left = left - credit;
    taken.push_back({line.name, fmt::format("{}, credited", line.label), times(credit, -1)});
  }
  std::vector<EstimateLine> credits;
  for (Taken& each : taken) {
    keep_in_order(lines, each.amount);
    add_line(credits, LineKind::credit, each.name, each.label, each.amount);
  }
  lines.insert(lines.end(), credits.begin(), credits.end());
}

Ratio rate_of(LineKind kind, const TaxTree& tax) {
  const Ratio general = tax.rate ? tax.rate->quantity.value : Ratio(0);
  const auto own = [&](const std::optional<Number>& rate) { return rate ? rate->quantity.value : general; };
  switch (kind) {
    case LineKind::part: return own(tax.parts);
    case LineKind::fee:
    case LineKind::credit: return own(tax.fees);
    case LineKind::package:
    case LineKind::work:
    case LineKind::step:
    case LineKind::rush:
    case LineKind::minimum: break;
  }
  return own(tax.work);
}

// The share of an amount that is tax: of 120.00 with 20 % in it, one sixth.
std::optional<Ratio> tax_share(Ratio rate, bool included) {
  if (!included) return rate;
  const auto whole = add(Ratio(1), rate);
  return whole ? divide(rate, *whole) : std::nullopt;
}

Bill tax(std::vector<EstimateLine>& lines, const PriceBook& book) {
  struct Running {
    Cost amounts;
    TaxSum sum;
  };
  const TaxTree& tree = book.house().tax;
  std::map<Ratio, Running> by_rate;
  Bill bill;
  for (EstimateLine& line : lines) {
    line.tax_rate = rate_of(line.kind, tree);
    Running& running = by_rate[line.tax_rate];
    running.sum.rate = line.tax_rate;
    running.amounts = running.amounts + line.amount;
    const auto share = tax_share(line.tax_rate, tree.included);
    const Cost& of = tree.per_line ? line.amount : running.amounts;
    const Cost rounded = share ? share_of(of, *share, book.rounding()) : Cost::too_large();
    line.tax = tree.per_line ? rounded : rounded - running.sum.tax;
    line.net = tree.included ? line.amount - line.tax : line.amount;
    running.sum.tax = running.sum.tax + line.tax;
    running.sum.net = running.sum.net + line.net;
    bill.net = bill.net + line.net;
    bill.tax = bill.tax + line.tax;
  }
  bill.total = bill.net + bill.tax;
  for (const auto& [rate, running] : by_rate) bill.taxes.push_back(running.sum);
  return bill;
}

}  // namespace

Bill settle(std::vector<EstimateLine>& lines, const PriceBook& book, const std::optional<Surcharge>& rush) {
  std::stable_sort(lines.begin(), lines.end(),
                   [](const EstimateLine& a, const EstimateLine& b) { return a.kind < b.kind; });
  drop_included(lines);
  charge_time(lines, book);
  if (rush) {
    const Cost work = sum_of(lines, is_work);
    add_line(lines, LineKind::rush, rush->name, rush->label, share_of(work, rush->share, book.rounding()));
  }
  add_minimum(lines, book);
  add_credits(lines, book);
  std::stable_sort(lines.begin(), lines.end(),
                   [](const EstimateLine& a, const EstimateLine& b) { return a.kind < b.kind; });
  return tax(lines, book);
}

}  // namespace stringline
