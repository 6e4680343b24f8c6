// The bench log, entry by entry: what makes a reading stale, what brings it back, and who said yes.
#include <catch2/catch.hpp>

#include <algorithm>
#include <string>

#include "engine/judge/judge.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

const std::string first =
    "  - date: 2026-03-01\n    read: {relief: 0.40 mm, nut_gap: 0.45 mm, action: {bass: 1.6 mm, treble: 1.3 mm}, "
    "octave_error: 3 cents}\n";

std::unique_ptr<Shop> bench(const std::string& log) {
  return open_shop(
      {stick_profile},
      "visit: v1\nprofile: stick\ninstrument: {id: N-1, strings: [10p, 13p, 17p, 26w, 36w, 46w]}\nlog:\n" + log,
      stick_house);
}

std::string codes(const Shop& shop) {
  std::string text;
  for (const Diagnostic& d : shop.diagnostics.sorted())
    text += (text.empty() ? "" : " ") + std::string(info(d.code).id);
  return text;
}

struct Bench {
  std::unique_ptr<Shop> shop;
  Judgement judgement;

  explicit Bench(const std::string& log, const Circumstances& circumstances = {}) : shop(bench(log)) {
    INFO(shop->told());
    REQUIRE(shop->program);
    judgement = judge(*shop->program, circumstances);
  }

  [[nodiscard]] const PointState& state(const std::string& point) const { return judgement.points[shop->point(point)]; }
  [[nodiscard]] bool stale(const std::string& point) const { return state(point).status == PointState::Status::stale; }
  [[nodiscard]] bool read(const std::string& point) const { return state(point).status == PointState::Status::read; }
  [[nodiscard]] std::string value(const std::string& point) const { return to_text(state(point).value); }
  [[nodiscard]] std::string jobs(const std::vector<JobId>& ids) const {
    std::string text;
    for (const JobId id : ids) text += (text.empty() ? "" : " ") + shop->program->jobs[id].name;
    return text;
  }
};

}  // namespace

TEST_CASE("a job makes stale what it sets and what it moves, and a later reading brings each back alone") {
  const Bench done(first + "  - did: {job: tighten, amount: 1/4 turns}\n");
  CHECK(done.stale("relief"));
  CHECK(done.stale("action.bass"));
  CHECK(done.state("relief").stale_by == "tighten the rod");
  CHECK(done.value("relief") == "0.4 mm");  // what it was stays known
  CHECK(done.jobs(done.judgement.done) == "tighten");
  const Bench again(first + "  - did: tighten\n  - read: {relief: 0.20 mm}\n");
  CHECK(again.read("relief"));
  CHECK(again.stale("action.bass"));
}

TEST_CASE("a job that moves the saddle leaves the relief as it was read") {
  const Bench done(first + "  - did: lower\n");
  CHECK(done.stale("action.bass"));
  CHECK(done.stale("action.treble"));
  CHECK(done.read("relief"));
}

TEST_CASE("in one entry what was done and fitted comes before what was read") {
  const Bench done("  - date: 2026-03-01\n    read: {relief: 0.40 mm}\n  - {read: {relief: 0.20 mm}, did: tighten}\n");
  CHECK(done.read("relief"));
  CHECK(done.value("relief") == "0.2 mm");
  const Bench strings("  - {date: 2026-03-01, read: {relief: 0.20 mm}, fitted: strings}\n");
  CHECK(strings.read("relief"));
}

TEST_CASE("new strings make every gap and pitch stale, and leave what does not hang on them") {
  const Bench done(first + "  - fitted: strings\n");
  CHECK(done.stale("relief"));
  CHECK(done.stale("nut_gap.1"));
  CHECK(done.stale("action.treble"));
  CHECK(done.stale("octave_error.1"));
  CHECK(done.read("rise.12"));  // assumed, of the fret itself
  CHECK(done.state("relief").stale_by == "new strings");
}

TEST_CASE("retuning makes every gap and pitch stale") {
  const Bench done(first + "  - retuned: true\n");
  CHECK(done.stale("relief"));
  CHECK(done.stale("octave_error.6"));
  CHECK(done.state("relief").stale_by == "retuning");
}

TEST_CASE("a later reading replaces the earlier one, unknown replaces nothing") {
  const Bench twice(first + "  - read: {relief: 0.25 mm}\n");
  CHECK(twice.value("relief") == "0.25 mm");
  CHECK(twice.state("relief").entry == 2);
  const Bench unknown(first + "  - read: {relief: unknown}\n");
  CHECK(unknown.value("relief") == "0.4 mm");
  CHECK(unknown.state("relief").entry == 1);
}

TEST_CASE("what was not measurable is not asked for and is no reading") {
  const Bench bench("  - {date: 2026-03-01, read: {relief: not_measurable}}\n");
  CHECK(bench.state("relief").status == PointState::Status::not_measurable);
}

