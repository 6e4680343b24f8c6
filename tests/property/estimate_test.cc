// What every bill keeps to, in every rounding and tax mode: generated bills, and every visit of the example shop.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

#include "engine/estimate/settle.h"
#include "engine/paper/estimate_text.h"
#include "tests/support/till.h"

using namespace stringline;
using stringline::test::Till;

namespace {

constexpr unsigned seed = 20260601;

using End = std::int64_t Cost::*;
constexpr End ends[] = {&Cost::low, &Cost::typical, &Cost::high};

class Chance {
 public:
  explicit Chance(unsigned from) : engine_(from) {}
  std::int64_t number(std::int64_t from, std::int64_t to) {
    return std::uniform_int_distribution<std::int64_t>(from, to)(engine_);
  }
  bool one_in(int n) { return number(1, n) == 1; }

 private:
  std::mt19937 engine_;
};

Number percent(std::int64_t tenths) {
  return {make_quantity(*Ratio::make(tenths, 10), Unit::percent).value(), std::to_string(tenths)};
}
Number plain(std::int64_t value) { return {{Ratio(value), Unit::none}, std::to_string(value)}; }

HouseTree some_house(Chance& chance) {
  HouseTree house;
  static const char* const codes[] = {"JPY", "USD", "KWD"};
  house.currency = Word{codes[chance.number(0, 2)], {}};
  house.rounding = static_cast<MoneyRounding>(chance.number(0, 3));
  house.tax.rate = percent(chance.number(0, 300));
  house.tax.included = chance.one_in(2);
  house.tax.per_line = chance.one_in(2);
  if (chance.one_in(2)) house.tax.parts = percent(chance.number(0, 300));
  if (chance.one_in(2)) house.tax.fees = percent(chance.number(0, 300));
  if (chance.one_in(2)) house.bench.minimum = plain(chance.number(0, 100));
  house.bench.rate = plain(chance.number(1, 150));
  if (chance.one_in(2)) house.bench.step = Number{make_quantity(chance.number(1, 30), Unit::minute).value(), ""};
  return house;
}

EstimateLine some_line(Chance& chance, std::size_t number) {
  static constexpr LineKind kinds[] = {LineKind::work, LineKind::work, LineKind::part, LineKind::fee,
                                       LineKind::package};
  EstimateLine line;
  line.kind = kinds[chance.number(0, 4)];
  line.name = line.label = "line " + std::to_string(number);
  const std::int64_t low = chance.number(0, 50'000);
  const std::int64_t typical = low + (chance.one_in(2) ? 0 : chance.number(0, 20'000));
  const std::int64_t high = typical + (chance.one_in(2) ? 0 : chance.number(0, 20'000));
  line.price = {Price::How::flat, {low, typical, high, true}, 1, {}, {}};
  if (line.kind == LineKind::work && chance.one_in(2)) {
    line.price.how = Price::How::time;
    line.price.minutes = {low / 500, typical / 500, high / 500};
  }
  line.amount = line.price.cost;
  return line;
}

struct Made {
  std::vector<EstimateLine> lines;
  Bill bill;
};

Made made(const HouseTree& house, std::vector<EstimateLine> lines, const std::optional<Surcharge>& rush) {
  static const Program program;
  static const Judgement judgement;
  const Bill bill = settle(lines, PriceBook(house, program, judgement), rush);
  return {std::move(lines), bill};
}

// As the paper prints them: what a line costs, and between which ends.
void printed_amounts_add_up(const HouseTree& house, const Bill& bill, const std::vector<EstimateLine>& lines) {
  Cost sum;
  for (const EstimateLine& line : lines) {
    CAPTURE(line.name, line.amount.low, line.amount.typical, line.amount.high);
    CHECK(line.amount.low <= line.amount.typical);
    CHECK(line.amount.typical <= line.amount.high);
    sum = sum + line.amount;
  }
  CHECK(sum == (house.tax.included ? bill.total : bill.net));
}

void adds_up(const Bill& bill, const std::vector<EstimateLine>& lines) {
  for (const End end : ends) {
    std::int64_t net = 0;
    std::int64_t tax = 0;
    for (const EstimateLine& line : lines) {
      net += line.net.*end;
      tax += line.tax.*end;
    }
    CHECK(net == bill.net.*end);
    CHECK(tax == bill.tax.*end);
    CHECK(net + tax == bill.total.*end);
    std::int64_t by_rate = 0;
    for (const TaxSum& sum : bill.taxes) by_rate += sum.tax.*end;
    CHECK(by_rate == tax);
  }
}

std::vector<std::string> visits() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator("examples/harrow_lane/visits"))
    names.push_back(entry.path().stem().string());
  std::sort(names.begin(), names.end());
  return names;
}

bool holds(const std::vector<JobId>& jobs, JobId job) { return std::count(jobs.begin(), jobs.end(), job) > 0; }

}  // namespace

TEST_CASE("line nets add up to the net, and net and tax to the total, in every rounding and tax mode") {
  INFO("seed " << seed);
  Chance chance(seed);
  for (int round = 0; round < 2000; ++round) {
    CAPTURE(round);
    const HouseTree house = some_house(chance);
    std::vector<EstimateLine> lines;
    for (std::int64_t n = chance.number(0, 8); n > 0; --n) lines.push_back(some_line(chance, lines.size()));
    const auto rush = chance.one_in(3) ? std::optional(Surcharge{"rush", "rush", *Ratio::make(chance.number(0, 9), 8)})
                                       : std::nullopt;
    const Made bill = made(house, lines, rush);
    REQUIRE(bill.bill.total.fits);
    adds_up(bill.bill, bill.lines);
    printed_amounts_add_up(house, bill.bill, bill.lines);
    for (const EstimateLine& line : bill.lines) {
      if (line.tax_rate == Ratio(0)) CHECK(line.tax.is_zero());
    }
  }
}

// With tax in the prices and a rate for each kind of line, a minimum that a part has filled up carries the part's tax: then it is
// what is paid that never falls. So it is where the tax in each price is rounded alone.
TEST_CASE("adding a line never lowers the net, nor what is paid") {
  INFO("seed " << seed);
  Chance chance(seed + 1);
  for (int round = 0; round < 2000; ++round) {
    CAPTURE(round);
    const HouseTree house = some_house(chance);
    const bool one_rounding = !house.tax.parts && !house.tax.fees && !house.tax.per_line;
    std::vector<EstimateLine> lines;
    for (std::int64_t n = chance.number(0, 6); n > 0; --n) lines.push_back(some_line(chance, lines.size()));
    const auto rush = chance.one_in(3) ? std::optional(Surcharge{"rush", "rush", *Ratio::make(chance.number(0, 9), 8)})
                                       : std::nullopt;
    const Bill before = made(house, lines, rush).bill;
    lines.push_back(some_line(chance, 99));
    const Bill after = made(house, lines, rush).bill;
    for (const End end : ends) {
      if (!house.tax.included || one_rounding) CHECK(after.net.*end >= before.net.*end);
      if (house.tax.included) CHECK(after.total.*end >= before.total.*end);
    }
  }
}

TEST_CASE("no estimate of the example shop contains a job that its plan does not, nor charges one twice") {
  for (const std::string& name : visits()) {
    CAPTURE(name);
    Till till(name);
    const auto estimate = till.priced();
    REQUIRE(estimate);
    adds_up(estimate->bill, estimate->lines);
    printed_amounts_add_up(till.house, estimate->bill, estimate->lines);
    std::vector<JobId> planned;
    for (const PlanLine& line : till.plan.lines) {
      for (const auto& job : {line.job, line.if_low, line.if_high}) {
        if (job) planned.push_back(*job);
      }
    }
    std::vector<JobId> charged;
    for (const EstimateLine& line : estimate->lines) {
      if (!line.job) continue;
      CHECK((holds(planned, *line.job) || holds(till.judgement.done, *line.job)));
      CHECK_FALSE(holds(till.judgement.declined, *line.job));
      CHECK_FALSE(holds(charged, *line.job));
      charged.push_back(*line.job);
    }
    for (const EstimateLine& offer : estimate->offers) CHECK(holds(planned, *offer.job));
    for (const Later& later : estimate->later) {
      for (const EstimateLine& line : later.extra) CHECK(holds(planned, *line.job));
    }
  }
}

TEST_CASE("an agreed amount is never exceeded silently, whatever was agreed") {
  INFO("seed " << seed);
  Chance chance(seed + 2);
  for (const std::string& name : visits()) {
    CAPTURE(name);
    Till till(name);
    for (int round = 0; round < 6; ++round) {
      const std::int64_t told = chance.number(0, 60'000);
      const auto estimate = till.priced([told](HouseTree&, VisitTree&, Judgement& judgement) {
        judgement.up_to = Quantity{*Ratio::make(told, 100), Unit::none};
      });
      REQUIRE(estimate);
      REQUIRE(estimate->ceiling);
      const std::int64_t now = estimate->ceiling->now.typical;
      CHECK(estimate->ceiling->passed == (now > told));
      CHECK(estimate->ceiling->ask_again == (10 * now > 11 * told));  // ask_again: over 10 %
      const std::string text = estimate_text(*estimate);
      if (now > told) CHECK(text.find("You agreed to") != std::string::npos);
      // Nothing that was agreed stands in the total beyond what the paper calls agreed.
      std::int64_t released = 0;
      for (const EstimateLine& line : estimate->lines) released += line.waits ? 0 : line.amount.typical;
      CHECK(now <= std::max(released, estimate->bill.total.typical));
    }
  }
}

TEST_CASE("the owner's paper fits a telephone, whatever the visit") {
  for (const std::string& name : visits()) {
    Till till(name);
    const auto estimate = till.priced();
    REQUIRE(estimate);
    const std::string text = estimate_text(*estimate);
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = text.find('\n', at);
      const std::string line = text.substr(at, end - at);
      CAPTURE(name, line);
      CHECK(line.size() <= 64);
      at = end + 1;
    }
  }
}
