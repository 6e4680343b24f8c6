// Layers of a profile: what a later file says of a thing, what it leaves, what it takes away.
#include "engine/check/layer.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/check/evaluate.h"
#include "tests/support/shop.h"

using namespace stringline;

namespace {

const std::string base = R"(profile: stick
facts: {scale: 648 mm, frets: 22, body_joint: 16, tuning: [E4, B3, G3, D3, A2, E2]}
choices: {style: [strumming, melody, chords]}
readings:
  relief: {gap: {at: 7, held: [1, 16]}, with: feeler gauges, read_to: 0.01 mm}
  nut_gap: {per: string, gap: {at: first}, with: feeler gauges, read_to: 0.01 mm}
  action: {per: side, gap: {at: 12}, with: rule, read_to: 0.02 mm}
  width: {is: length, of: width at the nut, with: callipers, read_to: 0.1 mm}
)";

const std::string jobs = R"(jobs:
  loosen: {label: loosen the rod}
  tighten: {label: tighten the rod}
  lower: {label: lower the saddles}
)";

// A later layer, for one that only says `body`.
std::string over(const std::string& body) { return "profile: stick\n" + body; }

struct Layers {
  std::unique_ptr<Shop> shop;

  explicit Layers(const std::vector<std::string>& profiles, const std::string& visit = "")
      : shop(open_shop(profiles, visit)) {}

  [[nodiscard]] const TargetInfo* target(const std::string& point) const {
    REQUIRE(shop->program);
    return shop->program->target(shop->point(point));
  }

  // "0.1 mm..0.3 mm", the range of a point when `style` is not known or not asked.
  [[nodiscard]] std::string range(const std::string& point) const {
    INFO(shop->told());
    const TargetInfo* found = target(point);
    if (found == nullptr || !found->range) return "none";
    const Nothing nothing(*shop->program);
    const Evaluator evaluator(*shop->program, nothing);
    const auto rows = evaluator.possible(*found->range);
    std::string text;
    for (const TypedRange* row : rows.leaves) {
      const auto end = [&](const TypedPtr& e) { return e ? to_text(evaluator.evaluate(*e).value) : std::string("-"); };
      text +=
          (text.empty() ? "" : " | ") + end(row->lo) + ".." + end(row->hi) + (row->aim ? " aim " + end(row->aim) : "");
    }
    return text;
  }

  [[nodiscard]] std::string codes() const {
    std::string text;
    for (const Diagnostic& d : shop->diagnostics.sorted()) {
      if (info(d.code).severity == Severity::error) text += (text.empty() ? "" : " ") + std::string(info(d.code).id);
    }
    return text;
  }

  [[nodiscard]] std::string low_job(const std::string& point) const {
    const TargetInfo* found = target(point);
    if (!found->low) return "none";
    const auto* leaf = std::get_if<std::optional<JobId>>(&found->low->node);
    return leaf != nullptr && *leaf ? shop->program->jobs[**leaf].name : "none";
  }
};

const std::string relief_base =
    base + "targets:\n  relief: {range: 0.1 .. 0.3 mm aim 0.2, low: loosen, high: tighten}\n" + jobs;

const std::string by_style = base + R"(targets:
  relief:
    range:
      by style:
        strumming: 0.2 .. 0.3 mm
        otherwise: 0.1 .. 0.2 mm
)" + jobs;

}  // namespace

TEST_CASE("a leaf that a later layer says again replaces the one below, and the others stay") {
  const Layers layers({relief_base, over("targets:\n  relief: {range: 0.05 .. 0.15 mm}\n")});
  CHECK(layers.range("relief") == "0.05 mm..0.15 mm");  // its aim belongs to the range and goes with it
  CHECK(layers.low_job("relief") == "loosen");
  const Layers job({relief_base, over("targets:\n  relief: {low: lower}\n")});
  CHECK(job.range("relief") == "0.1 mm..0.3 mm aim 0.2 mm");
  CHECK(job.low_job("relief") == "lower");
}

