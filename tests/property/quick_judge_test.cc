// The quick judge against `judge()`: the same verdicts, gates, stops and rules on random shops, with readings at the limits of their
// targets, a count beside them, and what no count holds.
#include "engine/judge/quick_judge.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/judge/judge.h"
#include "tests/support/random_book.h"
#include "tests/support/random_visit.h"
#include "tests/support/rounds.h"
#include "tests/support/shop.h"

using namespace stringline;

namespace {

// One way to fill in the readings of a program, at random.
class Filler {
 public:
  Filler(const Program& program, unsigned seed) : program_(program), random_(seed) {
    Program bare = program;
    bare.log.clear();
    const Judgement blank = judge(bare);
    for (std::size_t i = 0; i < program.targets.size(); ++i) {
      for (const auto& end : {blank.targets[i].lo, blank.targets[i].hi, blank.targets[i].aim}) {
        if (end) limits_.push_back(*end);
      }
    }
  }

  // `odd`: of ten readings, how many are of a kind that only `judge()` takes.
  Entry entry(int share, int odd) {
    Entry entry;
    for (PointId point = 0; point < program_.points.size(); ++point) {
      if (below(10) < share) read(point, odd, entry);
    }
    return entry;
  }

 private:
  int below(int n) { return static_cast<int>(random_() % static_cast<unsigned>(n)); }

