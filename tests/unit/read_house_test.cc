#include "engine/syntax/read_house.h"

#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "tests/support/read_case.h"

using namespace stringline;
using stringline::test::ReadCase;

namespace {

const char* const whole_house = R"(house: reference_bench
label: the bench by the window
address: 3 Made Up Row, Nowhere
phone: 555-0133
email: nook@bench.example
currency: USD
show: {length: mm}
decide: plain
order: [structure, {fretwork: [refret, level]}, rod]
bench: {rate: 90.00 per h, step: 15 min, minimum: 30.00}
packages:
  setup:
    label: set-up
    covers: [structure, rod]
    except: headstock_repair
    price:
      by profile:
        electric_fixed: 85.00
        otherwise: 95.00
prices:
  assess: 30.00
  fret_lcp: 180.00
  headstock_repair: by quote
  slot_widen: {each: 8.00, at_most: 30.00, includes: setup}
  refret:
    by count(groove is high): {up to 8: 200.00, over 8: 460.00}
parts:
  set_9_42: {price: 8.00, strings: [9p, 11p, 16p, 24w, 32w, 42w]}
  loan_case: {price: 12.50}
deposit:
  by total: {otherwise: 0 %, from 200.00: 25 %}
ask_again: over 10 %
rush: {same_day: 50 %, next_day: 25 %}
tax: 7.5 %
)";

// Checks that the codes, and no others, are reported at the marks.
void check_mistakes(const std::string& text, const std::string& codes) {
  const ReadCase file(text);
  CAPTURE(text, file.said());
  CHECK(file.mistakes() == file.expected(codes));
}

Ratio ratio(std::int64_t num, std::int64_t den) { return *Ratio::make(num, den); }

}  // namespace

TEST_CASE("a whole house file is read") {
  const ReadCase file(whole_house);
  CAPTURE(file.said());
  REQUIRE(file.house);
  const HouseTree& house = *file.house;
  CHECK(house.name.text == "reference_bench");
  CHECK(house.label->text == "the bench by the window");
  CHECK(house.address->text == "3 Made Up Row, Nowhere");
  CHECK(house.phone->text == "555-0133");
  CHECK(house.email->text == "nook@bench.example");
  CHECK(house.currency->text == "USD");
  CHECK(house.show_length == Unit::mm);
  CHECK(house.decide == Decide::plain);
  REQUIRE(house.order.size() == 3);
  CHECK(house.order[1].name.text == "fretwork");
  REQUIRE(house.order[1].jobs.size() == 2);
  CHECK(house.order[1].jobs[1].text == "level");
  CHECK(house.order[2].jobs.empty());
  CHECK(house.ask_again->quantity.value == ratio(1, 10));
  CHECK(house.tax.rate->quantity.value == ratio(75, 1000));
  REQUIRE(house.rush.size() == 2);
  CHECK(house.rush[0].name.text == "same_day");
  CHECK(house.rush[0].share.quantity.value == ratio(1, 2));
}

TEST_CASE("bench time is an amount an hour, in whatever unit it is written") {
  const ReadCase file(whole_house);
  REQUIRE(file.house);
  CHECK(file.house->bench.rate->quantity.value == Ratio(90));
  CHECK(file.house->bench.step->quantity == Quantity{Ratio(900), Unit::minute});
  CHECK(file.house->bench.minimum->quantity.value == Ratio(30));
  const ReadCase minutes("house: h\nbench: {rate: 1.50 per min}\n");
  REQUIRE(minutes.house);
  CHECK(minutes.house->bench.rate->quantity.value == Ratio(90));
  CHECK(minutes.house->bench.rate->written == "1.50 per min");
}

TEST_CASE("packages, prices and parts keep their forms") {
  const ReadCase file(whole_house);
  REQUIRE(file.house);
  const PackageTree& setup = file.house->packages.at(0);
  CHECK(setup.covers.size() == 2);
  CHECK(setup.except.at(0).text == "headstock_repair");
  const auto& table = std::get<std::shared_ptr<const TableOf<ExprPtr>>>(setup.price->node);
  CHECK(file.under(table->span) == "by profile");
  REQUIRE(table->rows.size() == 2);
  CHECK(table->rows[0].key.member == "electric_fixed");
  CHECK(table->rows[1].key.kind == RowKey::Kind::otherwise);

  const auto& prices = file.house->prices;
  REQUIRE(prices.size() == 5);
  CHECK(std::holds_alternative<ExprPtr>(prices[0].amount->node));
  CHECK(prices[2].by_quote);
  CHECK_FALSE(prices[2].amount);
  CHECK(prices[3].each->quantity.value == Ratio(8));
  CHECK(prices[3].at_most->quantity.value == Ratio(30));
  CHECK(prices[3].includes->text == "setup");
  CHECK_FALSE(std::holds_alternative<ExprPtr>(prices[4].amount->node));

  REQUIRE(file.house->parts.size() == 2);
  CHECK(file.house->parts[0].strings.size() == 6);
  CHECK(file.house->parts[0].strings[5].written == "42w");
  CHECK(file.house->parts[1].strings.empty());
}

