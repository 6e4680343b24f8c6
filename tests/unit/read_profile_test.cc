#include "engine/syntax/read_profile.h"

#include <algorithm>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "engine/syntax/keys.h"
#include "engine/syntax/read_word.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/read_case.h"

using namespace stringline;
using stringline::test::ReadCase;
using Words = std::vector<std::string>;

namespace {

ProfileTree profile_of(const std::string& text) {
  const ReadCase file("profile: p\n" + text);
  CAPTURE(text, file.said());
  REQUIRE(file.profile);
  return *file.profile;
}

// Checks that the codes, and no others, are reported at the marks.
void check_mistakes(const std::string& text, const std::string& codes) {
  const ReadCase file("profile: p\n" + text);
  CAPTURE(text, file.said());
  CHECK(file.mistakes() == file.expected(codes));
}

std::string key_text(const KeyPath& path) {
  std::string text = path.name.text;
  for (const Word& member : path.members) text += "/" + member.text;
  return text;
}

// A map with every key its context knows, but for one that another rules out, and a file to put it in at the `@`.
struct FullMap {
  KeyContext context;
  const char* file;
  const char* map;
  const char* ruled_out = nullptr;  // tests/unit/read_house_test.cc and read_visit_test.cc read it
};

const std::vector<FullMap>& full_maps() {
  static const std::vector<FullMap> table{
      {KeyContext::house, "@",
       "{house: h, label: l, address: a, phone: p, email: e, currency: USD, show: {length: mm}, decide: clear, order: "
       "[rod], bench: {step: 15 min},"
       " packages: {s: {covers: rod, price: 1}}, prices: {a: 1}, parts: {b: {price: 1}}, deposit: 10 %,"
       " ask_again: over 10 %, rush: {soon: 5 %}, tax: 0 %, rounding: half_up, markup: 20 %,"
       " storage: {free: 7 d, per_day: 3.00}, estimate: {valid_for: 30 d}, handover: {care: a}}"},
      {KeyContext::show, "house: h\nshow: @", "{length: in, date: day_month}"},
      {KeyContext::bench, "house: h\nbench: @", "{rate: 90 per h, step: 15 min, minimum: 30}"},
      {KeyContext::package, "house: h\npackages: {s: @}",
       "{label: l, covers: [a], except: [b], price: 85.00, for_owner: it plays}"},
      {KeyContext::price, "house: h\nprices: {s: @}",
       "{each: 8.00, at_most: 30.00, includes: setup, label: l, credited: true}", "price"},
      {KeyContext::part, "house: h\nparts: {s: @}", "{label: l, price: 8.00, strings: [9p]}", "cost"},
      {KeyContext::tax, "house: h\ntax: @",
       "{rate: 20 %, work: 20 %, parts: 5 %, fees: 0 %, included: true, per_line: false}"},
      {KeyContext::storage, "house: h\nstorage: @", "{free: 7 d, per_day: 3.00}"},
      {KeyContext::estimate, "house: h\nestimate: @", "{kind: quote, valid_for: 30 d, warranty: 45 d, says: [a, b]}"},
      {KeyContext::handover, "house: h\nhandover: @", "{come_back: 180 d, care: [a, b]}"},
      {KeyContext::profile, "@",
       "{profile: p, based_on: q, label: l, facts: {frets: 22}, choices: {style: [a]}, readings: {r: {is: length}},"
       " targets: {r: {range: 1 .. 2 mm}}, gates: {g: {open_when: a}}, stops: {s: {when: a}}, rules: {u: {when: a}},"
       " jobs: {j: {minutes: 1}}}"},
      {KeyContext::reading, "profile: p\nreadings: {r: @}",
       "{per: string, gap: {at: 12}, of: the gap, with: feeler gauges, read_to: 1 thou, repeat: 1 thou,"
       " plausible: 0 .. 1.5 mm, good_for: 1 d, follows: saddle_height, assume: 0 mm,"
       " for_owner: the gap}",
       "is"},
      {KeyContext::gap, "profile: p\nreadings: {r: {gap: @}}", "{at: 12, held: [1, last]}"},
      {KeyContext::target, "profile: p\ntargets: {r: @}",
       "{phase: rod, when: not zero_fret, range: 1 .. 2 mm, gap: {at: 12}, low: a, high: b, floor: 1 mm}"},
      {KeyContext::gate, "profile: p\ngates: {g: @}",
       "{open_when: a, do: b, voids: gaps, holds: visit, charge: c, say: wait, for_owner: we wait}"},
      {KeyContext::stop, "profile: p\nstops: {s: @}",
       "{when: a, do: b, offer: c, charge: d, refer: a specialist, say: no,"
       " for_owner: we can not}"},
      {KeyContext::rule, "profile: p\nrules: {r: @}",
       "{for: fret, when: a, do: b, offer: c, because: proud, say: it chokes, for_owner: it buzzes, choose: [low, "
       "clean]}"},
      {KeyContext::job, "profile: p\njobs: {j: @}",
       "{label: l, phase: rod, routine: true, moves: neck_bend, by: 1 mm, sets: relief, disturbs: gaps,"
       " tell: {turns: travel}, work_to: 1/8 turns, removes: false, uses: strings, minutes: 10, wait: 24 h, steps: [a],"
       " cautions: [b], needs_yes: true, if_left: it stays, for_owner: it buzzes, aftercare: [c]}"},
      {KeyContext::minutes, "profile: p\njobs: {j: {minutes: @}}", "{low: 5, typical: 10, high: 20}"},
      {KeyContext::trials, "@", "{trials: p, order: [rod], usual: {given: {relief: 1 mm}}}"},
      {KeyContext::usual, "trials: p\nusual: @",
       "{instrument: {strings: set_a}, player: {touch: light}, given: {relief: 1 mm}}"},
      {KeyContext::trial, "trials: p\nt: @",
       "{about: a, instrument: {id: x}, player: {touch: heavy}, package: none, methods: {relief: {at: 7}},"
       " wants: {relief: leave}, last: {humidity: 40 %RH}, given: {relief: 1 mm}, log: [{did: a}],"
       " verdicts: {relief: high}, limits: {relief: 1 .. 2 mm}, work: [a, b], offers: none, amounts: {a.bass: 1 mm "
       "up}, rules: r, holds: g, stops: "
       "s,"
       " says: [it buzzes]}"},
      {KeyContext::visit, "@",
       "{visit: v, profile: p, owner: M. Example, due: 2026-08-21, rush: soon, package: none,"
       " methods: {relief: {at: 7}}, instrument: {id: x}, player: {touch: heavy}, wants: {relief: leave}, log: []}"},
      {KeyContext::owner, "visit: v\nprofile: p\nowner: @",
       "{name: M. Example, phone: 555-0100, email: m@example.org}"},
      {KeyContext::instrument, "visit: v\nprofile: p\ninstrument: @",
       "{id: SL-0412, label: a tenor, strings: set_a, slots: [9p]}"},
      {KeyContext::player, "visit: v\nprofile: p\nplayer: @", "{says: it buzzes, chords: [x02220]}"},
      {KeyContext::entry, "visit: v\nprofile: p\nlog: [@]",
       "{date: 2026-08-03, by: L. Bench, note: cold, photo: a.jpg, read: {relief: 9 thou}, did: retune, fitted: set_a,"
       " retuned: true, agreed: a, declined: b, asked: c, waiting: {for: parts}, strike: {entry: 1, reason: slip},"
       " closed: true}"},
      {KeyContext::taken, "visit: v\nprofile: p\nlog: [{read: {action: @}}]", "{is: 1.6 mm, as: {at: 17}}"},
      {KeyContext::did, "visit: v\nprofile: p\nlog: [{did: @}]", "{job: tighten_rod, amount: 1/4 turns}"},
      {KeyContext::consent, "visit: v\nprofile: p\nlog: [{agreed: @}]",
       "{job: b, up_to: 273.00, amount: 5.00, by: M. Example, how: by telephone}", "jobs"},
      {KeyContext::waiting, "visit: v\nprofile: p\nlog: [{waiting: @}]", "{for: a saddle, until: 2026-08-21}"},
      {KeyContext::strike, "visit: v\nprofile: p\nlog: [{strike: @}]", "{entry: 2, reason: wrong side}"},
  };
  return table;
}

std::vector<std::string> keys_written(const std::string& map) {
  Sources sources;
  Diagnostics out;
  const auto node = read_yaml(sources.add("map.yaml", map + "\n"), sources, out);
  REQUIRE(node);
  std::vector<std::string> keys;
  for (const MapEntry& entry : node->entries) keys.push_back(entry.key.text);
  return keys;
}

}  // namespace

