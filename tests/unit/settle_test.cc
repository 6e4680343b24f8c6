#include "engine/estimate/settle.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

using namespace stringline;

namespace {

Number number(const std::string& text, Unit unit = Unit::none) {
  const auto quantity = make_quantity(Ratio::parse(text).value(), unit);
  return {quantity.value(), text};
}

// A house of which only its money is said, and bills made by hand.
struct Till {
  HouseTree house;
  Program program;
  Judgement judgement;

  explicit Till(const std::string& currency = "USD") { house.currency = Word{currency, {}}; }

  Bill settle(std::vector<EstimateLine>& lines, std::optional<Surcharge> rush = std::nullopt) const {
    return stringline::settle(lines, PriceBook(house, program, judgement), rush);
  }
};

EstimateLine line(LineKind kind, const std::string& name, std::int64_t amount) {
  EstimateLine made;
  made.kind = kind;
  made.name = made.label = name;
  made.price = {Price::How::flat, Cost::exactly(amount), 1, {}, {}};
  made.amount = Cost::exactly(amount);
  return made;
}

EstimateLine bench(const std::string& name, std::int64_t low, std::int64_t typical, std::int64_t high) {
  EstimateLine made = line(LineKind::work, name, 0);
  made.price.how = Price::How::time;
  made.price.minutes = {low, typical, high};
  return made;
}

std::vector<std::string> names(const std::vector<EstimateLine>& lines) {
  std::vector<std::string> all;
  for (const EstimateLine& each : lines) all.push_back(each.name + " " + std::to_string(each.amount.typical));
  return all;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("a bill is in the order of the paper, whatever the order it was made in") {
  const Till till;
  std::vector<EstimateLine> lines{line(LineKind::fee, "look", 3000), line(LineKind::part, "set", 800),
                                  line(LineKind::work, "level", 18000), line(LineKind::package, "setup", 8500)};
  const Bill bill = till.settle(lines);
  CHECK(names(lines) == Names{"setup 8500", "level 18000", "set 800", "look 3000"});
  CHECK(bill.net == Cost::exactly(30300));
  CHECK(bill.total == bill.net);
}

TEST_CASE("a package that a job includes is not charged beside it") {
  const Till till;
  std::vector<EstimateLine> lines{line(LineKind::package, "setup", 8500), line(LineKind::work, "refret", 46000)};
  lines[1].price.includes = "setup";
  CHECK(till.settle(lines).net == Cost::exactly(46000));
  CHECK(lines[0].included_in == "refret");
  lines[1].price.includes = "another";
  lines[0].included_in.clear();
  lines[0].amount = Cost::exactly(8500);
  CHECK(till.settle(lines).net == Cost::exactly(54500));
}

TEST_CASE("bench time is charged in whole steps of the sum, not of every job") {
  Till till;
  till.house.bench.rate = number("90");
  till.house.bench.step = number("15", Unit::minute);
  std::vector<EstimateLine> lines{bench("a", 5, 5, 5), bench("b", 5, 5, 10), bench("c", 5, 6, 10)};
  const Bill bill = till.settle(lines);
  // 90.00 an hour is 1.50 a minute: 15 min one step, 16 and 25 min two.
  CHECK(bill.net == Cost{2250, 4500, 4500, true});
  CHECK(names(lines) == Names{"a 750", "b 750", "c 900", "step 2100"});
  // The fill is 0 on a good day, 21.00 as a rule, 7.50 on a bad one, whose other lines give way: it costs no more in all.
  CHECK(lines[3].amount == Cost{0, 2100, 2100, true});
  CHECK(lines[0].amount.high + lines[1].amount.high + lines[2].amount.high == 4500 - 2100);
}

TEST_CASE("a job alone on the bench holds its whole steps in its own price") {
  Till till;
  till.house.bench.rate = number("90");
  till.house.bench.step = number("15", Unit::minute);
  std::vector<EstimateLine> lines{bench("seat", 10, 20, 40), line(LineKind::package, "setup", 8500)};
  const Bill bill = till.settle(lines);
  CHECK(names(lines) == Names{"setup 8500", "seat 4500"});
  CHECK(lines[1].amount == Cost{2250, 4500, 6750, true});
  CHECK(bill.total == Cost{8500 + 2250, 8500 + 4500, 8500 + 6750, true});
}

TEST_CASE("a minimum that only a good day falls under is in that day's price") {
  Till till;
  till.house.bench.rate = number("60");
  till.house.bench.minimum = number("30");
  std::vector<EstimateLine> lines{bench("a", 20, 40, 60)};
  CHECK(till.settle(lines).total == Cost{3000, 4000, 6000, true});
  CHECK(names(lines) == Names{"a 4000"});
  CHECK(lines[0].amount == Cost{3000, 4000, 6000, true});
}

TEST_CASE("pennies of bench time are never lost between its lines") {
  Till till;
  till.house.bench.rate = number("100");
  std::vector<EstimateLine> lines{bench("a", 5, 5, 5), bench("b", 5, 5, 5), bench("c", 5, 5, 5)};
  CHECK(till.settle(lines).net == Cost::exactly(2500));  // a quarter of an hour, though 5 min are 8.333..
  CHECK(names(lines) == Names{"a 833", "b 834", "c 833"});
}

TEST_CASE("a rush costs a share of work and packages, never of parts and fees") {
  const Till till;
  std::vector<EstimateLine> lines{line(LineKind::package, "setup", 8500), line(LineKind::work, "level", 18000),
                                  line(LineKind::part, "set", 800), line(LineKind::fee, "look", 3000)};
  const Bill bill = till.settle(lines, Surcharge{"next_day", "next day", *Ratio::make(1, 4)});
  CHECK(names(lines) == Names{"setup 8500", "level 18000", "next_day 6625", "set 800", "look 3000"});
  CHECK(bill.net == Cost::exactly(8500 + 18000 + 6625 + 800 + 3000));
}

TEST_CASE("no rush is charged on work not done") {
  const Till till;
  std::vector<EstimateLine> lines{line(LineKind::fee, "look", 3000)};
  CHECK(till.settle(lines, Surcharge{"next_day", "next day", *Ratio::make(1, 4)}).net == Cost::exactly(3000));
}

TEST_CASE("a bill with work on it is filled up to the minimum, one without is not") {
  Till till;
  till.house.bench.minimum = number("30");
  std::vector<EstimateLine> small{line(LineKind::work, "slot", 800), line(LineKind::part, "set", 900)};
  CHECK(till.settle(small).net == Cost::exactly(3000));
  CHECK(names(small) == Names{"slot 800", "set 900", "minimum 1300"});
  std::vector<EstimateLine> parts{line(LineKind::part, "set", 900)};
  CHECK(till.settle(parts).net == Cost::exactly(900));
  std::vector<EstimateLine> fee{line(LineKind::fee, "look", 1000)};
  CHECK(till.settle(fee).net == Cost::exactly(1000));
  std::vector<EstimateLine> quoted{line(LineKind::work, "crack", 0)};
  quoted[0].price.how = Price::How::by_quote;
  CHECK(till.settle(quoted).net == Cost::exactly(0));
  quoted[0].agreed = true;  // a yes to what has no price yet does not charge the least in its place; doing it does
  CHECK(till.settle(quoted).net == Cost::exactly(0));
  quoted[0].done = true;
  CHECK(till.settle(quoted).net == Cost::exactly(3000));
}

TEST_CASE("a fee that the house credits comes off agreed work, and never more of it than the work costs") {
  Till till;
  PriceTree look;
  look.name = {"look", {}};
  look.credited = true;
  till.house.prices.push_back(look);
  const auto paid = [&](std::int64_t work, bool agreed) {
    std::vector<EstimateLine> lines{line(LineKind::fee, "look", 3000), line(LineKind::work, "glue", work)};
    lines[1].agreed = agreed;
    return till.settle(lines).net.typical;
  };
  CHECK(paid(18000, true) == 18000);
  CHECK(paid(18000, false) == 21000);
  CHECK(paid(2000, true) == 3000);
  till.house.prices[0].credited = false;
  CHECK(paid(18000, true) == 21000);
}

// [DER] Three lines of 1.11 at 20 %: .22 each, .66 together; their sum .666 is .67. That lines and total may differ by a penny
// is an accounts vendor's note [READ]; here they may not, so the penny lies on one of the lines.
TEST_CASE("tax on the sum lays its pennies on the lines, tax per line rounds each") {
  Till till;
  till.house.tax.rate = number("20", Unit::percent);
  const auto taxes = [&] {
    std::vector<EstimateLine> lines{line(LineKind::work, "a", 111), line(LineKind::work, "b", 111),
                                    line(LineKind::work, "c", 111)};
    const Bill bill = till.settle(lines);
    std::vector<std::int64_t> all{bill.tax.typical};
    for (const EstimateLine& each : lines) all.push_back(each.tax.typical);
    return all;
  };
  CHECK(taxes() == std::vector<std::int64_t>{67, 22, 22, 23});
  till.house.tax.per_line = true;
  CHECK(taxes() == std::vector<std::int64_t>{66, 22, 22, 22});
}

TEST_CASE("tax that the prices hold is taken out of them, and the total stays what the list says") {
  Till till;
  till.house.tax.rate = number("20", Unit::percent);
  till.house.tax.included = true;
  std::vector<EstimateLine> lines{line(LineKind::package, "setup", 12000), line(LineKind::part, "set", 1000)};
  const Bill bill = till.settle(lines);
  CHECK(bill.total == Cost::exactly(13000));
  CHECK(bill.tax == Cost::exactly(2167));  // 130.00 / 6 = 21.666..
  CHECK(bill.net == Cost::exactly(10833));
  CHECK(lines[0].tax == Cost::exactly(2000));
  CHECK(lines[1].tax == Cost::exactly(167));
}

TEST_CASE("each kind of line has its own rate of tax, and each rate its own sum") {
  Till till;
  till.house.tax.rate = number("20", Unit::percent);
  till.house.tax.parts = number("5", Unit::percent);
  till.house.tax.fees = number("0", Unit::percent);
  std::vector<EstimateLine> lines{line(LineKind::package, "setup", 8500), line(LineKind::part, "set", 800),
                                  line(LineKind::fee, "look", 3000)};
  const Bill bill = till.settle(lines);
  REQUIRE(bill.taxes.size() == 3);
  CHECK(bill.taxes[0].tax == Cost::exactly(0));
  CHECK(bill.taxes[1].tax == Cost::exactly(40));
  CHECK(bill.taxes[2].tax == Cost::exactly(1700));
  CHECK(bill.total == Cost::exactly(12300 + 1740));
}

TEST_CASE("a sum that does not fit is marked, not wrapped") {
  const Till till;
  constexpr std::int64_t huge = 9'000'000'000'000'000'000;
  std::vector<EstimateLine> lines{line(LineKind::work, "a", huge), line(LineKind::work, "b", huge)};
  CHECK_FALSE(till.settle(lines).total.fits);
}
