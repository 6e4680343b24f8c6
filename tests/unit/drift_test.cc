// What counts as moved between two visits, at its limits; readings by two methods, held against the oracle's necks.
#include "engine/book/drift.h"

#include <catch2/catch.hpp>

#include <limits>

#include "tests/support/model_oracle.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

Interval at(std::int64_t num, std::int64_t den = 1) { return Interval::exactly(*Ratio::make(num, den)); }

// One visit of the stick, judged.
struct Visit {
  explicit Visit(const std::string& log) : shop(open_shop({stick_profile}, log, stick_house)) {
    INFO(shop->told());
    REQUIRE(shop->program);
    judgement = judge(*shop->program);
  }
  [[nodiscard]] SeenVisit seen() const { return {&*shop->program, &judgement}; }

  std::unique_ptr<Shop> shop;
  Judgement judgement;
};

Visit reading(const std::string& read) { return Visit(stick_visit(read)); }

const DriftRow& row(const Drift& drift, const std::string& name) {
  for (const DriftRow& each : drift.rows) {
    if (each.name == name) return each;
  }
  FAIL("no row " << name);
  return drift.rows.front();
}

using oracle::mm;

oracle::Instrument neck(oracle::Real saddle) {
  oracle::Instrument it;
  it.joint = 16;
  it.bend = 0.35L;
  it.phi = 0.3L;
  it.nut = 0.4L;
  it.saddle = saddle;
  return it;
}

std::string others(const oracle::Instrument& it) {
  return "relief: " + mm(oracle::gap_at_fret(it, 7, {1, 16})) + ", nut_gap: {6: " + mm(oracle::gap_at_fret(it, 1, {})) +
         "}, ";
}

std::string open_12(const oracle::Instrument& it) {
  return "action: {bass: " + mm(oracle::gap_at_fret(it, 12, {})) + "}";
}

std::string capo_12(const oracle::Instrument& it) {
  return "action: {bass: {is: " + mm(oracle::gap_at_fret(it, 12, {1})) + ", as: {at: 12, held: [1]}}}";
}

}  // namespace