TEST_CASE("the last of three layers wins") {
  const Layers layers({relief_base, over("targets:\n  relief: {range: 0.05 .. 0.15 mm}\n"),
                       over("targets:\n  relief: {range: 0.02 .. 0.04 mm}\n")});
  CHECK(layers.range("relief") == "0.02 mm..0.04 mm");
}

TEST_CASE("every value remembers the line that set it and the ones it overrode, latest first") {
  const Layers layers({relief_base, over("targets:\n  relief: {range: 0.05 .. 0.15 mm}\n"),
                       over("targets:\n  relief: {range: 0.02 .. 0.04 mm}\n")});
  const Origin& origin = layers.target("relief")->range_origin;
  const auto file = [&](Span span) { return std::string(layers.shop->sources.path(span.source)); };
  CHECK(file(origin.span) == "profile3.yaml");
  REQUIRE(origin.overrode.size() == 2);
  CHECK(file(origin.overrode[0]) == "profile2.yaml");
  CHECK(file(origin.overrode[1]) == "profile1.yaml");
}

TEST_CASE("tables of members by one selector merge row by row") {
  const Layers layers({by_style, over("targets:\n  relief: {range: {by style: {melody: 0.4 .. 0.5 mm}}}\n")});
  CHECK(layers.range("relief") == "0.2 mm..0.3 mm | 0.4 mm..0.5 mm | 0.1 mm..0.2 mm");
  const Layers again({by_style, over("targets:\n  relief: {range: {by style: {strumming: 0.4 .. 0.5 mm}}}\n")});
  CHECK(again.range("relief") == "0.4 mm..0.5 mm | 0.1 mm..0.2 mm");
  const Layers rest({by_style, over("targets:\n  relief: {range: {by style: {otherwise: 0.4 .. 0.5 mm}}}\n")});
  CHECK(rest.range("relief") == "0.2 mm..0.3 mm | 0.4 mm..0.5 mm");
}

TEST_CASE("a table by another selector, a plain range, or bands replace the whole") {
  const Layers plain({by_style, over("targets:\n  relief: {range: 0.4 .. 0.5 mm}\n")});
  CHECK(plain.range("relief") == "0.4 mm..0.5 mm");
  const Layers table(
      {relief_base, over("targets:\n  relief: {range: {by style: {melody: 0.4 .. 0.5 mm, otherwise: 0.5 .. 0.6 "
                         "mm}}}\n")});
  CHECK(table.range("relief") == "0.4 mm..0.5 mm | 0.5 mm..0.6 mm");
  const Layers other(
      {by_style, over("targets:\n  relief: {range: {by width: {up to 43 mm: 0.4 .. 0.5 mm, over 43 mm: 0.5 .. "
                      "0.6 mm}}}\n")});
  CHECK(other.range("relief") == "0.4 mm..0.5 mm | 0.5 mm..0.6 mm");
  const std::string bands =
      base + "targets:\n  relief: {range: {by width: {up to 43 mm: 0.1 .. 0.2 mm, over 43 mm: 0.2 .. 0.3 mm}}}\n";
  const Layers whole(
      {bands, over("targets:\n  relief: {range: {by width: {up to 40 mm: 0.4 .. 0.5 mm, over 40 mm: 0.5 .. 0.6 "
                   "mm}}}\n")});
  CHECK(whole.range("relief") == "0.4 mm..0.5 mm | 0.5 mm..0.6 mm");
}

TEST_CASE("a merged table is checked as one: a later layer may fill a hole, and may leave one") {
  const std::string hole = base + "targets:\n  relief: {range: {by style: {strumming: 0.2 .. 0.3 mm}}}\n";
  CHECK(Layers({hole}).codes() == "E424");
  const Layers filled({hole, over("targets:\n  relief: {range: {by style: {otherwise: 0.4 .. 0.5 mm}}}\n")});
  CHECK(filled.codes().empty());
  const Layers half({hole, over("targets:\n  relief: {range: {by style: {melody: 0.4 .. 0.5 mm}}}\n")});
  CHECK(half.codes() == "E424");
}

