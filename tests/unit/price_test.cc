#include "engine/estimate/price.h"

#include <catch2/catch.hpp>
#include <string>

#include "tests/support/shop.h"

using namespace stringline;

namespace {

const std::string profile = R"(profile: stick
facts: {scale: 648 mm, frets: 22, body_joint: 16, tuning: [E4, B3, G3, D3, A2, E2], bound: false}
readings:
  wear: {per: fret, is: length, with: gauge, read_to: 0.01 mm, assume: 0 mm}
jobs:
  level: {label: level, phase: last, minutes: {low: 20, typical: 30, high: 50}}
  slot: {label: widen a slot, phase: last, minutes: 5}
  polish: {label: polish, phase: last}
  quoted: {label: glue it, phase: last}
)";

const std::string visit = "visit: v\nprofile: stick\nlog: [{date: 2026-03-01, read: {wear: {3: 0.20 mm}}}]\n";

struct Open {
  std::unique_ptr<Shop> shop;
  Judgement judgement;
  std::optional<PriceBook> book;

  explicit Open(const std::string& money, const std::string& layer = profile)
      : shop(open_shop({layer}, visit, "house: nook\ncurrency: USD\norder: [last]\n" + money)) {
    INFO(shop->told());
    REQUIRE(shop->program);
    judgement = judge(*shop->program);
    book.emplace(*shop->house, *shop->program, judgement);
  }
  [[nodiscard]] Price job(const std::string& name, int members = 1) const {
    return book->job(shop->job(name), members);
  }
};

}  // namespace

TEST_CASE("a price of its own comes before bench time") {
  const Open open("bench: {rate: 90.00 per h, step: 15 min}\nprices: {level: 60.00}\n");
  CHECK(open.job("level").how == Price::How::flat);
  CHECK(open.job("level").cost == Cost::exactly(6000));
  CHECK(open.job("slot").how == Price::How::time);
  CHECK(open.job("slot").cost == Cost::exactly(750));
  CHECK(open.book->time(open.job("slot").minutes, true) == Cost::exactly(2250));
}

TEST_CASE("minutes on a good and on a bad day make an amount with two ends") {
  const Open open("bench: {rate: 90.00 per h, step: 15 min}\n");
  CHECK(open.job("level").cost == Cost{3000, 4500, 7500, true});
  CHECK(open.book->time(open.job("level").minutes, true) == Cost{4500, 4500, 9000, true});
}

TEST_CASE("what the list can not answer has no amount") {
  const Open open("prices: {quoted: by quote}\n");
  CHECK(open.job("quoted").how == Price::How::by_quote);
  CHECK_FALSE(open.job("quoted").has_amount());
  CHECK(open.job("polish").how == Price::How::none);  // no price, no minutes
  CHECK(open.job("level").how == Price::How::none);   // no bench rate
  CHECK(open.book->part("set_a").how == Price::How::none);
  CHECK(open.book->named("assess").how == Price::How::none);
}

TEST_CASE("a price by member counts them, up to the most") {
  const Open open("prices: {slot: {each: 8.00, at_most: 30.00}}\n");
  CHECK(open.job("slot", 1).cost == Cost::exactly(800));
  CHECK(open.job("slot", 3).cost == Cost::exactly(2400));
  CHECK(open.job("slot", 3).count == 3);
  CHECK(open.job("slot", 4).cost == Cost::exactly(3000));
  CHECK(open.job("slot", 6).cost == Cost::exactly(3000));
}

TEST_CASE("a price between two amounts keeps both") {
  const Open open("prices: {level: 150.00 .. 210.00}\n");
  CHECK(open.job("level").cost == Cost{15000, 21000, 21000, true});
}

TEST_CASE("a price may hang on the profile, on a fact and on what was read") {
  const Open by_profile("prices: {level: {by profile: {lute: 10.00, stick: 20.00, otherwise: 30.00}}}\n");
  CHECK(by_profile.job("level").cost == Cost::exactly(2000));
  const Open otherwise("prices: {level: {by profile: {lute: 10.00, otherwise: 30.00}}}\n");
  CHECK(otherwise.job("level").cost == Cost::exactly(3000));
  const Open not_for_it("prices: {level: {by profile: {lute: 10.00}}}\n");
  CHECK(not_for_it.job("level").how == Price::How::none);
  const Open by_fact("prices: {level: {by bound: {true: 90.00, false: 60.00}}}\n");
  CHECK(by_fact.job("level").cost == Cost::exactly(6000));
  const Open by_reading("prices: {level: {by count(wear over 0.1 mm): {up to 0: 10.00, over 0: 40.00}}}\n");
  CHECK(by_reading.job("level").cost == Cost::exactly(4000));
}

TEST_CASE("a table by a fact of other profiles is no price of this one, and no mistake") {
  const Open open("prices: {level: {by skin: {calf: 10.00, otherwise: 20.00}}, polish: 5.00}\n");
  CHECK(open.job("level").how == Price::How::none);
  CHECK(open.job("polish").cost == Cost::exactly(500));
}

TEST_CASE("a part costs its price, or what it cost with the markup, rounded by the house's rule") {
  const std::string parts = "parts: {bone: {price: 9.50}, blank: {cost: 9.99}}\n";
  const Open open("markup: 25 %\n" + parts);
  CHECK(open.book->part("bone").cost == Cost::exactly(950));
  CHECK(open.book->part("blank").cost == Cost::exactly(999 + 250));  // 249.75
  const Open down("rounding: down\nmarkup: 25 %\n" + parts);
  CHECK(down.book->part("blank").cost == Cost::exactly(999 + 249));
  const Open at_cost(parts);
  CHECK(at_cost.book->part("blank").cost == Cost::exactly(999));
}

TEST_CASE("a deposit's band holds its lower end") {
  const Open open("deposit: {by total: {otherwise: 0 %, from 200.00: 25 %, from 500.00: 50 %}}\n");
  CHECK(open.book->deposit_share(0) == Ratio(0));
  CHECK(open.book->deposit_share(19'999) == Ratio(0));
  CHECK(open.book->deposit_share(20'000) == *Ratio::make(1, 4));
  CHECK(open.book->deposit_share(49'999) == *Ratio::make(1, 4));
  CHECK(open.book->deposit_share(50'000) == *Ratio::make(1, 2));
  CHECK(Open("").book->deposit_share(50'000) == Ratio(0));
  CHECK(Open("deposit: 30 %\n").book->deposit_share(1) == *Ratio::make(3, 10));
}