TEST_CASE("every key of every map is read") {
  std::vector<KeyContext> shown;
  for (const FullMap& full : full_maps()) {
    CAPTURE(full.map);
    auto keys = keys_written(full.map);
    if (full.ruled_out != nullptr) keys.emplace_back(full.ruled_out);
    CHECK_THAT(keys, Catch::Matchers::UnorderedEquals(keys_of(full.context)));
    std::string text = full.file;
    text.replace(text.find('@'), 1, full.map);
    const ReadCase file(text + "\n");
    CHECK(file.said().empty());
    shown.push_back(full.context);
  }
  for (const KeyInfo& each : all_keys()) {
    CAPTURE(each.key);
    CHECK(std::count(shown.begin(), shown.end(), each.context) == 1);
  }
}

TEST_CASE("an absent key is absent in the tree") {
  const ProfileTree profile = profile_of("targets: {relief: {}}\njobs: {retune: {}}\n");
  const TargetTree& target = profile.targets.at(0);
  CHECK_FALSE(target.phase);
  CHECK_FALSE(target.range);
  CHECK(target.when == nullptr);
  const JobTree& job = profile.jobs.at(0);
  CHECK_FALSE(job.routine);
  CHECK_FALSE(job.needs_yes);
  CHECK_FALSE(job.sets);
}

