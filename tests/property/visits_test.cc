// Random visits of every shipped profile: nothing crashes, every rule has one state, and one more reading never takes back what
// was decided without it.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <numeric>
#include <string>
#include <vector>

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/judge/judge.h"
#include "engine/paper/json.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"
#include "tests/support/random_visit.h"
#include "tests/support/rounds.h"

using namespace stringline;
using testing::RandomVisit;
using testing::Readings;

namespace {

std::vector<std::string> shipped_profiles() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator("profiles")) {
    const bool trials = entry.path().stem().extension() == ".trials";
    if (entry.path().extension() == ".yaml" && !trials) names.push_back(entry.path().stem().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

// One visit text in the example's house, from text to judgement.
struct Opened {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book{{"profiles"}, sources, diagnostics};
  std::unique_ptr<const OpenVisit> visit;

  explicit Opened(const std::string& text) {
    visit = open_visit(book, {"examples/harrow_lane/visits/random.yaml", text, {}, {}}, diagnostics);
  }
  [[nodiscard]] std::string told() const { return render(diagnostics, sources, false); }
  [[nodiscard]] const Judgement& judgement() const { return visit->judgement; }
};

std::string bare(const std::string& profile) {
  return "visit: v1\nprofile: " + profile + "\ninstrument: {id: R-1}\nlog: [{date: 2026-03-02, note: in}]\n";
}

void check_ledger(const Program& program, const Judgement& judgement) {
  REQUIRE(judgement.rules.size() == program.rules.size());
  CHECK(std::accumulate(judgement.ledger.begin(), judgement.ledger.end(), std::size_t{0}) == program.rules.size());
  for (std::size_t state = 0; state < judgement.ledger.size(); ++state) {
    const auto count = std::count_if(judgement.rules.begin(), judgement.rules.end(), [&](const RuleOutcome& rule) {
      return static_cast<std::size_t>(rule.state) == state;
    });
    CHECK(static_cast<std::size_t>(count) == judgement.ledger[state]);
  }
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    INFO("rule " << program.rules[i].name);
    const RuleOutcome& rule = judgement.rules[i];
    CHECK(rule.failure.has_value() == (rule.state == RuleState::error));
    if (rule.state == RuleState::fired) CHECK_FALSE(rule.fired.empty());
    if (rule.state == RuleState::clear || rule.state == RuleState::not_applicable) {
      CHECK(rule.fired.empty());
      CHECK(rule.needs.empty());
    }
    if (rule.state == RuleState::unknown) CHECK(rule.fired.empty());
  }
}

bool decided(RuleState state) { return state == RuleState::fired || state == RuleState::clear; }

}  // namespace

TEST_CASE("random visits of every shipped profile are judged and planned without a crash, and the ledger adds up") {
  constexpr unsigned seed = 20'260'921;
  const auto profiles = shipped_profiles();
  REQUIRE_FALSE(profiles.empty());
  const int rounds = test::rounds(500) / static_cast<int>(profiles.size()) + 1;
  std::array<std::size_t, 5> seen{};
  for (const std::string& profile : profiles) {
    const Opened empty(bare(profile));
    INFO(empty.told());
    REQUIRE(empty.visit);
    RandomVisit random(empty.visit->program, profile, seed);
    for (int round = 0; round < rounds; ++round) {
      const std::string head = random.head();
      const std::string text = RandomVisit::text(head, random.readings(true));
      const Opened opened(text);
      INFO("seed " << seed << " profile " << profile << " round " << round << "\n" << text << opened.told());
      REQUIRE(opened.visit);
      const Program& program = opened.visit->program;
      check_ledger(program, opened.judgement());
      for (std::size_t state = 0; state < seen.size(); ++state) seen[state] += opened.judgement().ledger[state];
      const Plan plan = make_plan(program, opened.judgement());
      CHECK_FALSE(work_text(program, opened.judgement(), plan, "random").empty());
      Json document;
      add_work(document, {program, opened.judgement(), plan, opened.sources}, *opened.visit->tree, {}, {});
      CHECK(document.size() > 0);
    }
  }
  CHECK(seen[static_cast<std::size_t>(RuleState::fired)] > test::at_least(200));
  CHECK(seen[static_cast<std::size_t>(RuleState::clear)] > test::at_least(200));
  CHECK(seen[static_cast<std::size_t>(RuleState::unknown)] > test::at_least(200));
  CHECK(seen[static_cast<std::size_t>(RuleState::error)] == 0);  // shipped rules never fail
}

TEST_CASE("a rule that is decided stays so when one more thing is read, where no gate turns by it") {
  constexpr unsigned seed = 20'260'922;
  int compared = 0;
  for (const std::string& profile : shipped_profiles()) {
    const Opened empty(bare(profile));
    REQUIRE(empty.visit);
    RandomVisit random(empty.visit->program, profile, seed);
    const int rounds = test::rounds(12);
    for (int round = 0; round < rounds; ++round) {
      const std::string head = random.head();
      Readings readings = random.readings(false);
      const Opened before(RandomVisit::text(head, readings));
      INFO(before.told());
      REQUIRE(before.visit);
      const Program& program = before.visit->program;
      // The first point that nobody read and that is not assumed meanwhile.
      for (PointId point = 0; point < program.points.size(); ++point) {
        const PointState& state = before.judgement().points[point];
        const std::string value =
            state.assumed || (point + static_cast<PointId>(round)) % 7 != 0 ? "" : random.value(point);
        if (value.empty() || !readings.emplace(program.points[point].name, value).second) continue;
        const Opened after(RandomVisit::text(head, readings));
        INFO("seed " << seed << " profile " << profile << " round " << round << ", then " << program.points[point].name
                     << ": " << value << "\n"
                     << RandomVisit::text(head, readings) << after.told());
        REQUIRE(after.visit);
        readings.erase(program.points[point].name);
        bool turned = false;
        for (std::size_t i = 0; i < program.gates.size(); ++i) {
          turned = turned || before.judgement().gates[i].truth != after.judgement().gates[i].truth;
        }
        if (turned) continue;
        for (std::size_t i = 0; i < program.rules.size(); ++i) {
          const RuleOutcome& was = before.judgement().rules[i];
          const RuleOutcome& is = after.judgement().rules[i];
          INFO("rule " << program.rules[i].name);
          if (was.state == RuleState::fired) CHECK(is.state == RuleState::fired);
          if (was.state == RuleState::clear) CHECK(is.state == RuleState::clear);
          compared += decided(was.state) ? 1 : 0;
        }
        for (std::size_t i = 0; i < program.stops.size(); ++i) {
          const Truth was = before.judgement().stops[i].truth;
          if (was != Truth::unknown) CHECK(after.judgement().stops[i].truth == was);
        }
        break;
      }
    }
  }
  CHECK(compared > static_cast<int>(test::at_least(500)));
}
