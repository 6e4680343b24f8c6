// What the owner is told that nobody looked at.
#include "engine/estimate/assumed.h"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/judge/judge.h"
#include "tests/support/shop.h"

using namespace stringline;

namespace {

const std::string stick = R"(profile: stick
facts: {scale: 648 mm, frets: 22, body_joint: 16, tuning: [E4, B3, G3, D3, A2, E2], glued: true}
readings:
  heel: {is: [sound, cracked], assume: sound, for_owner: the heel of the neck}
  bridge: {is: [tight, lifts], assume: tight, for_owner: the glue under the bridge}
  polish: {is: [bright, dull], assume: bright, for_owner: the polish}
  dust: {is: [none, much], assume: none, for_owner: the dust}
  tuners: {is: [hold, slip], assume: hold, for_owner: the tuners}
  papers: {is: [clear, missing], assume: clear}
stops:
  crack: {when: heel is cracked}
  lifting: {when: glued and bridge is lifts}
  whose: {when: papers is missing}
rules:
  dull: {when: polish is dull, offer: buff}
  dusty: {when: dust is much, do: wipe}
  slips: {when: tuners is slip, do: regear}
jobs:
  buff: {label: buff, sets: {polish: bright}}
  wipe: {label: wipe, sets: {dust: none}, needs_yes: false}
  regear: {label: new tuners, sets: {tuners: hold}, needs_yes: true}
)";

std::vector<std::string> assumed(const std::string& read, const std::string& says, const std::string& facts = "") {
  const auto shop =
      open_shop({stick + facts}, "visit: v\nprofile: stick\nlog: [{date: 2026-08-03, note: came in" + read + "}]\n");
  INFO(shop->told());
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  return assumed_in_order(*shop->program, judgement, make_plan(*shop->program, judgement), says);
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("only what would stop the work or ask for a yes is named, in the owner's words") {
  // Dust is wiped without asking, a polish is only offered, and papers have no name for an owner.
  CHECK(assumed("", "") == Names{"the glue under the bridge", "the heel of the neck", "the tuners"});
}

TEST_CASE("what was read is not taken to be in order") {
  CHECK(assumed(", read: {heel: sound, tuners: hold}", "") == Names{"the glue under the bridge"});
}

TEST_CASE("what the player complains about is not named, whatever the form of the word") {
  CHECK(assumed("", "it slips out of tune") == Names{"the glue under the bridge", "the heel of the neck"});
  CHECK(assumed("", "Is the bridge lifting?") == Names{"the heel of the neck", "the tuners"});
}

TEST_CASE("what the work changes is not named") {
  CHECK(assumed(", did: regear", "") == Names{"the glue under the bridge", "the heel of the neck"});
}
