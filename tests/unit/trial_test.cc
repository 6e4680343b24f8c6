// Trials, and what counts as exercised by them.
#include "engine/book/trial.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "engine/book/coverage.h"
#include "engine/diag/render.h"
#include "engine/syntax/read_profile.h"
#include "engine/syntax/read_trials.h"
#include "engine/syntax/read_yaml.h"

using namespace stringline;

namespace {

const std::string profile = R"(profile: stick
facts: {scale: 648 mm, frets: 22, body_joint: 16, tuning: [E4, B3, G3, D3, A2, E2], style: soft}
choices: {style: [soft, hard]}
readings:
  humidity: {is: humidity, read_to: 1 %RH}
  sound: {is: [clear, cracked], assume: clear}
  relief: {gap: {at: 8, held: [1, last]}, read_to: 0.02 mm}
  action: {per: side, gap: {at: 12}, read_to: 0.05 mm}
targets:
  relief: {phase: rod, range: 0.1 .. 0.3 mm aim 0.2, low: loosen, high: tighten}
  action: {phase: bridge, low: lift, high: lower, range: {by style: {soft: 1.5 .. 2.0 mm aim 1.7, otherwise: 1.8 .. 2.3 mm aim 2.0}}}
gates: {weather: {open_when: humidity under 60 %RH, holds: visit}}
stops: {crack: {when: sound is cracked, do: report}}
rules: {dry: {when: humidity under 30 %RH, say: 'dry at {humidity}'}}
jobs:
  loosen: {moves: neck_bend, sets: relief}
  tighten: {moves: neck_bend, sets: relief}
  lift: {moves: saddle_height, sets: action, work_to: 0.05 mm}
  lower: {moves: saddle_height, sets: action, work_to: 0.05 mm}
  report: {phase: last}
  play: {phase: last, routine: true}
)";

const std::string head = R"(trials: stick
order: [rod, bridge, last]
usual: {given: {humidity: 45 %RH, relief: 0.2 mm, action: 1.7 mm}}
)";

struct Tried {
  Sources sources;
  Diagnostics diagnostics;
  std::optional<ProfileTree> layer;
  std::optional<TrialsTree> file;
  std::vector<Trial> trials;
  std::vector<TrialRun> runs;

  explicit Tried(const std::string& text) {
    const auto node = read_yaml(sources.add("stick.yaml", profile), sources, diagnostics);
    REQUIRE(node);
    layer = read_profile(*node, diagnostics);
    const auto written = read_yaml(sources.add("stick.trials.yaml", text), sources, diagnostics);
    REQUIRE(written);
    file = read_trials(*written, diagnostics);
    REQUIRE(layer);
    REQUIRE(file);
    auto bound = bind_trials(*file, {nullptr, {&*layer}}, diagnostics);
    INFO(render(diagnostics, sources, false));
    REQUIRE(bound);
    trials = std::move(*bound);
    for (const Trial& trial : trials) runs.push_back(run_trial(trial, trial.program));
  }

  // "work: up, got none", .. of the only trial
  [[nodiscard]] std::string unexpected() const {
    REQUIRE(trials.size() == 1);
    std::string text;
    for (const Unexpected& each : unexpected_in(trials[0].program, runs[0]))
      text += (text.empty() ? "" : "; ") + each.what + ": " + each.expected + ", got " + each.got;
    return text;
  }
  [[nodiscard]] Coverage cover() const { return coverage(trials, runs, sources); }
};

std::string one(const std::string& trial) { return Tried(head + "t: " + trial + "\n").unexpected(); }

// By which trial a part is exercised.
std::string by(const Coverage& coverage, const std::string& name) {
  const auto part =
      std::find_if(coverage.parts.begin(), coverage.parts.end(), [&](const Part& each) { return each.name == name; });
  return part == coverage.parts.end() ? "no such part" : part->by;
}

const Condition& condition(const Coverage& coverage, const std::string& name) {
  const auto found = std::find_if(coverage.conditions.begin(), coverage.conditions.end(),
                                  [&](const Condition& each) { return each.name == name; });
  REQUIRE(found != coverage.conditions.end());
  return *found;
}

}  // namespace

TEST_CASE("what is as expected is silent, what is not is told beside what came out") {
  CHECK(one("{work: none}") == "");
  CHECK(one("{given: {relief: 0.4 mm}, work: tighten, verdicts: {relief: high}}") == "");
  CHECK(one("{given: {relief: 0.4 mm}, work: loosen}") == "work: loosen, got tighten");
  CHECK(one("{given: {relief: 0.4 mm}, verdicts: {action: within}}") == "relief: not out, or named, got high");
  CHECK(one("{given: {action.bass: 2.2 mm}, verdicts: {action: high}}") == "action (treble): high, got within");
  CHECK(one("{given: {humidity: 20 %RH}, rules: none}") == "rules: none, got dry");
  CHECK(one("{says: dry}") == "says: dry, got nothing");
}

TEST_CASE("a closed gate and a true stop must be named") {
  CHECK(one("{given: {humidity: 70 %RH}, rules: none}") == "holds: none, got weather");
  CHECK(one("{given: {sound: cracked}, rules: none}") == "stops: none, got crack");
  CHECK(one("{given: {sound: cracked}, stops: crack, work: report}") == "");
}

