#include "engine/syntax/read_visit.h"

#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "tests/support/read_case.h"

using namespace stringline;
using stringline::test::ReadCase;
using Words = std::vector<std::string>;

namespace {

VisitTree visit_of(const std::string& text) {
  const ReadCase file("visit: v\nprofile: p\n" + text);
  CAPTURE(text, file.said());
  REQUIRE(file.visit);
  return *file.visit;
}

// Checks that the codes, and no others, are reported at the marks.
void check_mistakes(const std::string& text, const std::string& codes) {
  const ReadCase file("visit: v\nprofile: p\n" + text);
  CAPTURE(text, file.said());
  CHECK(file.mistakes() == file.expected(codes));
}

std::string key_text(const KeyPath& path) {
  std::string text = path.name.text;
  for (const Word& member : path.members) text += "/" + member.text;
  return text;
}

std::vector<ReadTree> readings_of(const std::string& map) {
  return visit_of("log:\n  - read: " + map + "\n").log.at(0).read;
}

const std::vector<ExprPtr>& values_of(const ReadTree& reading) { return std::get<std::vector<ExprPtr>>(reading.value); }

}  // namespace

TEST_CASE("who and what is on the bench") {
  const VisitTree visit = visit_of(R"(owner: {name: M. Example, phone: 555-0100, email: m@example.org}
instrument: {id: SL-0412, label: "teal double-cut, owner-built", strings: [11p, 14p, 42w+20w], slots: set_10_46, scale: 25 in}
player: {style: chordal, touch: heavy, says: the low A shape never rings true, chords: [x02220, x-x-12-11-10-x]}
due: 2026-08-21
rush: next_day
package: none
)");
  CHECK(visit.id.text == "v");
  CHECK(visit.profile->text == "p");
  CHECK(visit.owner->text == "M. Example");
  CHECK(visit.owner_phone->text == "555-0100");
  CHECK(visit.owner_email->text == "m@example.org");
  CHECK(visit.instrument.id->text == "SL-0412");
  REQUIRE(visit.instrument.strings->courses.size() == 3);
  CHECK(visit.instrument.strings->courses[2].strings.size() == 2);
  CHECK(visit.instrument.slots->set->text == "set_10_46");
  REQUIRE(visit.instrument.facts.size() == 1);
  CHECK(visit.instrument.facts[0].name.text == "scale");
  CHECK(visit.player.facts.size() == 2);
  CHECK(visit.player.says->text == "the low A shape never rings true");
  CHECK(visit.player.chords.size() == 2);
  CHECK(to_text(*visit.due) == "2026-08-21");
  CHECK(visit.rush->text == "next_day");
  CHECK(visit.package->text == "none");
}

TEST_CASE("an owner may be a name alone, strings a set or one gauge") {
  CHECK(visit_of("owner: M. Example\n").owner->text == "M. Example");
  CHECK(visit_of("instrument: {strings: set_12_53}\n").instrument.strings->set->text == "set_12_53");
  CHECK(visit_of("instrument: {strings: 16p}\n").instrument.strings->courses.size() == 1);
}

TEST_CASE("a visit needs its profile") {
  const ReadCase file("^visit: v\nlog: []\n");
  CHECK(file.mistakes() == file.expected("E303"));
  CHECK(file.said() == "a visit needs the key 'profile' | 'profile:' takes one name: the instrument's family");
}

TEST_CASE("members are dotted, nested or both") {
  const auto readings = readings_of(
      "{relief: 14 thou, action.bass: 5/64 in, nut_gap: {2: 8 thou, 1..4: 9 thou, 4a: 7 thou}, pickup_gap: {neck.bass: "
      "2 mm,"
      " bridge: {treble: 2 mm}}, octave_error: {E2: 3 cents}, groove: {all: 0 mm}}");
  std::vector<std::string> keys;
  for (const ReadTree& reading : readings) keys.push_back(key_text(reading.reading));
  CHECK(keys == Words{"relief", "action/bass", "nut_gap/2", "nut_gap/1..4", "nut_gap/4a", "pickup_gap/neck/bass",
                      "pickup_gap/bridge/treble", "octave_error/E2", "groove/all"});
}

TEST_CASE("a member stands at its own place in the file") {
  const ReadCase file("visit: v\nprofile: p\nlog:\n  - read: {nut_gap.1..4: 9 thou}\n");
  REQUIRE(file.visit);
  const KeyPath& path = file.visit->log.at(0).read.at(0).reading;
  CHECK(file.under(path.name.span) == "nut_gap");
  CHECK(file.under(path.members.at(0).span) == "1..4");
  CHECK(file.under(path.span) == "nut_gap.1..4");
}