TEST_CASE("a reading states its method") {
  const ProfileTree profile = profile_of(R"(readings:
  relief: {gap: {at: mid, held: [1, last]}, read_to: 1 thou, plausible: 0 .. 1.5 mm}
  pickup_gap: {per: [pickup, side], gap: {at: pickup, held: last}}
  structure: {is: [sound, hairline, none], assume: sound}
  fret_left: {per: fret, is: crown - groove}
  tuned_to: {is: tuning}
)");
  REQUIRE(profile.readings.size() == 5);
  const ReadingTree& relief = profile.readings[0];
  CHECK(relief.gap->at.text == "mid");
  REQUIRE(relief.gap->held->size() == 2);
  CHECK(relief.gap->held->at(1).text == "last");
  CHECK(relief.read_to->written == "1 thou");
  CHECK(profile.readings[1].per->size() == 2);
  CHECK(profile.readings[1].gap->held->size() == 1);
  CHECK(std::get<StatesTree>(*profile.readings[2].is).states.size() == 3);
  CHECK(std::holds_alternative<ExprPtr>(*profile.readings[3].is));
  CHECK(std::get<Word>(*profile.readings[4].is).text == "tuning");
}

TEST_CASE("a target's member stands after a dot or inside") {
  const ProfileTree profile = profile_of(R"(targets:
  action: {phase: bridge_height}
  action.bass: {range: 1.4 .. 1.9 mm aim 1.6}
  pickup_gap:
    phase: pickup_fine
    neck: {bass: {range: 1.6 .. 3.2 mm}, treble: {range: 1.6 .. 2.8 mm}}
  nut_gap:
    wound: {range: 0.38 .. 0.55 mm}
    1..4: {range: at most 0.4 mm}
)");
  std::vector<std::string> keys;
  for (const TargetTree& target : profile.targets) keys.push_back(key_text(target.key));
  CHECK_THAT(keys, Catch::Matchers::UnorderedEquals(Words{"action", "action/bass", "pickup_gap", "pickup_gap/neck/bass",
                                                          "pickup_gap/neck/treble", "nut_gap/wound", "nut_gap/1..4"}));
}

TEST_CASE("a slip in a target's key is no member") {
  const ReadCase file("profile: p\ntargets:\n  relief: {^rnage: {by style: {a: 1 .. 2 mm}}}\n");
  CHECK(file.mistakes() == file.expected("E301"));
  CHECK(file.said() == "unknown key 'rnage' of a target; did you mean 'range'?");
}

