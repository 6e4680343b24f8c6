#include "engine/estimate/settle.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

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

// Bench time is one running sum: each line costs what it adds to it, and the last step is filled up at the end.
void charge_time(std::vector<EstimateLine>& lines, const PriceBook& book) {
  Minutes so_far;
  Cost charged;
  for (EstimateLine& line : lines) {
    if (line.kind != LineKind::work || line.price.how != Price::How::time) continue;
    const auto more = sum(so_far, line.price.minutes);
    const auto cost = more ? book.time(*more, false) : std::nullopt;
    line.amount = cost ? *cost - charged : Cost::too_large();
    charged = charged + line.amount;
    if (more) so_far = *more;
  }
  if (const auto whole = book.time(so_far, true))
    add_line(lines, LineKind::step, "step", "bench time, up to the next whole step", *whole - charged);
}

void add_minimum(std::vector<EstimateLine>& lines, const PriceBook& book) {
  const auto minimum = book.minor(book.house().bench.minimum);
  const bool any = std::any_of(lines.begin(), lines.end(), [](const EstimateLine& line) {
    return is_work(line) && (line.price.has_amount() || line.agreed);
  });
  if (!minimum || !any) return;
  const Cost now = sum_of(
      lines, [](const EstimateLine& line) { return line.kind != LineKind::fee && line.kind != LineKind::credit; });
  add_line(lines, LineKind::minimum, "minimum", "up to the least the shop charges",
           at_least(Cost::exactly(*minimum) - now, 0));
}

void add_credits(std::vector<EstimateLine>& lines, const PriceBook& book) {
  const bool goes_ahead = std::any_of(
      lines.begin(), lines.end(), [](const EstimateLine& line) { return line.kind == LineKind::work && line.agreed; });
  Cost left = sum_of(lines, [](const EstimateLine& line) { return line.kind != LineKind::fee; });
  std::vector<EstimateLine> credits;
  for (const EstimateLine& line : lines) {
    const PriceTree* price = line.kind == LineKind::fee ? book.find_price(line.name) : nullptr;
    if (price == nullptr || !price->credited || !goes_ahead) continue;
    const Cost credit = lesser(line.amount, left);
    left = left - credit;
    add_line(credits, LineKind::credit, line.name, fmt::format("{}, credited", line.label), times(credit, -1));
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