TEST_CASE("jobs of every visit may be left out; where one is named, all of them count") {
  CHECK(one("{given: {relief: 0.4 mm}, work: [tighten, play]}") == "");
  CHECK(one("{given: {relief: 0.4 mm}, work: play}") == "work: play, got tighten, play");
}

TEST_CASE("amounts are in the words of the work list") {
  // 0.5 mm at fret 12 is 1 mm at the saddle: similar triangles
  CHECK(one("{given: {action.bass: 2.2 mm}, amounts: {lower.bass: 1.00 mm down}}") == "");
  CHECK(one("{given: {action.bass: 2.2 mm}, amounts: {lower: 1.00 mm down}}") ==
        "amount of lower, action (treble): 1.00 mm down, got none");
}

TEST_CASE("a trial's own reading counts before the usual one, unknown too") {
  CHECK(one("{given: {action.bass: 2.2 mm}, verdicts: {action: {bass: high, treble: within}}}") == "");
  CHECK(one("{given: {action.bass: unknown}, verdicts: {action: {bass: not_read, treble: within}}}") == "");
  CHECK(one("{log: [{did: tighten}], verdicts: {relief: stale}}") == "");
}

TEST_CASE("a range is tried at its limits and one step of the tool beyond them, one reading at a time") {
  CHECK(one("{limits: {relief: 0.1 .. 0.3 mm, action: 1.5 .. 2.0 mm}}") == "");
  CHECK(one("{limits: {relief: 0.08 .. 0.3 mm}}") == "relief at 0.08 mm: within, got low");
  CHECK(one("{limits: {relief: 0.12 .. 0.3 mm}}") == "relief at 0.1 mm: low, got within");
  CHECK(one("{limits: {relief: at most 0.32 mm}}") == "relief at 0.32 mm: within, got high");
  CHECK(one("{limits: {relief: at least 0.1 mm}}") == "");
  CHECK(one("{player: {style: hard}, limits: {action: {bass: 1.8 .. 2.3 mm, treble: 1.8 .. 2.25 mm}}}") ==
        "action (treble) at 2.3 mm: high, got within");
  // what was given stands beside it, and is read once
  CHECK(one("{given: {relief: 0.4 mm}, limits: {relief: 0.1 .. 0.3 mm}, work: tighten}") == "");
}

TEST_CASE("a row of a range counts where its limits are tried") {
  const Coverage cover = Tried(head + "soft: {limits: {action: 1.5 .. 2.0 mm}}\n").cover();
  CHECK(by(cover, "action, range, by style: soft") == "soft");
}

TEST_CASE("a part counts only when a trial fails without it") {
  const Coverage cover = Tried(head + R"(fine: {verdicts: {relief: within}}
bowed: {given: {relief: 0.4 mm}, work: tighten}
hard: {player: {style: hard}, given: {action: 2.2 mm}, verdicts: {action: within}}
wet: {given: {humidity: 70 %RH}, holds: weather}
wrong: {given: {humidity: 20 %RH}, rules: dry, work: tighten}
)")
                             .cover();
  CHECK(by(cover, "relief, range") == "fine");  // without it the target is unknown
  CHECK(by(cover, "relief, high") == "bowed");
  CHECK(by(cover, "relief, low") == "");
  CHECK(by(cover, "action, range, by style: otherwise") == "hard");
  CHECK(by(cover, "action, range, by style: soft") == "fine");  // by the other row 1.7 mm is low, which is not named
  CHECK(by(cover, "weather") == "wet");
  CHECK(by(cover, "crack") == "");
  CHECK(by(cover, "dry") == "");  // only a trial that fails anyway expects it
  CHECK(by(cover, "tighten") == "bowed");
  CHECK(by(cover, "play") == "");
  CHECK_FALSE(cover.is_complete());
}

TEST_CASE("`otherwise` takes the place of a row that is gone") {
  const std::string within = "{given: {action: 1.9 mm}, verdicts: {action: within}}\n";  // as 1.8 .. 2.3 mm has it
  CHECK(by(Tried(head + "t: " + within).cover(), "action, range, by style: soft") == "");
  const std::string low = "{given: {action: 1.9 mm}, player: {style: hard}, verdicts: {action: within}}\n";
  CHECK(by(Tried(head + "t: " + low).cover(), "action, range, by style: soft") == "");
  CHECK(by(Tried(head + "t: {verdicts: {action: within}}\n").cover(), "action, range, by style: soft") == "t");
}

TEST_CASE("conditions are seen true, false and unknown") {
  const Coverage cover = Tried(head + R"(fine: {work: none}
unread: {given: {humidity: unknown}, rules: none}
)")
                             .cover();
  const Condition& weather = condition(cover, "gate weather");
  CHECK(weather.seen_true);
  CHECK_FALSE(weather.seen_false);
  CHECK(weather.seen_unknown);
  CHECK(weather.can_be_unknown);
  CHECK_FALSE(condition(cover, "stop crack").seen_unknown);
}