TEST_CASE("a target written dotted and nested is written twice") {
  check_mistakes("targets:\n  action.bass: {phase: rod}\n  action: {^bass: {phase: rod}}\n", "E317");
}

TEST_CASE("tables nest, and stand for ranges, jobs and amounts") {
  const ProfileTree profile = profile_of(R"(facts:
  bend_floor:
    by radius: {otherwise: 1.6 mm, from 12 in: 1.2 mm}
targets:
  relief:
    range:
      by style:
        tapping: 3 .. 6 thou
        otherwise:
          by radius: {up to 9.5 in: 6 .. 9 thou, over 9.5 in: 5 .. 8 thou}
    low: {by style: {tapping: none, otherwise: loosen_rod}}
gates:
  at_pitch: {do: [photo_record, {by strung: {bare: restring, otherwise: retune}}]}
  climate: {do: {by strung: {bare: restring, otherwise: retune}}}
)");
  const auto& range = std::get<std::shared_ptr<const TableOf<RangeExpr>>>(profile.targets[0].range->node);
  REQUIRE(range->rows.size() == 2);
  CHECK(std::holds_alternative<RangeExpr>(range->rows[0].value.node));
  const auto& inner = std::get<std::shared_ptr<const TableOf<RangeExpr>>>(range->rows[1].value.node);
  CHECK(inner->rows[0].key.kind == RowKey::Kind::band);
  const auto& low = std::get<std::shared_ptr<const TableOf<Word>>>(profile.targets[0].low->node);
  CHECK(std::get<Word>(low->rows[0].value.node).text == "none");
  REQUIRE(profile.gates[0].jobs->size() == 2);
  CHECK(std::get<Word>(profile.gates[0].jobs->at(0).node).text == "photo_record");
  CHECK(profile.gates[1].jobs->size() == 1);
  CHECK(std::holds_alternative<ExprChoice>(profile.facts[0].value));
}

TEST_CASE("a table stands alone and has rows") {
  check_mistakes("facts:\n  a: {by style: {b: 1}, ^c: 2}\n", "E318");
  check_mistakes("facts:\n  a: {by style: ^{}}\n", "E318");
  check_mistakes("facts:\n  a: {by style: ^3}\n", "E318");
  check_mistakes("targets:\n  relief: {range: ^{tapping: 1 .. 2 mm}}\n", "E302");
}

TEST_CASE("facts are values, tables, lists and maps") {
  const ProfileTree profile =
      profile_of("facts: {scale: 648 mm, tuning: [E4, B3], starts: {5: 5}, zero_fret: false}\n");
  REQUIRE(profile.facts.size() == 4);
  CHECK(std::holds_alternative<ExprChoice>(profile.facts[0].value));
  CHECK(std::get<std::vector<ExprPtr>>(profile.facts[1].value).size() == 2);
  const auto& starts = std::get<std::vector<FactTree::MapItem>>(profile.facts[2].value);
  CHECK(starts.at(0).key.text == "5");
}

TEST_CASE("none takes away what an earlier file said") {
  const ProfileTree profile = profile_of(
      "readings: {a: none}\ntargets: {action.bass: none}\ngates: {b: none}\nstops: {c: none}\nrules: {d: none}\n"
      "jobs: {e: none}\n");
  CHECK(profile.readings.at(0).removed);
  CHECK(profile.targets.at(0).removed);
  CHECK(key_text(profile.targets.at(0).key) == "action/bass");
  CHECK(profile.gates.at(0).removed);
  CHECK(profile.stops.at(0).removed);
  CHECK(profile.rules.at(0).removed);
  CHECK(profile.jobs.at(0).removed);
}