TEST_CASE("none takes a thing away, and a still later layer may bring it back") {
  const std::string rule =
      relief_base + "rules:\n  straight:\n    when: relief under 0.02 mm\n    say: almost straight\n";
  CHECK(Layers({rule}).shop->program->rules.size() == 1);
  CHECK(Layers({rule, over("rules: {straight: none}\n")}).shop->program->rules.empty());
  CHECK(Layers({rule, over("targets: {relief: none}\n")}).range("relief") == "none");
  const Layers back({rule, over("targets: {relief: none}\n"), over("targets:\n  relief: {range: 0.4 .. 0.5 mm}\n")});
  CHECK(back.range("relief") == "0.4 mm..0.5 mm");
  CHECK(back.low_job("relief") == "none");  // what was taken away does not come back with it
  CHECK(Layers({rule, over("jobs: {lower: none}\n")}).shop->program->jobs.size() == 2);
  CHECK(Layers({rule, over("jobs: {loosen: none}\n")}).codes() == "E406");  // the target still calls it
}

TEST_CASE("inside a file the narrower key wins, whichever stands first") {
  const std::string all = "  nut_gap: {range: 0.3 .. 0.5 mm}\n";
  const std::string group = "  nut_gap.4..6: {range: 0.4 .. 0.6 mm}\n";
  const std::string member = "  nut_gap.6: {range: 0.5 .. 0.7 mm}\n";
  std::vector<std::string> keys{all, group, member};
  std::sort(keys.begin(), keys.end());
  do {
    const Layers layers({base + "targets:\n" + keys[0] + keys[1] + keys[2]});
    INFO(keys[0] << keys[1] << keys[2] << layers.shop->told());
    CHECK(layers.range("nut_gap.1") == "0.3 mm..0.5 mm");
    CHECK(layers.range("nut_gap.3") == "0.3 mm..0.5 mm");
    CHECK(layers.range("nut_gap.4") == "0.4 mm..0.6 mm");
    CHECK(layers.range("nut_gap.6") == "0.5 mm..0.7 mm");
  } while (std::next_permutation(keys.begin(), keys.end()));
}

TEST_CASE("a key with a member takes the rest from the key without") {
  const Layers layers(
      {base + "targets:\n  action.bass: {range: 1.4 .. 1.9 mm}\n  action: {range: 1.1 .. 1.6 mm, low: lower}\n" +
       jobs});
  CHECK(layers.range("action.bass") == "1.4 mm..1.9 mm");
  CHECK(layers.range("action.treble") == "1.1 mm..1.6 mm");
  CHECK(layers.low_job("action.bass") == "lower");
}

TEST_CASE("between files the later one wins, however wide its key") {
  const std::string narrow =
      base + "targets:\n  nut_gap.6: {range: 0.5 .. 0.7 mm}\n  nut_gap: {range: 0.3 .. 0.5 mm}\n";
  const Layers layers({narrow, over("targets:\n  nut_gap: {range: 0.8 .. 0.9 mm}\n")});
  CHECK(layers.range("nut_gap.6") == "0.8 mm..0.9 mm");
  CHECK(layers.range("nut_gap.1") == "0.8 mm..0.9 mm");
  const Layers member({narrow, over("targets:\n  nut_gap.2: {range: 0.8 .. 0.9 mm}\n")});
  CHECK(member.range("nut_gap.2") == "0.8 mm..0.9 mm");
  CHECK(member.range("nut_gap.6") == "0.5 mm..0.7 mm");
}

