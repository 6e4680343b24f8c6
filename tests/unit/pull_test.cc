// How hard strings pull, from gauges and pitches alone.
#include "engine/judge/pull.h"

#include <catch2/catch.hpp>
#include <string>

#include "tests/support/shop.h"

using namespace stringline;

namespace {

std::unique_ptr<Shop> strung(const std::string& facts, const std::string& instrument) {
  return open_shop(
      {"profile: box\nchoices: {string_material: [steel, nylon]}\nfacts: {" + facts +
       "}\nreadings:\n  width: {is: length, of: a board, with: rule}\n"},
      "visit: v1\nprofile: box\ninstrument: {id: B-1, " + instrument + "}\nlog: [{date: 2026-03-01, note: in}]\n",
      "house: nook\norder: [rod]\n");
}

Pull pull(const std::string& facts, const std::string& instrument) {
  const auto shop = strung(facts, instrument);
  INFO(shop->told());
  REQUIRE(shop->program);
  return pull_of(*shop->program);
}

const std::string guitar = "scale: 25.4 in, frets: 20, body_joint: 14, tuning: [E4, B3, G3, D3, A2, E2]";

}  // namespace

// [READ] OpenStax University Physics vol. 1, example 16.5: mu 3.09e-4 kg/m, T 56.40 N, v 427.23 m/s. A steel wire of that mass is
// 0.2239 mm thick; at 640 mm it has v/(2 L) = 333.8 Hz, 1 % above E4. So E4 on 8.8 thousandths at 25.4 in pulls close to it.
TEST_CASE("a plain string pulls what the textbook's string does") {
  const Pull one = pull("scale: 640 mm, frets: 20, body_joint: 14, tuning: [E4]", "strings: [8.815p]");
  REQUIRE(one.all);
  CHECK(*one.all == Approx(56.40).epsilon(0.03));
  CHECK(one.assumed.empty());
}

// [READ] J. Wildwood, notes on string tension: a light set of 12 to 54 pulls 165 lb at 25.4 in, 147 lb at 24 in. Sets differ, and
// bronze weighs more than the default here, so the sum is held to an eighth and the ratio of the scales to a hundredth.
TEST_CASE("a light set pulls about as much as was published, and a shorter scale less by its square") {
  const std::string set = "strings: [12p, 16p, 24w, 32w, 42w, 54w]";
  const Pull longer = pull(guitar, set);
  REQUIRE(longer.all);
  CHECK(*longer.all / 4.4482216152605 == Approx(165).epsilon(0.125));
  CHECK(longer.assumed == "a wound string weighs 0.82 of solid steel as thick");
  const Pull shorter = pull("scale: 24 in, frets: 20, body_joint: 14, tuning: [E4, B3, G3, D3, A2, E2]", set);
  REQUIRE(shorter.all);
  CHECK(*shorter.all / *longer.all == Approx(147.0 / 165.0).epsilon(0.01));
}

TEST_CASE("what is not known of one string is not known of the sum, and a nylon string's pull is never told") {
  CHECK_FALSE(pull(guitar, "label: bare").all);
  const Pull nylon = pull(guitar + ", string_material: nylon", "strings: [28p, 32p, 40p, 29w, 35w, 43w]");
  CHECK_FALSE(nylon.all);
  CHECK(nylon.strings.front().what == "28p at E4");
  CHECK_FALSE(nylon.strings.front().newton);
}