TEST_CASE("a currency that is not known offers the nearest") {
  const auto said = [](const std::string& code) { return ReadCase("house: h\ncurrency: " + code + "\n").said(); };
  CHECK(said("usd") ==
        "unknown currency 'usd'; did you mean 'USD'? | a currency is its ISO 4217 code, three capital letters");
  CHECK(said("dollars") == "unknown currency 'dollars' | a currency is its ISO 4217 code, three capital letters");
}

TEST_CASE("money fits the currency, wherever in the file the currency stands") {
  CHECK(ReadCase("house: h\nparts: {case: {price: 12.505}}\ncurrency: KWD\n").house);  // three decimals in ISO 4217
  CHECK(ReadCase("house: h\nparts: {case: {price: 12.505}}\n").house);  // none is named: nothing to check
  CHECK(ReadCase("house: h\ncurrency: JPY\nbench: {rate: 9000 per h}\n").house);
  const ReadCase yen("house: h\nbench: {minimum: ^30.50}\ncurrency: JPY\n");
  CHECK(yen.mistakes() == yen.expected("E313"));
  CHECK(yen.said() == "'30.50' is no sum in JPY | JPY has no decimals");
  const ReadCase table("house: h\ncurrency: USD\npackages:\n  s: {covers: rod, price: {by profile: {a: ^1.005}}}\n");
  CHECK(table.mistakes() == table.expected("E313"));
}

TEST_CASE("money and percentages carry no other unit and are not below zero") {
  check_mistakes("house: h\nprices: {assess: ^30 mm}\n", "E314");
  check_mistakes("house: h\nparts: {case: {price: ^-3}}\n", "E320");
  check_mistakes("house: h\ndeposit: {by total: {otherwise: ^25}}\n", "E314");
  check_mistakes("house: h\nrush: {same_day: ^0.5}\n", "E314");
  check_mistakes("house: h\nbench: {step: ^15}\n", "E314");
}

TEST_CASE("'by quote' prices a job, never a row of its table") {
  const ReadCase file("house: h\nprices:\n  refret:\n    by profile: {a: 200.00, b: ^by quote}\n");
  CHECK(file.mistakes() == file.expected("E321"));
}

TEST_CASE("a phase with jobs is an item of its own") {
  check_mistakes("house: h\norder: [rod, ^{fretwork: [a], nut: [b]}]\n", "E302");
  check_mistakes("house: h\norder: [rod, ^[a, b]]\n", "E302");
  check_mistakes("house: h\norder: [fretwork, {^fretwork: [a]}]\n", "E317");
}

TEST_CASE("a missing key is reported at the name of what misses it, with its meaning") {
  const ReadCase file("house: h\npackages:\n  ^setup: {covers: rod}\n");
  CHECK(file.mistakes() == file.expected("E303"));
  CHECK(file.said() ==
        "a package needs the key 'price' | 'price:' takes one expression or a table 'by': its price, charged once");
}

TEST_CASE("all mistakes of a house file come out in one run") {
  const ReadCase file(R"(house: ^my bench
^lable: x
currency: ^EURO
decide: ^maybe
bench: {rate: ^90, step: ^15}
packages:
  ^setup: {covers: ^[]}
parts:
  set_a: {price: 8.00, strings: [^9, 11p]}
tax: ^7
)");
  CHECK(file.mistakes() == file.expected("E304 E301 E312 E308 E321 E314 E303 E316 E311 E314"));
}