TEST_CASE("a struck entry counts for nothing: not its readings, not its jobs, not its strings") {
  const Bench reading(first + "  - read: {relief: 4 mm}\n  - strike: {entry: 2, reason: a slip of the pen}\n");
  CHECK(reading.value("relief") == "0.4 mm");
  const Bench job(first + "  - did: tighten\n  - strike: {entry: 2, reason: not done after all}\n");
  CHECK(job.read("relief"));
  CHECK(job.judgement.done.empty());
  const Bench strings(first + "  - fitted: strings\n  - strike: {entry: 2, reason: the old set went back on}\n");
  CHECK(strings.read("relief"));
  const Bench yes(first + "  - agreed: {jobs: [lower]}\n  - strike: {entry: 2, reason: it was another owner}\n");
  CHECK(yes.judgement.agreed.empty());
}

TEST_CASE("only an earlier entry that exists can be struck") {
  CHECK(codes(*bench(first + "  - strike: {entry: 5, reason: a slip}\n")) == "E506");
  CHECK(codes(*bench(first + "  - strike: {entry: 2, reason: a slip}\n")) == "E506");  // itself
  CHECK(codes(*bench(first + "  - strike: {entry: 1, reason: a slip}\n")).empty());
}

TEST_CASE("dates never go back, and may be left out or repeated") {
  CHECK(codes(*bench("  - {date: 2026-03-02, note: a}\n  - {date: 2026-03-01, note: b}\n")) == "E310");
  CHECK(codes(*bench("  - {date: 2026-03-02, note: a}\n  - {note: b}\n  - {date: 2026-03-01, note: c}\n")) == "E310");
  CHECK(codes(*bench("  - {date: 2026-03-02, note: a}\n  - {date: 2026-03-02, note: b}\n  - {note: c}\n")).empty());
  CHECK(codes(*bench("  - {note: a}\n")) == "E505");
}

TEST_CASE("an entry without a date has the one before it") {
  const Bench done(
      "  - {date: 2026-03-01, note: in}\n  - read: {relief: 0.2 mm}\n  - {date: 2026-03-04, note: later}\n");
  CHECK(to_text(done.state("relief").date) == "2026-03-01");
}

TEST_CASE("nothing follows a closed log") {
  CHECK(Bench(first + "  - closed: true\n").judgement.closed);
  CHECK_FALSE(Bench(first).judgement.closed);
  CHECK(codes(*bench(first + "  - closed: true\n  - note: one more thing\n")) == "E512");
}

TEST_CASE("the owner's last word counts: asked, agreed, declined") {
  const Bench asked(first + "  - asked: [lower, raise]\n");
  CHECK(asked.jobs(asked.judgement.asked) == "lower raise");
  const Bench answered(
      first + "  - asked: [lower, raise]\n  - {agreed: {jobs: [lower], up_to: 120.00}}\n  - declined: [raise]\n");
  CHECK(answered.judgement.asked.empty());
  CHECK(answered.jobs(answered.judgement.agreed) == "lower");
  CHECK(answered.jobs(answered.judgement.declined) == "raise");
  REQUIRE(answered.judgement.up_to);
  CHECK(answered.judgement.up_to->value == Ratio(120));
  const Bench changed(first + "  - declined: [lower]\n  - agreed: {jobs: [lower]}\n");
  CHECK(changed.jobs(changed.judgement.agreed) == "lower");
  CHECK(changed.judgement.declined.empty());
  const Bench back(first + "  - agreed: {jobs: [lower]}\n  - declined: [lower]\n");
  CHECK(back.judgement.agreed.empty());
  CHECK(back.jobs(back.judgement.declined) == "lower");
}

TEST_CASE("a reading is stale when it is older than it is good for") {
  const std::string profile = R"(profile: board
readings: {humidity: {is: humidity, of: the room, with: hygrometer, good_for: 1 d}}
targets: {humidity: {range: 45 .. 50 %RH}}
)";
  const auto shop = open_shop(
      {profile},
      "visit: v1\nprofile: board\ninstrument: {id: B-1}\nlog:\n  - {date: 2026-03-01, read: {humidity: 47 %RH}}\n",
      "house: nook\norder: [rod]\n");
  INFO(shop->told());
  REQUIRE(shop->program);
  const auto on = [&](const char* day) {
    Circumstances circumstances;
    circumstances.today = parse_date(day);
    REQUIRE(circumstances.today);
    return std::string(to_text(judge(*shop->program, circumstances).targets.front().verdict));
  };
  CHECK(on("2026-03-01") == "within");
  CHECK(on("2026-03-02") == "within");
  CHECK(on("2026-03-03") == "stale");
  CHECK(std::string(to_text(judge(*shop->program).targets.front().verdict)) == "within");  // without today nothing ages
}