  Ratio number() {
    if (limits_.empty() || below(3) == 0) return *Ratio::make(below(2'000) - 200, 200);
    const Ratio limit = limits_[random_() % limits_.size()];
    static const Ratio steps[] = {Ratio(0), *Ratio::make(1, 16'000'000), *Ratio::make(1, 1000), *Ratio::make(127, 5000),
                                  *Ratio::make(1, 4)};
    const Ratio step = steps[below(5)];
    return *(below(2) == 0 ? add(limit, step) : subtract(limit, step));
  }

  void read(PointId point, int odd, Entry& entry) {
    const ReadingInfo& reading = program_.reading_of(point);
    if (reading.source == ReadingInfo::Source::computed) return;
    ReadEvent event;
    event.point = point;
    event.unit = reading.unit;
    if (below(20) == 0) event.form = ReadEvent::Form::not_measurable;
    if (reading.type.kind == Kind::truth) event.truth = below(2) == 0;
    if (reading.type.kind == Kind::state) {
      const auto& states = program_.state_sets[reading.type.states].states;
      event.state = states[random_() % states.size()];
    }
    if (reading.type.kind == Kind::number && event.form == ReadEvent::Form::value) {
      event.numbers = {number()};
      if (below(10) < odd) {
        if (below(2) == 0) {
          event.numbers.push_back(number());
        } else {
          event.numbers.clear();
          event.form = ReadEvent::Form::bound;
          event.bound.lo = number();
        }
      }
    }
    entry.read.push_back(event);
  }

  const Program& program_;
  std::mt19937 random_;
  std::vector<Ratio> limits_;
};

std::vector<Readings> records_of(const QuickJudge& quick, const Program& program, const std::vector<Entry>& entries) {
  std::vector<Readings> records(entries.size(), quick.blank());
  for (std::size_t i = 0; i < entries.size(); ++i) {
    for (const ReadEvent& event : entries[i].read) records[i].event(program, event);
  }
  return records;
}

// Judged both ways; how many the quick one judged without help.
int agree(QuickJudge& quick, Program& program, const std::vector<Entry>& entries) {
  const auto found = quick.judge(records_of(quick, program, entries));
  REQUIRE(found.size() == entries.size());
  int alone = 0;
  for (std::size_t at = 0; at < entries.size(); ++at) {
    INFO("record " << at);
    program.log = {entries[at]};
    const Judgement expected = judge(program);
    for (std::size_t i = 0; i < program.targets.size(); ++i) {
      INFO(program.points[program.targets[i].point].name);
      REQUIRE(std::string(to_text(found[at].verdicts[i])) == to_text(expected.targets[i].verdict));
    }
    for (std::size_t i = 0; i < program.gates.size(); ++i) REQUIRE(found[at].gates[i] == expected.gates[i].truth);
    for (std::size_t i = 0; i < program.stops.size(); ++i) REQUIRE(found[at].stops[i] == expected.stops[i].truth);
    for (std::size_t i = 0; i < program.rules.size(); ++i) {
      INFO(program.rules[i].name);
      REQUIRE(static_cast<int>(found[at].rules[i]) == static_cast<int>(expected.rules[i].state));
    }
    alone += found[at].in_full ? 0 : 1;
  }
  return alone;
}

}  // namespace

TEST_CASE("the quick judge says what judge() says on random shops") {
  constexpr unsigned first_seed = 20'261'201;
  int shops = 0;
  int planned = 0;
  int judged = 0;
  int alone = 0;
  for (unsigned seed = first_seed; seed < first_seed + static_cast<unsigned>(test::rounds(3'000)); ++seed) {
    const auto book = stringline::testing::random_book(seed);
    const auto shop = open_shop({book.profile}, book.visit, book.house);
    if (!shop->program) continue;
    ++shops;
    Program program = *shop->program;
    QuickJudge quick(program);
    INFO("seed " << seed << "\n" << book.house << "---\n" << book.profile << "---\n" << book.visit << quick.refused());
    Filler filler(program, seed);
    const bool has_plan = quick.refused().empty();
    std::vector<Entry> entries;
    for (int record = 0; record < (has_plan ? 12 : 1); ++record)
      entries.push_back(filler.entry(record % 3 == 0 ? 10 : 2 + record % 8, record % 4 == 0 ? 3 : 0));
    const int without_help = agree(quick, program, entries);
    CHECK(quick.asked_full() == entries.size() - static_cast<std::size_t>(without_help));
    if (!has_plan) continue;
    ++planned;
    judged += static_cast<int>(entries.size());
    alone += without_help;
  }
  INFO(shops << " shops, " << planned << " with a plan; " << judged << " records, " << alone << " without help");
  CHECK(planned > shops / 4);
  CHECK(alone > judged / 4);
}

TEST_CASE("the quick judge says what judge() says on random visits of every shipped profile") {
  constexpr unsigned seed = 20'261'205;
  int profiles = 0;
  int planned = 0;
  for (const auto& file : std::filesystem::directory_iterator("profiles")) {
    const std::filesystem::path& path = file.path();
    if (path.extension() != ".yaml" || path.stem().extension() == ".trials") continue;
    const std::string name = path.stem().string();
    const auto open = [&](Sources& sources, Diagnostics& told, const std::string& text) {
      HouseBook book({"profiles"}, sources, told);
      return open_visit(book, {"examples/harrow_lane/visits/random.yaml", text, {}, {}}, told);
    };
    Sources sources;
    Diagnostics told;
    const auto bare = open(sources, told, "visit: v1\nprofile: " + name + "\nlog: [{date: 2026-03-02, note: in}]\n");
    INFO(name << "\n" << render(told, sources, false));
    REQUIRE(bare);
    ++profiles;
    stringline::testing::RandomVisit random(bare->program, name, seed);
    for (int round = 0; round < test::rounds(10); ++round) {
      const auto visit =
          open(sources, told, stringline::testing::RandomVisit::text(random.head(), random.readings(round % 2 == 0)));
      INFO(render(told, sources, false));
      REQUIRE(visit);
      Program program = visit->program;
      QuickJudge quick(program);
      INFO(quick.refused());
      (void)agree(quick, program, {program.log.front()});
      planned += quick.refused().empty() ? 1 : 0;
    }
  }
  INFO(planned << " visits with a plan, of " << profiles << " profiles");
  CHECK(planned > static_cast<int>(test::at_least(10)));
}

TEST_CASE("tolerances over numbers and over strings are judged without help, at their limits too") {
  const std::string profile = R"yaml(profile: p
facts:
  tuning: [E4, B3, G3, D3, A2, E2]
  style: hard
choices:
  style: [soft, hard]
readings:
  wide: {is: length, read_to: 1/64 in}
  tall: {is: length}
  warm: {is: temperature, read_to: 1 degC}
  gap: {per: string, is: length, read_to: 1 thou}
  deep: {per: string, is: length, read_to: 0.05 mm, repeat: 0.02 mm}
  last: {is: gap.1 - gap.6}
  mean: {is: (gap.1 + gap.2 + gap.3 + gap.4 + gap.5 + gap.6) / 6}
targets:
  wide: {range: 1 mm .. 2 mm}
  tall: {range: {by style: {soft: 1 mm .. 1.5 mm, hard: at least 1.25 mm aim 1.5 mm}}}
  warm: {range: 18 degC .. 24 degC}
  gap: {range: 0.5 mm .. 0.75 mm}
  deep: {range: 20 thou +- 5 thou}
  last: {range: -0.25 mm .. 0.25 mm}
  mean: {range: 0.5 mm .. 0.75 mm}
rules:
  rule_one: {when: tall under 1.2 mm or tall over 1.6 mm, say: so}
  rule_two: {when: not all(gap is within), say: so}
  rule_three: {when: any(deep over 0.5 mm), say: so}
  rule_four: {when: count(deep at least 0.4 mm and deep at most 0.6 mm) under 4, say: so}
  rule_five: {when: any(deep - gap under -0.2 mm or deep - gap over 0.1 mm), say: so}
  rule_six: {when: max(gap) - min(gap) over 0.2 mm, say: so}
  rule_seven: {when: warm under 20 degC and (tall under 1 mm or tall over 1.25 mm), say: so}
  rule_eight: {when: 2 * tall + wide over 4 mm, say: so}
  rule_nine: {for: string, when: gap - deep over 0.25 mm, say: so}
  rule_ten: {when: (if warm over 21 degC then gap.1 over 0.5 mm else gap.1 over 0.75 mm), say: so}
  rule_eleven: {when: any(gap.7..9 over 0.5 mm) or all(gap.7..9 over 0.5 mm) and tall over 1.2 mm, say: so}
  rule_twelve: {when: max(gap.7..9) over 0.5 mm or count(gap.7..9 over 0.5 mm) over 0 or tall over 1.2 mm, say: so}
)yaml";
  const auto shop = open_shop({profile});
  INFO(shop->told());
  REQUIRE(shop->program);
  Program program = *shop->program;
  QuickJudge quick(program);
  CHECK(quick.refused().empty());
  Filler filler(program, 20'261'202);
  std::vector<Entry> entries;
  for (int i = 0; i < test::rounds(2'000); ++i) {
    Entry entry = filler.entry(10, 0);
    const auto odd = [](const ReadEvent& event) { return event.form != ReadEvent::Form::value; };
    if (std::none_of(entry.read.begin(), entry.read.end(), odd)) entries.push_back(entry);
  }
  REQUIRE(entries.size() > test::at_least(500));
  CHECK(agree(quick, program, entries) == static_cast<int>(entries.size()));
  CHECK(quick.asked_full() == 0);
}

TEST_CASE("a product is judged without help but near its limit") {
  const std::string profile = R"yaml(profile: p
readings:
  wide: {is: number}
  tall: {is: number}
  area: {is: wide * tall}
targets:
  area: {range: 1 .. 2}
rules:
  square: {when: wide * wide * tall over 2.5, say: so}
)yaml";
  const auto shop = open_shop({profile});
  INFO(shop->told());
  REQUIRE(shop->program);
  Program program = *shop->program;
  QuickJudge quick(program);
  CHECK(quick.refused().empty());
  const auto entry = [&](Ratio wide, Ratio tall) {
    Entry sides;
    for (const auto& [name, value] : {std::pair{"wide", wide}, {"tall", tall}}) {
      ReadEvent event;
      event.point = shop->point(name);
      event.numbers = {value};
      sides.read.push_back(event);
    }
    return sides;
  };
  CHECK(agree(quick, program, {entry(2, 1)}) == 0);                           // at the limit
  CHECK(agree(quick, program, {entry(2, *Ratio::make(1'001, 1'000))}) == 1);  // above it
  CHECK(agree(quick, program, {entry(*Ratio::make(1, 3), 4)}) == 0);          // no whole count
  CHECK(agree(quick, program, {entry(600, 600), entry(Ratio(1), *Ratio::make(3, 2))}) == 2);
  // Too large for fractions of sixteen millionths: judge() says that the number does not fit.
  CHECK(agree(quick, program,
              {entry(*Ratio::make(1'000'000'000'001, 16'000'000), *Ratio::make(1'000'000'000'003, 16'000'000))}) == 0);
  std::mt19937 random(20'261'203);
  std::vector<Entry> entries;
  for (int i = 0; i < test::rounds(2'000); ++i)
    entries.push_back(entry(*Ratio::make(static_cast<int>(random() % 3'000) - 500, 1'000),
                            *Ratio::make(static_cast<int>(random() % 3'000), 1'000)));
  CHECK(agree(quick, program, entries) > test::rounds(2'000) * 99 / 100);
}