TEST_CASE("a price is one amount or two, flat or by member") {
  const ReadCase file(R"(house: h
currency: USD
prices:
  level: 150.00 .. 210.00
  refret: {price: 400.00 .. 520.00, includes: setup}
  polish: {price: {by profile: {bass: 30.00, otherwise: 25.00}}}
  look: {price: 30.00, label: looking into it, credited: true}
)");
  CAPTURE(file.said());
  REQUIRE(file.house);
  const auto& prices = file.house->prices;
  CHECK(std::get<Number>(prices.at(0).between->lo->node).quantity.value == Ratio(150));
  CHECK(std::get<Number>(prices.at(1).between->hi->node).quantity.value == Ratio(520));
  CHECK(prices.at(1).includes->text == "setup");
  CHECK(prices.at(2).amount);
  CHECK(prices.at(3).credited);
  CHECK(prices.at(3).label->text == "looking into it");
  CHECK_FALSE(prices.at(0).credited);
  check_mistakes("house: h\nprices: {level: ^210.00 .. 150.00}\n", "E320");
  check_mistakes("house: h\nprices: {level: ^at least 150.00}\n", "E321");
  check_mistakes("house: h\nprices: {level: ^150.00 .. 210.00 aim 180.00}\n", "E321");
  check_mistakes("house: h\ncurrency: USD\nprices: {level: 150.00 .. ^210.005}\n", "E313");
}

TEST_CASE("a price has one of price and each, a part one of price and cost") {
  check_mistakes("house: h\nprices: {^slot: {price: 8.00, each: 8.00}}\n", "E321");
  check_mistakes("house: h\nprices: {^slot: {at_most: 8.00}}\n", "E303");
  check_mistakes("house: h\nparts: {^bone: {price: 8.00, cost: 6.00}}\n", "E321");
  check_mistakes("house: h\nparts: {^bone: {label: bone}}\n", "E303");
  const ReadCase file("house: h\nmarkup: 20 %\nparts: {bone: {label: a piece of bone, cost: 6.00}}\n");
  REQUIRE(file.house);
  CHECK(file.house->parts.at(0).cost->quantity.value == Ratio(6));
  CHECK(file.house->parts.at(0).label->text == "a piece of bone");
  CHECK(file.house->markup->quantity.value == ratio(1, 5));
}

TEST_CASE("tax is one rate, or one for each kind of line") {
  const ReadCase file("house: h\ntax: {rate: 20 %, parts: 5 %, fees: 0 %, included: true, per_line: true}\n");
  REQUIRE(file.house);
  const TaxTree& tax = file.house->tax;
  CHECK(tax.rate->quantity.value == ratio(1, 5));
  CHECK(tax.parts->quantity.value == ratio(1, 20));
  CHECK(tax.fees->quantity.value == Ratio(0));
  CHECK_FALSE(tax.work);
  CHECK(tax.included);
  CHECK(tax.per_line);
  check_mistakes("house: h\ntax: ^{parts: 5 %}\n", "E303");
  check_mistakes("house: h\ntax: {rate: ^120 %}\n", "E443");
}

TEST_CASE("rounding, dates and the paper's kind are words of the language") {
  const ReadCase file(R"(house: h
rounding: half_even
show: {date: month_day}
storage: {free: 7 d, per_day: 3.00}
estimate: {kind: quote, valid_for: 30 d, warranty: 45 d, says: [one, two]}
handover: {come_back: 180 d, care: [three, four, five]}
)");
  CAPTURE(file.said());
  REQUIRE(file.house);
  CHECK(file.house->rounding == MoneyRounding::half_even);
  CHECK(file.house->show_date == DateForm::month_day);
  CHECK(file.house->storage->per_day->quantity.value == Ratio(3));
  CHECK(file.house->paper.kind == PaperKind::quote);
  CHECK(file.house->paper.valid_for->quantity.value == Ratio(30 * 86'400));
  CHECK(file.house->paper.says.size() == 2);
  CHECK(file.house->handover.come_back->quantity.value == Ratio(180 * 86'400));
  CHECK(file.house->handover.care.size() == 3);
  CHECK(ReadCase("house: h\n").house->rounding == MoneyRounding::half_up);
  check_mistakes("house: h\nrounding: ^banker\n", "E308");
  check_mistakes("house: h\nshow: {date: ^european}\n", "E308");
  check_mistakes("house: h\nestimate: {kind: ^offer}\n", "E308");
  check_mistakes("house: h\nstorage: ^{free: 7 d}\n", "E303");
  check_mistakes("house: h\nhandover: {^comeback: 7 d}\n", "E301");
}