TEST_CASE("a change counts as moved only above the root of a third of both squares, decided exactly") {
  // sqrt(2/3) = 0.81649658092..., sqrt(3) = 1.7320508075...: the limits for d = 1 and 1, and for d = 3 and 0
  const std::int64_t tenth_billion = 10'000'000'000;
  CHECK(moved(at(0), 1, at(8'164'965'809, tenth_billion), 1) == Moved::no);
  CHECK(moved(at(0), 1, at(8'164'965'810, tenth_billion), 1) == Moved::yes);
  CHECK(moved(at(8'164'965'810, tenth_billion), 1, at(0), 1) == Moved::yes);
  CHECK(moved(at(0), 9, at(17'320'508'075, tenth_billion), 0) == Moved::no);
  CHECK(moved(at(0), 0, at(17'320'508'076, tenth_billion), 9) == Moved::yes);
}

TEST_CASE("whole numbers agree with the rule written out") {
  for (std::int64_t d_a = 0; d_a <= 12; ++d_a) {
    for (std::int64_t d_b = 0; d_b <= 12; ++d_b) {
      for (std::int64_t change = -20; change <= 20; ++change) {
        INFO("d_a " << d_a << ", d_b " << d_b << ", change " << change);
        const bool expected = 3 * change * change > d_a * d_a + d_b * d_b;
        CHECK((moved(at(5), d_a * d_a, at(5 + change), d_b * d_b) == Moved::yes) == expected);
      }
    }
  }
}

TEST_CASE("without a resolution every change counts, and none is none") {
  CHECK(moved(at(7, 3), 0, at(7, 3), 0) == Moved::no);
  CHECK(moved(at(7, 3), 0, at(7'000'001, 3'000'000), 0) == Moved::yes);
}

TEST_CASE("with bounds it has moved when every value inside says so") {
  const Interval contact{std::nullopt, Ratio(0), false};
  CHECK(moved(at(1), 1, contact, 1) == Moved::yes);
  CHECK(moved(at(1, 2), 1, contact, 1) == Moved::can_not_tell);
  CHECK(moved(contact, 1, contact, 1) == Moved::can_not_tell);
  const Interval narrow{Ratio(0), *Ratio::make(1, 10), false};
  CHECK(moved(at(0), 1, narrow, 1) == Moved::no);
  CHECK(moved(at(9, 10), 1, narrow, 1) == Moved::can_not_tell);
}

TEST_CASE("what does not fit the exact arithmetic is not called either way") {
  const Ratio most = std::numeric_limits<std::int64_t>::max();
  CHECK(moved(at(0), most, at(1), most) == Moved::can_not_tell);
}

TEST_CASE("readings are compared by name with their own tools, and verdicts stand beside them") {
  const Visit then = reading("relief: 0.200 mm, action: {bass: 1.60 mm, treble: 1.30 mm}");
  const Visit now = reading("relief: 0.208 mm, action: {bass: 1.96 mm, treble: 1.31 mm}");
  const Drift found = drift(then.seen(), now.seen());
  // limits: 0.01 sqrt(2/3) = 0.00816 mm and 0.02 sqrt(2/3) = 0.0163 mm
  CHECK(row(found, "relief").moved == Moved::no);
  CHECK(row(found, "relief").limit == Approx(0.0081650));
  CHECK(row(found, "action.treble").moved == Moved::no);
  const DriftRow& bass = row(found, "action.bass");
  CHECK(bass.moved == Moved::yes);
  CHECK(bass.then->verdict == Verdict::within);
  CHECK(bass.now->verdict == Verdict::high);
  CHECK(bass.change == Interval::exactly(*Ratio::make(36, 100)));
}

TEST_CASE("a reading by another method is converted before it is compared") {
  const Visit then = reading(others(neck(3.1L)) + open_12(neck(3.1L)));
  const Visit same = reading(others(neck(3.1L)) + capo_12(neck(3.1L)));
  const Drift still = drift(then.seen(), same.seen());
  const DriftRow& row_still = row(still, "action.bass");
  CHECK(row_still.moved == Moved::no);
  CHECK(row_still.method == "at fret 12, held at 1");
  CHECK(row_still.then->converted_from == "at fret 12, open");
  CHECK(row_still.then->value.number.lo->to_double() ==
        Approx(static_cast<double>(oracle::gap_at_fret(neck(3.1L), 12, {1}))).margin(1e-5));
  CHECK(row_still.now->converted_from.empty());

  const Visit raised = reading(others(neck(3.4L)) + capo_12(neck(3.4L)));
  const DriftRow row_raised = row(drift(then.seen(), raised.seen()), "action.bass");
  CHECK(row_raised.moved == Moved::yes);
  const auto by = oracle::gap_at_fret(neck(3.4L), 12, {1}) - oracle::gap_at_fret(neck(3.1L), 12, {1});
  CHECK(row_raised.change->lo->to_double() == Approx(static_cast<double>(by)).margin(1e-4));
}

TEST_CASE("where only the later visit can be converted, both are shown by the earlier one's method") {
  const Visit then = reading(open_12(neck(3.1L)));
  const Visit now = reading(others(neck(3.1L)) + capo_12(neck(3.1L)));
  const DriftRow found = row(drift(then.seen(), now.seen()), "action.bass");
  CHECK(found.method == "at fret 12, open");
  CHECK(found.now->converted_from == "at fret 12, held at 1");
  CHECK(found.moved == Moved::no);
}

TEST_CASE("two methods that nothing links are not comparable, and the reason names both") {
  const Visit then = reading(open_12(neck(3.1L)));
  const Visit now = reading(capo_12(neck(3.1L)));
  const DriftRow found = row(drift(then.seen(), now.seen()), "action.bass");
  CHECK_FALSE(found.moved);
  CHECK_FALSE(found.change);
  CHECK(found.why_not.find("at fret 12, open") != std::string::npos);
  CHECK(found.why_not.find("held at 1") != std::string::npos);
}

TEST_CASE("what a job moved and nobody read again has no value now, and the job is work done since") {
  const std::string read = "relief: 0.20 mm, action: {bass: 1.60 mm, treble: 1.30 mm}";
  const Visit then = reading(read);
  const Visit now(stick_visit(read) + "  - did: {job: lower, amount: 0.20 mm}\n");
  const Drift found = drift(then.seen(), now.seen());
  CHECK_FALSE(row(found, "action.bass").moved);
  CHECK(row(found, "action.bass").why_not == "now not read again after: lower the saddles");
  CHECK(row(found, "relief").moved == Moved::no);
  REQUIRE(found.work.size() == 1);
  CHECK(found.work.front().text == "lower the saddles, 0.2 mm");
}

TEST_CASE("work before the earlier visit's last reading is none since, work after it and between is") {
  const Visit then(stick_visit("relief: 0.40 mm") +
                   "  - did: tighten\n    read: {relief: 0.20 mm}\n  - {date: 2026-03-02, did: file_nut}\n");
  const Visit between(stick_visit("relief: 0.25 mm") + "  - did: loosen\n");
  const Drift found = drift(then.seen(), reading("relief: 0.20 mm").seen(), {between.seen()});
  REQUIRE(found.work.size() == 2);
  CHECK(found.work[0].text == "file the nut");
  CHECK(to_text(found.work[0].date) == "2026-03-02");
  CHECK(found.work[1].text == "loosen the rod");
}

TEST_CASE("another tuning is stated as a difference, the same strings are not") {
  const Visit then = reading("relief: 0.20 mm");
  const Visit now(stick_visit("relief: 0.20 mm", "player: {tuning: [D4, B3, G3, D3, A2, D2]}\n"));
  for (const Circumstance& each : drift(then.seen(), now.seen()).circumstances) {
    INFO(each.word << ": " << each.then << ", " << each.now);
    CHECK(each.differs() == (each.word == "tuning"));
  }
}

TEST_CASE("over many visits each reading is held against the last one before it, by the last one's method") {
  const Visit first = reading(others(neck(3.1L)) + open_12(neck(3.1L)));
  const Visit second = reading("relief: 0.30 mm");
  const Visit third = reading(others(neck(3.4L)) + capo_12(neck(3.4L)));
  const History found = history({first.seen(), second.seen(), third.seen()});
  const auto action = std::find_if(found.rows.begin(), found.rows.end(),
                                   [](const HistoryRow& each) { return each.name == "action.bass"; });
  REQUIRE(action != found.rows.end());
  REQUIRE(action->cells.size() == 3);
  CHECK(action->method == "at fret 12, held at 1");
  CHECK(action->cells[0].value->converted_from == "at fret 12, open");
  CHECK_FALSE(action->cells[0].moved);
  CHECK_FALSE(action->cells[1].value);
  CHECK(action->cells[2].moved == Moved::yes);
}
