// The bills of the example shop's reference visits, to the cent. The shop, its prices and its instruments are invented, and so
// are these totals: they are what the shop's own price list comes to, worked out by hand.
#include "engine/estimate/estimate.h"
#include "engine/diag/render.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "tests/support/till.h"

using namespace stringline;
using stringline::test::Till;

namespace {

struct Reference {
  std::string visit;
  std::vector<std::pair<std::string, std::int64_t>> lines;  // in whole units of money
  std::int64_t total;
};

const std::vector<Reference>& references() {
  static const std::vector<Reference> all{
      {"s01a_back_bow", {{"setup", 85}, {"set_10_46", 8}}, 93},
      {"s03a_high_action", {{"setup", 95}, {"set_12_53", 15}}, 110},
      {"s06a_hard_barres", {{"setup", 85}, {"set_nylon", 14}}, 99},
      {"s08_bridge_slid", {{"setup", 95}, {"set_11_40", 14}}, 109},
      {"s10a_slack_head", {{"setup", 110}, {"set_9_20", 9}}, 119},
      {"s13_low_as_it_goes", {{"setup", 85}, {"fret_lcp", 180}, {"set_10_46", 8}}, 273},
      {"s15_hairline", {{"assess", 30}}, 30},
  };
  return all;
}

Number number(const std::string& text, Unit unit = Unit::none) {
  return {make_quantity(Ratio::parse(text).value(), unit).value(), text};
}

Estimate priced(Till& till, const Till::Change& change = {}) {
  const auto estimate = till.priced(change);
  INFO(render(till.out, till.sources, false));
  REQUIRE(estimate);
  return *estimate;
}

const EstimateLine* line_of(const Estimate& estimate, const std::string& name) {
  const auto found = std::find_if(estimate.lines.begin(), estimate.lines.end(),
                                  [&](const EstimateLine& line) { return line.name == name; });
  return found == estimate.lines.end() ? nullptr : &*found;
}

Till::Change currency(const std::string& code) {
  return [code](HouseTree& house, VisitTree&, Judgement&) { house.currency = Word{code, {}}; };
}

void add_entry(VisitTree& visit, const std::function<void(LogEntry&)>& fill) {
  LogEntry entry;
  fill(entry);
  visit.log.push_back(std::move(entry));
}

ConsentTree consent(const std::string& job, std::optional<Number> up_to = std::nullopt) {
  ConsentTree made;
  made.jobs.push_back({job, {}});
  made.up_to = std::move(up_to);
  return made;
}

}  // namespace

TEST_CASE("the reference visits cost what the shop's list says, line by line") {
  for (const Reference& each : references()) {
    CAPTURE(each.visit);
    Till till(each.visit);
    const Estimate estimate = priced(till);
    REQUIRE(estimate.lines.size() == each.lines.size());
    for (std::size_t i = 0; i < each.lines.size(); ++i) {
      CHECK(estimate.lines[i].name == each.lines[i].first);
      CHECK(estimate.lines[i].amount == Cost::exactly(each.lines[i].second * 100));
    }
    CHECK(estimate.bill.total == Cost::exactly(each.total * 100));
    CHECK(estimate.bill.tax.is_zero());
    CHECK(estimate.deposit == Cost::exactly(each.total == 273 ? 6825 : 0));  // 25 % from 200.00
  }
}