TEST_CASE(
    "two groups of one file that give one member different ranges are a mistake, in different files they are not") {
  const std::string low = "  nut_gap.4..6: {range: 0.4 .. 0.6 mm}\n";
  const std::string mid = "  nut_gap.3..5: {range: 0.3 .. 0.5 mm}\n";
  CHECK(Layers({base + "targets:\n" + low + mid}).codes() == "E428");
  CHECK(Layers({base + "targets:\n" + mid + low}).codes() == "E428");
  CHECK(Layers({base + "targets:\n" + low, over("targets:\n" + mid)}).codes().empty());
  const std::string same = "  nut_gap.3..5: {range: 0.4 .. 0.6 mm}\n";
  CHECK(Layers({base + "targets:\n" + low + same}).codes().empty());
  // What each calls may differ too, and must not hang on which key stands first.
  const std::string ranges = "  nut_gap: {range: 0.4 .. 0.6 mm}\n";
  const std::string files = "  nut_gap.4..6: {low: loosen}\n  nut_gap.3..5: {low: lower}\n";
  CHECK(Layers({base + "targets:\n" + ranges + files + jobs}).codes() == "E428");
  // A key for the member itself settles it.
  const std::string settled = "  nut_gap.4: {range: 0.2 .. 0.3 mm}\n  nut_gap.5: {range: 0.2 .. 0.3 mm}\n";
  const Layers both({base + "targets:\n" + low + mid + settled});
  CHECK(both.codes().empty());
  CHECK(both.range("nut_gap.4") == "0.2 mm..0.3 mm");
}

TEST_CASE("a reading that a later layer says again keeps what it does not say") {
  const Layers layers({relief_base, over("readings:\n  relief: {read_to: 0.02 mm}\n")});
  const auto& readings = layers.shop->program->readings;
  const auto relief =
      std::find_if(readings.begin(), readings.end(), [](const ReadingInfo& r) { return r.name == "relief"; });
  REQUIRE(relief != readings.end());
  CHECK(relief->read_to->value == Ratio::parse("0.02"));
  CHECK(relief->with == "feeler gauges");
  REQUIRE(relief->gap);
  CHECK(relief->gap->held.size() == 2);
}

TEST_CASE("a later layer that speaks to the bench leaves what the owner is told, and the other way round") {
  const std::string below = base + jobs +
                            "gates: {dry: {open_when: width over 1 mm, say: wait, for_owner: it has to dry}}\n"
                            "stops: {wide: {when: width over 50 mm, say: too wide, for_owner: we can not}}\n"
                            "rules: {slim: {when: width under 40 mm, say: slim, for_owner: it is slim}}\n";
  const auto told = [](const std::vector<std::string>& profiles) {
    const Layers layers(profiles);
    INFO(layers.shop->told());
    REQUIRE(layers.shop->program);
    const Program& program = *layers.shop->program;
    const Nothing nothing(program);
    const Evaluator evaluator(program, nothing);
    std::vector<std::string> texts{program.readings[program.points[layers.shop->point("width")].reading].for_owner};
    for (const auto* text : {&program.gates.front().for_owner, &program.stops.front().for_owner,
                             &program.rules.front().for_owner, &program.gates.front().say, &program.rules.front().say})
      texts.push_back(*text ? evaluator.text(**text) : "");
    return texts;
  };
  using Texts = std::vector<std::string>;
  CHECK(told({below}) == Texts{"", "it has to dry", "we can not", "it is slim", "wait", "slim"});
  CHECK(told({below, over("gates: {dry: {say: it is wet}}\nrules: {slim: {for_owner: your neck is slim}}\n"
                          "readings: {width: {for_owner: how wide it is}}\n")}) ==
        Texts{"how wide it is", "it has to dry", "we can not", "your neck is slim", "it is wet", "slim"});
}

TEST_CASE("facts and choices of a later layer replace; instrument and player replace both") {
  const auto scale = [](const Layers& layers) {
    INFO(layers.shop->told());
    REQUIRE(layers.shop->program);
    return layers.shop->program->scale_mm;
  };
  CHECK(scale(Layers({relief_base})) == Approx(648));
  CHECK(scale(Layers({relief_base, over("facts: {scale: 630 mm}\n")})) == Approx(630));
  const std::string visit =
      "visit: v1\nprofile: stick\ninstrument: {id: N-1, scale: 640 mm}\nlog: [{date: 2026-03-01, note: in}]\n";
  CHECK(scale(Layers({relief_base, over("facts: {scale: 630 mm}\n")}, visit)) == Approx(640));
}