TEST_CASE("what is no member is refused") {
  const auto* key = GENERATE("nut_gap.", "nut_gap.0", "nut_gap.4..1", "nut_gap..2", "nut_gap.1..", "nut_gap.4ab",
                             "nut_gap.Bass", "nut_gap.H2");
  CAPTURE(key);
  const auto mistakes =
      ReadCase("visit: v\nprofile: p\nlog:\n  - read: {" + std::string(key) + ": 9 thou}\n").mistakes();
  REQUIRE(mistakes.size() == 1);
  CHECK(mistakes[0].substr(mistakes[0].size() - 4) == "E315");
}

TEST_CASE("a reading is a value, a bound, a word or several values") {
  const auto readings = readings_of(
      "{a: 8 thou, b: at least 1.2 mm, c: at most 5 thou, d: 1 .. 2 mm, e: contact, f: not_measurable, g: unknown,"
      " h: sound, i: true, j: E4, k: -3 cents, l: [8 thou, 9 thou], tuned_to: [E4, B3, G3]}");
  REQUIRE(readings.size() == 13);
  CHECK(values_of(readings[0]).size() == 1);
  CHECK(std::get<RangeExpr>(readings[1].value).hi == nullptr);
  CHECK(std::get<RangeExpr>(readings[2].value).lo == nullptr);
  CHECK(std::get<RangeExpr>(readings[3].value).lo != nullptr);
  CHECK(std::holds_alternative<ReadTree::Contact>(readings[4].value));
  CHECK(std::holds_alternative<ReadTree::NotMeasurable>(readings[5].value));
  CHECK(std::holds_alternative<ReadTree::Unknown>(readings[6].value));
  CHECK(std::get<Name>(values_of(readings[7]).at(0)->node).name == "sound");
  CHECK(std::get<TruthLiteral>(values_of(readings[8]).at(0)->node).value);
  CHECK(std::holds_alternative<PitchLiteral>(values_of(readings[9]).at(0)->node));
  CHECK(values_of(readings[10]).size() == 1);
  CHECK(values_of(readings[11]).size() == 2);
  CHECK(values_of(readings[12]).size() == 3);
}

TEST_CASE("a reading is never a calculation") {
  const ReadCase file("visit: v\nprofile: p\nlog: [{read: {relief: ^8 thou + 1 thou}}]\n");
  CHECK(file.mistakes() == file.expected("E322"));
  check_mistakes("log: [{read: {a: ^b.c}}]\n", "E322");
  check_mistakes("log: [{read: {a: [8 thou, ^max(b)]}}]\n", "E322");
  check_mistakes("log: [{read: {a: [8 thou, ^unknown, ^1 .. 2 mm]}}]\n", "E321 E321");
}

TEST_CASE("a method stands beside a value or for all of them") {
  const auto readings = readings_of("{action: {bass: {is: 1.6 mm, as: {at: 17, held: [1]}}, treble: {is: contact}}}");
  REQUIRE(readings.size() == 2);
  CHECK(key_text(readings[0].reading) == "action/bass");
  CHECK(readings[0].as->at.text == "17");
  CHECK(readings[0].as->held->size() == 1);
  CHECK_FALSE(readings[1].as);
  CHECK(std::holds_alternative<ReadTree::Contact>(readings[1].value));
  const VisitTree visit =
      visit_of("methods: {action: {at: 17, held: 1}, nut_gap: {wound: {at: 1}}, relief.bass: {at: 7}}\n");
  REQUIRE(visit.methods.size() == 3);
  CHECK(key_text(visit.methods[1].reading) == "nut_gap/wound");
  CHECK(visit.methods[0].gap.held->size() == 1);

  const ReadCase file("visit: v\nprofile: p\nlog: [{read: {action: {is: 1.6 mm, ^at: 17}}}]\n");
  CHECK(file.mistakes() == file.expected("E301"));
  check_mistakes("log: [{read: {^action: {as: {at: 17}}}}]\n", "E303");
}

TEST_CASE("wants are aims, ranges or leave") {
  const VisitTree visit = visit_of(
      "wants: {relief: leave, action: {bass: 1.7 mm, treble: 1.2 .. 1.6 mm}, nut_gap.wound: at most 9 thou}\n");
  REQUIRE(visit.wants.size() == 4);
  CHECK(std::holds_alternative<WantTree::Leave>(visit.wants[0].value));
  CHECK(key_text(visit.wants[1].reading) == "action/bass");
  CHECK(std::holds_alternative<ExprPtr>(visit.wants[1].value));
  CHECK(std::holds_alternative<RangeExpr>(visit.wants[2].value));
  CHECK(std::holds_alternative<RangeExpr>(visit.wants[3].value));
}