TEST_CASE("a job sets readings to their aim or leaves them at a value") {
  const ProfileTree profile = profile_of(
      "jobs:\n  a: {sets: action}\n  b: {sets: [relief, nut_gap.wound]}\n"
      "  c: {sets: {strung: slack, groove: 0 mm, nut_gap: {wound: aim}}}\n");
  CHECK(profile.jobs[0].sets->at(0).value == nullptr);
  CHECK(key_text(profile.jobs[1].sets->at(1).reading) == "nut_gap/wound");
  const auto& sets = *profile.jobs[2].sets;
  REQUIRE(sets.size() == 3);
  CHECK(sets[0].value != nullptr);
  CHECK(key_text(sets[2].reading) == "nut_gap/wound");
  CHECK(sets[2].value == nullptr);
}

TEST_CASE("a job's times are one number or several") {
  const ProfileTree profile = profile_of(
      "jobs:\n  a: {minutes: 10, wait: 24 h}\n  b: {minutes: {low: 5, typical: 10, high: 20}, wait: 7 .. 21 d}\n");
  CHECK(profile.jobs[0].minutes->low.quantity.value == Ratio(10));
  CHECK(profile.jobs[0].minutes->high.quantity.value == Ratio(10));
  CHECK(profile.jobs[0].wait->low.quantity == profile.jobs[0].wait->high.quantity);
  CHECK(profile.jobs[1].minutes->typical.quantity.value == Ratio(10));
  CHECK(profile.jobs[1].wait->low.quantity.value == Ratio(7 * 86400));
  CHECK(profile.jobs[1].wait->high.quantity.value == Ratio(21 * 86400));

  check_mistakes("jobs:\n  a: {minutes: ^10 min}\n", "E314");
  check_mistakes("jobs:\n  a: {minutes: ^{low: 5, typical: 10}}\n", "E303");
  check_mistakes("jobs:\n  a: {minutes: ^{low: 15, typical: 10, high: 20}}\n", "E320");
  check_mistakes("jobs:\n  a: {wait: ^at most 3 d}\n", "E321");
  check_mistakes("jobs:\n  a: {wait: ^24}\n", "E314");
}

TEST_CASE("truths are exactly true or false") {
  const ReadCase file("profile: p\njobs: {j: {routine: ^yes, removes: ^maybe}}\n");
  CHECK(file.mistakes() == file.expected("E307 E307"));
  CHECK(file.said() == "'yes' is neither true nor false | write 'true'\n'maybe' is neither true nor false");
}

TEST_CASE("names are snake_case, and a better one is offered") {
  CHECK(suggest_name("nut gap") == "nut_gap");
  CHECK(suggest_name("nutGap") == "nut_gap");
  CHECK(suggest_name("Nut-Gap") == "nut_gap");
  CHECK(suggest_name("NUT") == "nut");
  CHECK(suggest_name("nut.gap/2") == "nut_gap_2");
  CHECK_FALSE(suggest_name("2nd"));
  CHECK_FALSE(suggest_name("Otherwise"));
  CHECK_FALSE(suggest_name("---"));
  const ReadCase file("profile: p\njobs:\n  nut gap: {}\n");
  CHECK(file.said() ==
        "'nut gap' is no name | a name is written in lower-case letters, digits and _, a letter first: 'nut_gap'");
}

TEST_CASE("an unknown key names the nearest one, and where it is at home") {
  CHECK(ReadCase("profile: p\njobs: {j: {minuts: 3}}\n").said() ==
        "unknown key 'minuts' of a job; did you mean 'minutes'?");
  CHECK(ReadCase("profile: p\njobs: {j: {covers: rod}}\n").said() ==
        "unknown key 'covers' of a job | 'covers' is a key of a package");
}

TEST_CASE("a bad part is left out without mistakes that follow from it") {
  const ReadCase file(R"(profile: p
readings:
  ^nut gap: {per: ^strings, gap: ^{held: [1]}}
  relief: {gap: {at: ^12th, held: [1, ^x y]}, read_to: ^-1 mm, follows: ^rod}
gates:
  g: ^[a, b]
rules:
  r: {for: ^frets, do: ^{}, because: ^" "}
jobs:
  j: {sets: {nut_gap.^0: 1 mm}, tell: {turns: ^[a]}, moves: ^neck}
)");
  CHECK(file.mistakes() == file.expected("E304 E308 E303 E324 E324 E320 E308 E302 E308 E302 E316 E315 E302 E308"));
}