TEST_CASE("the same visits cost the same in currencies without and with three decimals") {
  for (const Reference& each : references()) {
    CAPTURE(each.visit);
    Till till(each.visit);
    const Estimate yen = priced(till, currency("JPY"));
    CHECK(yen.bill.total == Cost::exactly(each.total));
    CHECK(yen.deposit == Cost::exactly(each.total == 273 ? 68 : 0));  // 68.25
    const Estimate dinar = priced(till, currency("KWD"));
    CHECK(dinar.bill.total == Cost::exactly(each.total * 1000));
    CHECK(dinar.deposit == Cost::exactly(each.total == 273 ? 68'250 : 0));
  }
}

TEST_CASE("a deposit is rounded by the house's rule") {
  Till till("s13_low_as_it_goes");
  const auto deposit = [&](MoneyRounding rounding) {
    return priced(till,
                  [rounding](HouseTree& house, VisitTree&, Judgement&) {
                    house.currency = Word{"JPY", {}};
                    house.rounding = rounding;
                  })
        .deposit;
  };
  CHECK(deposit(MoneyRounding::half_up) == Cost::exactly(68));
  CHECK(deposit(MoneyRounding::down) == Cost::exactly(68));
  CHECK(deposit(MoneyRounding::up) == Cost::exactly(69));
}

// 20 % in the price is a sixth of it; beside it, a fifth. Whole cents, so that the test needs no rounding of its own.
TEST_CASE("the same visits with tax in the prices, and with tax beside them") {
  for (const Reference& each : references()) {
    CAPTURE(each.visit);
    Till till(each.visit);
    const auto taxed = [&](bool included) {
      return priced(till, [included](HouseTree& house, VisitTree&, Judgement&) {
        house.tax.rate = number("20", Unit::percent);
        house.tax.included = included;
      });
    };
    const Estimate in = taxed(true);
    CHECK(in.bill.total == Cost::exactly(each.total * 100));
    CHECK(in.bill.tax == Cost::exactly((each.total * 100 + 3) / 6));  // half up
    CHECK(in.bill.net + in.bill.tax == in.bill.total);
    const Estimate beside = taxed(false);
    CHECK(beside.bill.net == Cost::exactly(each.total * 100));
    CHECK(beside.bill.tax == Cost::exactly(each.total * 20));
    CHECK(beside.bill.total == Cost::exactly(each.total * 120));
    // The deposit is a share of what it comes to before tax.
    if (each.total == 273) CHECK(beside.deposit == Cost::exactly(6825));
    if (each.total == 273) CHECK(in.deposit == Cost::exactly(5688));  // 227.50 / 4 = 56.875
  }
}

TEST_CASE("what needs a yes is in the total, and the bill after a no stands beside it") {
  Till till("s13_low_as_it_goes");
  const Estimate estimate = priced(till);
  REQUIRE(line_of(estimate, "fret_lcp") != nullptr);
  CHECK(line_of(estimate, "fret_lcp")->waits);
  REQUIRE(estimate.if_no);
  // Without the level the strings stay on: no restring, so no new set.
  CHECK(estimate.if_no->total == Cost::exactly(8500));
  CHECK(estimate.gone_if_no == std::vector<std::string>{"set of strings, 10 to 46"});
  CHECK(estimate.new_if_no.empty());
}

TEST_CASE("what stays without the level is computed, and said besides the profile's own words") {
  Till till("s13_low_as_it_goes");
  const Estimate estimate = priced(till);
  const EstimateLine* level = line_of(estimate, "fret_lcp");
  REQUIRE(level != nullptr);
  REQUIRE(level->if_left.size() > 1);
  const auto says = [&](const std::string& words) {
    return std::any_of(level->if_left.begin(), level->if_left.end(),
                       [&](const std::string& text) { return text.find(words) != std::string::npos; });
  };
  CHECK(says("a low action will buzz"));
  CHECK(says("they ring clean from"));
}

TEST_CASE("other ways to put the same readings right have the whole bill beside them") {
  Till till("s13_low_as_it_goes");
  const Estimate estimate = priced(till);
  const EstimateLine* level = line_of(estimate, "fret_lcp");
  REQUIRE(level != nullptr);
  const auto refret = std::find_if(level->instead.begin(), level->instead.end(),
                                   [](const Instead& each) { return each.label == "refret"; });
  REQUIRE(refret != level->instead.end());
  CHECK(refret->total == Cost::exactly(46000 + 800));  // the set-up is in it
  CHECK(refret->leaves.empty());
  CHECK(refret->includes == "set-up");
  for (const Instead& each : level->instead) CHECK(each.job != level->job);
  const auto partial = std::find_if(level->instead.begin(), level->instead.end(), [](const Instead& each) {
    return each.label == "replace the worn-out frets and level all";
  });
  REQUIRE(partial != level->instead.end());
  CHECK(partial->price.cost.low > level->amount.high);  // a level of all is in it
}

TEST_CASE("a stop costs its fee alone, offers what it offers, and no rush is charged") {
  Till till("s15_hairline");
  const Estimate estimate = priced(till);
  CHECK(estimate.stopped);
  REQUIRE(estimate.offers.size() == 1);
  CHECK(estimate.offers[0].name == "headstock_repair");
  CHECK(estimate.offers[0].price.how == Price::How::by_quote);
  CHECK_FALSE(estimate.offers[0].total_with);
  CHECK_FALSE(estimate.held);
  CHECK_FALSE(estimate.told.empty());
}

TEST_CASE("what a stop offers has the bill after a yes beside it, its deposit, and what comes afterwards") {
  Till till("t16_spent_saddle");
  const Estimate estimate = priced(till);
  REQUIRE(estimate.offers.size() == 1);
  REQUIRE(estimate.offers[0].total_with);
  CHECK(*estimate.offers[0].total_with == Cost::exactly(60000));  // 600.00, 30.00 for looking and 30.00 back
  CHECK(estimate.offers[0].deposit == Cost::exactly(30000));      // half of it from 500.00
  REQUIRE(estimate.afterwards);
  CHECK(estimate.afterwards->label == "set-up");
  CHECK(estimate.afterwards->price == Cost::exactly(9500));
}

TEST_CASE("several offers have the bill with all of them beside it, one has not") {
  Till two("v08_ukulele_low_fourth");
  const Estimate both = priced(two);
  REQUIRE(both.offers.size() == 2);
  REQUIRE(both.with_all_offers);
  // 65.00, 8.00 for the slot, and 30 to 75 minutes at 90.00 an hour in quarters of an hour.
  CHECK(*both.with_all_offers == Cost{7300 + 4500, 7300 + 6750, 7300 + 11250, true});
  Till one("t10_worn_zero_fret");
  CHECK_FALSE(priced(one).with_all_offers);
}

TEST_CASE("a job priced for each place says how many and of what") {
  Till till("v22_heavier_set");
  const Estimate estimate = priced(till);
  REQUIRE(estimate.offers.size() == 1);
  CHECK(estimate.offers[0].places == "6 strings");
}

TEST_CASE("what is done and what is left of a package stand apart") {
  Till till("s01b_after_the_rod");
  const Estimate estimate = priced(till);
  const EstimateLine* setup = line_of(estimate, "setup");
  REQUIRE(setup != nullptr);
  CHECK(setup->covers.size() == 4);
  CHECK(setup->covers_done.size() == 3);
  CHECK(estimate.begun);
  CHECK_FALSE(estimate.finished);
  Till fitted("s01a_back_bow");  // new strings are on, no work is done
  CHECK_FALSE(priced(fitted).begun);
  Till done("v05_nothing_to_do");
  CHECK(priced(done).finished);
}

TEST_CASE("a package says what it is for, and why its jobs are done") {
  Till till("s03a_high_action");
  const Estimate estimate = priced(till);
  const EstimateLine* setup = line_of(estimate, "setup");
  REQUIRE(setup != nullptr);
  CHECK_FALSE(setup->for_what.empty());
  CHECK(setup->why.size() == 1);
  CHECK(setup->measured == std::vector<std::string>{"the curve of the neck: 0.45 mm; right is 0.1 mm to 0.3 mm"});
}

TEST_CASE("a reading is told as it was written, not at the step of its tool") {
  Till till("t15_rod_at_its_end");
  const Estimate estimate = priced(till);
  const EstimateLine* straighten = line_of(estimate, "straighten_neck");
  REQUIRE(straighten != nullptr);
  CHECK(straighten->measured == std::vector<std::string>{"the curve of the neck: 0.52 mm; right is 0.1 mm to 0.3 mm"});
}

TEST_CASE("a reading that an offer hangs on is told with the offer, and is in no sum") {
  Till till("t11_zero_fret_not_looked_at");
  const Estimate estimate = priced(till);
  REQUIRE(estimate.later.size() == 1);
  REQUIRE(estimate.later[0].ask.size() == 1);
  CHECK(estimate.later[0].ask[0].line.name == "new_zero_fret");
  CHECK(estimate.later[0].ask[0].line.amount == Cost::exactly(6750));
  CHECK_FALSE(estimate.at_most);
  CHECK(estimate.bill.total == Cost::exactly(8500));
}

TEST_CASE("what rules and gates say to the bench is not told to the owner") {
  Till locking("v21_locking_nut");  // its gate only says that each job moves every string
  CHECK(priced(locking).told.empty());
  Till settling("s06c_settling");
  const Estimate estimate = priced(settling);
  REQUIRE(estimate.told.size() == 1);
  CHECK(estimate.told[0].find("we can judge") != std::string::npos);
}

TEST_CASE("after a yes the repair alone is released, and the fee comes off it") {
  Till till("s15_hairline");
  const Estimate estimate = priced(till, [](HouseTree&, VisitTree& visit, Judgement& judgement) {
    if (!judgement.points.empty()) return;
    add_entry(visit, [](LogEntry& entry) {
      entry.agreed = consent("headstock_repair");
      entry.agreed->amount = number("200");
    });
  });
  REQUIRE(line_of(estimate, "headstock_repair") != nullptr);
  CHECK(line_of(estimate, "headstock_repair")->amount == Cost::exactly(20000));
  // 200.00, a quarter of it for the hurry, 30.00 for looking and 30.00 back.
  CHECK(estimate.bill.total == Cost::exactly(25000));
}

TEST_CASE("a visit that a gate holds owes the gate's fee, and nothing where it has none") {
  Till swollen("t05_swollen_top");
  const Estimate held = priced(swollen);
  CHECK(held.stopped);
  CHECK(held.held);
  CHECK(held.rests == std::vector<std::string>{"bring it slowly to 45 to 50 %RH"});
  CHECK(held.bill.total == Cost::exactly(3000));
  Till slack("t06_not_at_pitch");
  const Estimate free = priced(slack);
  CHECK(free.stopped);
  CHECK(free.held);
  CHECK(free.lines.empty());
  CHECK_FALSE(free.afterwards);  // nothing is offered that it could come after
  CHECK(free.bill.total.is_zero());
}

TEST_CASE("a price that was agreed stands, whatever the list says later") {
  Till till("s13_low_as_it_goes");
  const Estimate estimate = priced(till, [](HouseTree&, VisitTree& visit, Judgement& judgement) {
    if (!judgement.points.empty()) return;
    add_entry(visit, [](LogEntry& entry) {
      entry.agreed = consent("fret_lcp");
      entry.agreed->amount = number("150");
    });
  });
  const EstimateLine* level = line_of(estimate, "fret_lcp");
  REQUIRE(level != nullptr);
  CHECK(level->agreed);
  CHECK(level->amount == Cost::exactly(15000));
  REQUIRE(level->listed);
  CHECK(*level->listed == Cost::exactly(18000));
  CHECK(estimate.bill.total == Cost::exactly(24300));
  CHECK_FALSE(estimate.if_no);
}

TEST_CASE("an agreed total is watched, and passed by more than the house allows it asks again") {
  Till till("s13_low_as_it_goes");
  const auto agreed_to = [&](const std::string& total) {
    const Estimate estimate = priced(till, [&](HouseTree&, VisitTree& visit, Judgement& judgement) {
      if (!judgement.points.empty()) return;
      add_entry(visit, [&](LogEntry& entry) { entry.agreed = consent("fret_lcp", number(total)); });
    });
    REQUIRE(estimate.ceiling);
    return *estimate.ceiling;
  };
  const Ceiling kept = agreed_to("273");
  CHECK_FALSE(kept.passed);
  CHECK_FALSE(kept.ask_again);
  const Ceiling within = agreed_to("248.19");  // 273.00 is 10 % over 248.18..
  CHECK(within.passed);
  CHECK_FALSE(within.ask_again);
  const Ceiling over = agreed_to("248.18");
  CHECK(over.passed);
  CHECK(over.ask_again);
}

TEST_CASE("a refusal is told with what stays, and nothing of it is charged") {
  Till till("v03_declined_level");
  const Estimate estimate = priced(till);
  CHECK(estimate.bill.total == Cost::exactly(8500));
  REQUIRE(estimate.declined.size() == 1);
  CHECK_FALSE(estimate.declined[0].stays.empty());
}

TEST_CASE("what is not covered and follows a later reading is priced beside the total") {
  Till till("s01a_back_bow");
  const Estimate estimate = priced(till, [](HouseTree&, VisitTree& visit, Judgement&) {
    visit.package = Word{"none", {}};
  });
  CHECK(line_of(estimate, "setup") == nullptr);
  CHECK(estimate.bill.net.low <= estimate.bill.net.typical);
  CHECK(estimate.bill.net.typical <= estimate.bill.net.high);
  // Every covered "if out" of the set-up is now an extra of its own.
  std::size_t extras = 0;
  for (const Later& later : estimate.later) extras += later.extra.size();
  REQUIRE(estimate.at_most.has_value() == (extras > 0));
  if (estimate.at_most) CHECK(estimate.at_most->high > estimate.bill.total.high);
}

TEST_CASE(
    "a job that a reading is expected to call for, and that needs a yes, is told with its price and is in no sum") {
  Till till("v11_twelve_string");
  const Estimate estimate = priced(till);
  const auto nut = std::find_if(estimate.later.begin(), estimate.later.end(),
                                [](const Later& later) { return later.reading == "the strings' height at the nut"; });
  REQUIRE(nut != estimate.later.end());
  REQUIRE(nut->ask.size() == 1);
  CHECK(nut->ask[0].line.name == "new_nut");
  CHECK(nut->ask[0].line.amount.typical == 8500);
  CHECK(nut->ask[0].when == Verdict::low);
  CHECK(nut->ask[0].likely);
  CHECK(nut->jobs == std::vector<std::string>{"file the nut slots"});
  CHECK(estimate.bill.total.high == 12000);
}

TEST_CASE("a hurry is charged on the work, and a kind of hurry without a price is told") {
  Till till("s01a_back_bow");
  const auto in_a_hurry = [&](const std::string& name) {
    return priced(till, [name](HouseTree&, VisitTree& visit, Judgement&) { visit.rush = Word{name, {}}; });
  };
  CHECK(in_a_hurry("next_day").bill.total == Cost::exactly(9300 + 2125));  // a quarter of 85.00
}

TEST_CASE("prices that do not fit are told, and no estimate is made") {
  Till till("s13_low_as_it_goes");
  const auto estimate = till.priced([](HouseTree& house, VisitTree&, Judgement&) {
    for (PartTree& part : house.parts) part.price = number("90000000000000000");
    house.tax.rate = number("100", Unit::percent);
  });
  CHECK_FALSE(estimate);
  REQUIRE(till.out.list().size() == 1);
  CHECK(till.out.list()[0].code == Code::sum_too_large);
}

TEST_CASE("the bill of a visit is what was done, at agreed prices, and what differs from the estimate says why") {
  Till till("s13_low_as_it_goes");
  const Estimate told = priced(till);
  (void)priced(till, [](HouseTree&, VisitTree& visit, Judgement& judgement) {
    if (!judgement.points.empty()) return;
    add_entry(visit, [](LogEntry& entry) {
      entry.agreed = consent("fret_lcp");
      entry.agreed->amount = number("170");
      entry.agreed->how = Word{"by telephone", {}};
    });
    add_entry(visit, [](LogEntry& entry) {
      entry.did.push_back({{"electronics_check", {}}, std::nullopt, {}});
      entry.did.push_back({{"fret_lcp", {}}, std::nullopt, {}});
      entry.fitted = Word{"set_9_42", {}};
    });
  });
  const auto bill = make_final(till.input(), till.out);
  REQUIRE(bill);
  CHECK(bill->bill.total == Cost::exactly(8500 + 17000 + 800));
  const auto changes = differences(told, *bill, till.input());
  REQUIRE(changes.size() == 3);
  CHECK(changes[0].label == "level, crown and polish the frets");
  CHECK(changes[0].why.find("by telephone") != std::string::npos);
  CHECK(changes[1].why == "it was fitted");
  CHECK(changes[2].why == "it was not used");
  CHECK_FALSE(changes[2].now);
}