TEST_CASE("the log keeps its entries in order") {
  const VisitTree visit = visit_of(R"(log:
  - date: 2026-08-03
    by: L. Bench
    fitted: set_12_53
    read: {relief: 14 thou}
  - did: {job: tighten_rod, amount: 1/4 turns}
  - did: [retune, {job: tighten_rod, amount: 1/8 turns}]
  - did: retune
    retuned: true
  - date: 2026-08-04
    agreed: {jobs: [fret_lcp, end_dress], up_to: 273.00, by: M. Example, how: by telephone}
  - declined: {job: refret}
  - asked: [refret, new_nut]
  - waiting: {for: a saddle blank, until: 2026-08-21}
  - strike: {entry: 2, reason: wrong side}
  - note: a cold morning
    photo: bench/0412.jpg
  - closed: picked up
)");
  REQUIRE(visit.log.size() == 11);
  CHECK(to_text(*visit.log[0].date) == "2026-08-03");
  CHECK(visit.log[0].by->text == "L. Bench");
  CHECK(visit.log[0].fitted->text == "set_12_53");
  CHECK_FALSE(visit.log[1].date);
  CHECK(visit.log[1].did.at(0).amount->written == "1/4 turns");
  REQUIRE(visit.log[2].did.size() == 2);
  CHECK_FALSE(visit.log[2].did[0].amount);
  CHECK(visit.log[2].did[1].job.text == "tighten_rod");
  CHECK(visit.log[3].retuned);
  CHECK(visit.log[4].agreed->jobs.size() == 2);
  CHECK(visit.log[4].agreed->up_to->quantity.value == Ratio(273));
  CHECK(visit.log[4].agreed->how->text == "by telephone");
  CHECK(visit.log[5].declined->jobs.at(0).text == "refret");
  CHECK(visit.log[6].asked->jobs.size() == 2);
  CHECK(visit.log[7].waiting->what.text == "a saddle blank");
  CHECK(to_text(*visit.log[7].waiting->until) == "2026-08-21");
  CHECK(visit.log[8].strike->entry == 2);
  CHECK(visit.log[8].strike->reason.text == "wrong side");
  CHECK(visit.log[9].photo->text == "bench/0412.jpg");
  CHECK(visit.log[10].closed);
  CHECK(visit.log[10].ending->text == "picked up");
}

TEST_CASE("a visit is closed by true or by words") {
  CHECK(visit_of("log: [{closed: true}]\n").log[0].closed);
  CHECK_FALSE(visit_of("log: [{closed: true}]\n").log[0].ending);
  check_mistakes("log: [{closed: ^false, note: not yet}]\n", "E321");
}

TEST_CASE("dates never go back, over entries without one too") {
  const ReadCase file(R"(visit: v
profile: p
log:
  - {date: 2026-08-03, note: a}
  - {note: b}
  - {date: ^2026-08-02, note: c}
  - {date: 2026-08-03, note: d}
)");
  CHECK(file.mistakes() == file.expected("E310"));
  const auto list = file.diagnostics.sorted();
  REQUIRE(list.at(0).related.size() == 1);
  CHECK(file.under(list[0].related[0].span) == "2026-08-03");
  CHECK(list[0].message == "'2026-08-02' is before the entry above it, '2026-08-03'");
}

TEST_CASE("an entry says something") {
  check_mistakes("log: [^{date: 2026-08-03, by: L. Bench}]\n", "E316");
  check_mistakes("log: [^{}]\n", "E316");
  check_mistakes("log: [{^raed: {relief: 9 thou}}]\n", "E301");
  check_mistakes("log: [^slackened]\n", "E302");
  check_mistakes("log: ^{read: {relief: 9 thou}}\n", "E302");
}

TEST_CASE("a consent names its jobs once") {
  check_mistakes("log: [{agreed: ^{up_to: 273.00}}]\n", "E303");
  check_mistakes("log: [{agreed: {jobs: [a, b], job: ^a}}]\n", "E317");
  check_mistakes("log: [{agreed: {jobs: [a, b], job: ^c}}]\n", "E321");
  check_mistakes("log: [{strike: {entry: ^0, reason: slip}}]\n", "E320");
  check_mistakes("log: [{strike: {entry: ^1.5, reason: slip}}]\n", "E321");
}

TEST_CASE("all mistakes of a visit come out in one run") {
  const ReadCase file(R"(^visit: ^a b
^profil: p
owner: ^{phone: 5}
instrument: {id: ^"SL 4", strings: [^11, ^12q], ^over: 3}
due: ^soon
wants: {relief: ^[a]}
log:
  - {date: ^2026-13-01, did: ^{amount: 3}, read: {relief: {^by style: 3}}}
)");
  CHECK(file.mistakes() == file.expected("E303 E319 E301 E303 E319 E311 E311 E305 E309 E302 E309 E303 E318"));
}

TEST_CASE("an amount is agreed for one job") {
  const VisitTree visit =
      visit_of("log: [{date: 2026-08-03, agreed: {job: level, amount: 150.00, how: by telephone}}]\n");
  CHECK(visit.log.at(0).agreed->amount->quantity.value == Ratio(150));
  check_mistakes("log: [{agreed: {jobs: [a, b], amount: ^150.00}}]\n", "E321");
}
