// Verdicts and what the bench log does to readings. Limits are worked out here in whole numbers, apart from the engine:
// with n readings of sum S, a step d and a repeatability r, y is clearly above T when 3(S - nT)^2 > n^2 d^2 + 12 n r^2,
// which is (y - T)^2 > d^2/3 + 4 r^2/n for the mean y. All of it in micrometres.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <string>
#include <vector>

#include "engine/judge/judge.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

using Whole = long long;

struct Case {
  Whole lo = 0, hi = 0;
  bool has_lo = true, has_hi = true;
  Whole d = 0, rep = 0;
  std::vector<int> readings;
};

std::string expected(const Case& c) {
  Whole sum = 0;
  for (const int reading : c.readings) sum += reading;
  const auto n = static_cast<Whole>(c.readings.size());
  const Whole u = n * n * c.d * c.d + 12 * n * c.rep * c.rep;
  const auto distance = [&](Whole limit) { return 3 * (sum - n * limit) * (sum - n * limit); };
  if (c.has_hi && sum > n * c.hi && distance(c.hi) > u) return "high";
  if (c.has_lo && sum < n * c.lo && distance(c.lo) > u) return "low";
  const bool below = !c.has_hi || (sum <= n * c.hi && distance(c.hi) >= u);
  const bool above = !c.has_lo || (sum >= n * c.lo && distance(c.lo) >= u);
  return below && above ? "within" : "too close to call";
}

std::string mm(Whole micrometres) {
  const auto value = static_cast<long long>(micrometres);
  return fmt::format("{}{}.{:03} mm", value < 0 ? "-" : "", std::abs(value) / 1000, std::abs(value) % 1000);
}

std::string house(const std::string& decide) { return "house: nook\ndecide: " + decide + "\norder: [rod]\n"; }

// `read` is what the log says of `width`; `more` goes into the visit.
std::unique_ptr<Shop> measured(const std::string& reading, const std::string& target, const std::string& read,
                               const std::string& decide = "clear", const std::string& more = "") {
  const std::string profile = "profile: board\nreadings:\n  width: {is: length, of: a board, with: callipers" +
                              reading + "}\ntargets:\n  width: {" + target + "}\n";
  return open_shop({profile},
                   "visit: v1\nprofile: board\n" + more +
                       "instrument: {id: B-1}\nlog:\n  - {date: 2026-03-01, read: {width: " + read + "}}\n",
                   house(decide));
}

std::string verdict(const Shop& shop, const std::string& point = "width") {
  INFO(shop.told());
  REQUIRE(shop.program);
  const Judgement judgement = judge(*shop.program);
  const int at = shop.program->target_of[shop.point(point)];
  REQUIRE(at >= 0);
  return to_text(judgement.targets[static_cast<std::size_t>(at)].verdict);
}

std::string range_text(const Case& c) {
  if (!c.has_lo) return "range: at most " + mm(c.hi);
  if (!c.has_hi) return "range: at least " + mm(c.lo);
  return "range: " + mm(c.lo) + " .. " + mm(c.hi);
}

std::string reading_text(const Case& c) {
  std::string text;
  if (c.d > 0) text += ", read_to: " + mm(c.d);
  if (c.rep > 0) text += ", repeat: " + mm(c.rep);
  return text;
}

std::string read_text(const Case& c) {
  std::string text;
  for (const int reading : c.readings) text += (text.empty() ? "" : ", ") + mm(reading);
  return c.readings.size() == 1 ? text : "[" + text + "]";
}

void check(const Case& c, const std::string& decide = "clear") {
  const auto shop = measured(reading_text(c), range_text(c), read_text(c), decide);
  INFO(reading_text(c) << "; " << range_text(c) << "; read " << read_text(c) << "; decide " << decide);
  Case judged = c;
  if (decide == "plain") judged.d = judged.rep = 0;
  CHECK(verdict(*shop) == expected(judged));
}

}  // namespace

TEST_CASE("around both limits the verdict is what whole numbers say, for every step and repeatability") {
  for (const Whole d : {0, 20, 100, 300}) {
    for (const Whole rep : {0, 15, 60}) {
      if (d == 0 && rep > 0) continue;
      for (const int limit : {1000, 2000}) {
        for (const int away :
             {-250, -174, -173, -131, -58, -57, -12, -11, -1, 0, 1, 11, 12, 57, 58, 131, 173, 174, 250}) {
          check({1000, 2000, true, true, d, rep, {limit + away}});
        }
      }
    }
  }
}

TEST_CASE("several readings count as their mean, and repeat less") {
  for (const int away : {-80, -41, -40, -36, -35, -34, 0, 34, 35, 36, 40, 41, 80}) {
    check({1000, 2000, true, true, 10, 60, {2000 + away}});
    check({1000, 2000, true, true, 10, 60, {2000 + away, 2000 + away, 2000 + away}});
    check({1000, 2000, true, true, 10, 60, {1990 + away, 2000 + away, 2010 + away, 2001 + away}});
    check({1000, 2000, true, true, 10, 60, {1999 + away, 2000 + away, 2000 + away}});  // a mean without end
  }
}

TEST_CASE("one-sided ranges have one limit") {
  for (const int value : {0, 970, 988, 989, 1000, 1011, 1012, 1030, 90000}) {
    check({0, 1000, false, true, 20, 0, {value}});
    check({1000, 0, true, false, 20, 0, {value}});
  }
}

TEST_CASE("under plain the limits belong to the range and nothing is too close") {
  for (const int value : {999, 1000, 1001, 1500, 1999, 2000, 2001})
    check({1000, 2000, true, true, 300, 60, {value}}, "plain");
  CHECK(expected({1000, 2000, true, true, 0, 0, {1000}}) == "within");
  CHECK(expected({1000, 2000, true, true, 0, 0, {2001}}) == "high");
}

TEST_CASE("prove changes what is done about a verdict, not the verdict") {
  for (const int value : {900, 988, 1000, 1012, 1500, 2000, 2100})
    check({1000, 2000, true, true, 20, 0, {value}}, "prove");
}

TEST_CASE("a limit is met by the same length in any unit") {
  const auto shop = [](const std::string& read, const std::string& range) {
    return measured(", read_to: 1/64 in", "range: " + range, read, "plain");
  };
  CHECK(verdict(*shop("3.5/64 in", "0 .. 0.0546875 in")) == "within");
  CHECK(verdict(*shop("3.5/64 in", "0 .. 1.3890625 mm")) == "within");
  CHECK(verdict(*shop("3.5/64 in", "0 .. 1.3890624 mm")) == "high");
  CHECK(verdict(*shop("1.3890625 mm", "3.5/64 in .. 1 in")) == "within");
}

TEST_CASE("nothing read, unknown, not measurable and no range each have their own verdict") {
  const std::string range = "range: 1 .. 2 mm";
  CHECK(verdict(*measured(", read_to: 0.02 mm", range, "unknown")) == "not read");
  CHECK(verdict(*measured(", read_to: 0.02 mm", range, "not_measurable")) == "not read");
  CHECK(verdict(*measured(", read_to: 0.02 mm", range + ", when: 1 over 2", "1.5 mm")) == "not applicable");
  CHECK(verdict(*measured(", read_to: 0.02 mm", range + ", when: 2 over 1", "1.5 mm")) == "within");
}

TEST_CASE("a target whose table hangs on what nobody said is unknown, unless every row left agrees") {
  const std::string profile = R"(profile: board
facts: {grade: unknown}
choices: {grade: [coarse, fine]}
readings: {width: {is: length, of: a board, with: callipers, read_to: 0.02 mm}}
targets: {width: {range: {by grade: {coarse: 1 .. 2 mm, fine: 1.4 .. 1.6 mm}}}}
)";
  const std::string without = profile.substr(0, profile.find("facts:")) + profile.substr(profile.find("choices:"));
  const std::string visit =
      "visit: v1\nprofile: board\ninstrument: {id: B-1}\nlog:\n  - {date: 2026-03-01, read: {width: 1.5 mm}}\n";
  const auto shop = open_shop({without}, visit, house("clear"));
  CHECK(verdict(*shop) == "target unknown");
  std::string agreeing = without;
  agreeing.replace(agreeing.find("1.4 .. 1.6 mm"), 13, "1 mm .. 2 mm aim 1.5");
  CHECK(verdict(*open_shop({agreeing}, visit, house("clear"))) == "within");  // rows that say the same agree
  CHECK(verdict(*open_shop(
            {without},
            "visit: v1\nprofile: board\nwants: {width: 1.6 .. 1.8 mm}\n" + visit.substr(visit.find("instrument")),
            house("clear"))) == "low");  // what the player wants replaces every row
}

TEST_CASE("leave keeps the mean of the first reading, where it was read several times") {
  const auto shop = measured("", "range: 1 .. 2 mm", "[1.2 mm, 1.5 mm]", "clear", "wants: {width: leave}\n");
  REQUIRE(shop->program);
  const Judgement judgement = judge(*shop->program);
  CHECK(judgement.targets[0].aim == Ratio::make(27, 20));
  CHECK(judgement.targets[0].lo == Ratio::make(17, 20));
}

TEST_CASE("what is divided by a reading that nobody took is not known, and by nothing an error") {
  const auto state = [](const std::string& divisor) {
    const auto shop =
        open_shop({"profile: board\nreadings: {width: {is: number}, depth: {is: number}}\n"
                   "rules: {thin: {when: width / depth over 2, say: thin}}\n"},
                  "visit: v1\nprofile: board\nlog: [{date: 2026-03-01, read: {width: 3, depth: " + divisor + "}}]\n");
    INFO(shop->told());
    REQUIRE(shop->program);
    return judge(*shop->program).rules[0].state;
  };
  CHECK(state("unknown") == RuleState::unknown);
  CHECK(state("at least 0") == RuleState::unknown);
  CHECK(state("0") == RuleState::error);
  CHECK(state("1") == RuleState::fired);
}

TEST_CASE("a bound is judged where all of it is") {
  const auto bound = [](const std::string& read, const std::string& range) {
    return verdict(*measured(", read_to: 0.02 mm", "range: " + range, read));
  };
  CHECK(bound("at least 2.5 mm", "1 .. 2 mm") == "high");
  CHECK(bound("at most 0.5 mm", "1 .. 2 mm") == "low");
  CHECK(bound("at least 1.5 mm", "1 .. 2 mm") == "too close to call");
  CHECK(bound("at most 1.5 mm", "1 .. 2 mm") == "too close to call");
  CHECK(bound("at least 1.5 mm", "at least 1 mm") == "within");
  CHECK(bound("at most 0.5 mm", "at most 1 mm") == "within");
  CHECK(bound("at most 1.5 mm", "at most 1 mm") == "too close to call");
}

TEST_CASE("contact is a gap of at most the tool's step: low when the lower limit is clearly above it") {
  const auto contact = [](const std::string& range) {
    const std::string profile =
        "profile: stick\nfacts: {scale: 648 mm, frets: 22, body_joint: 16}\nreadings:\n  relief: {gap: {at: 7, held: "
        "[1, 16]}, "
        "with: feeler gauges, read_to: 0.02 mm}\ntargets:\n  relief: {range: " +
        range + "}\n";
    return verdict(
        *open_shop({profile},
                   "visit: v1\nprofile: stick\ninstrument: {id: B-1}\nlog:\n  - {date: 2026-03-01, read: {relief: "
                   "contact}}\n",
                   house("clear")),
        "relief");
  };
  CHECK(contact("0.1 .. 0.3 mm") == "low");
  CHECK(contact("0 .. 0.3 mm") == "too close to call");     // it may be below nothing: a straightedge tells
  CHECK(contact("0.02 .. 0.3 mm") == "too close to call");  // at the step itself
}

TEST_CASE("a wanted range replaces the house's, a wanted aim changes the aim alone") {
  const auto wanted = [](const std::string& want, const std::string& read) {
    return measured(", read_to: 0.02 mm", "range: 1 .. 2 mm aim 1.5", read, "clear", "wants: {width: " + want + "}\n");
  };
  const auto state = [](const Shop& shop) {
    const Judgement judgement = judge(*shop.program);
    return judgement.targets.front();
  };
  CHECK(verdict(*wanted("2.2 .. 2.4 mm", "1.5 mm")) == "low");
  CHECK(verdict(*wanted("2.2 .. 2.4 mm", "2.3 mm")) == "within");
  const auto aim = wanted("1.2 mm", "1.5 mm");
  CHECK(verdict(*aim) == "within");
  CHECK(state(*aim).asked);
  CHECK(state(*aim).aim == Ratio::parse("1.2"));
  const auto met = wanted("1.2 mm", "1.21 mm");  // within the tool's step of the aim
  CHECK_FALSE(state(*met).asked);
  const auto outside = wanted("2.5 mm", "2.5 mm");  // the verdict stays the house's
  CHECK(verdict(*outside) == "high");
}

TEST_CASE("leave makes the first reading the aim, with half the house's width to each side") {
  const std::string profile = R"(profile: board
readings: {width: {is: length, of: a board, with: callipers, read_to: 0.02 mm}}
targets: {width: {range: 1 .. 2 mm}}
)";
  const auto left = [&](const std::string& later) {
    return open_shop(
        {profile},
        "visit: v1\nprofile: board\nwants: {width: leave}\ninstrument: {id: B-1}\nlog:\n  - {date: 2026-03-01, "
        "read: {width: 2.3 mm}}\n" +
            later,
        house("clear"));
  };
  const auto first = left("");
  CHECK(verdict(*first) == "within");
  const TargetState state = judge(*first->program).targets.front();
  CHECK(state.left);
  CHECK(state.aim == Ratio::parse("2.3"));
  CHECK(state.lo == Ratio::parse("1.8"));
  CHECK(state.hi == Ratio::parse("2.8"));
  CHECK(verdict(*left("  - read: {width: 2.9 mm}\n")) == "high");
  CHECK(verdict(*left("  - read: {width: 2.7 mm}\n")) == "within");
  // A struck first reading is no reading: the next one is the first.
  CHECK(judge(*left("  - strike: {entry: 1, reason: a slip}\n  - read: {width: 1.9 mm}\n")->program)
            .targets.front()
            .aim == Ratio::parse("1.9"));
}

TEST_CASE("the probability of conformity is half at a limit and mirrors round the middle") {
  const auto probability_at = [](const std::string& read) {
    const auto shop = measured(", read_to: 0.1 mm", "range: 1 .. 2 mm", read);
    return judge(*shop->program).targets.front().probability.value();
  };
  CHECK(probability_at("2 mm") == Approx(0.5).margin(1e-12));
  CHECK(probability_at("1.5 mm") == Approx(1.0).margin(1e-12));
  CHECK(probability_at("1.98 mm") == Approx(1 - probability_at("2.02 mm")).margin(1e-12));
  CHECK(probability_at("1.03 mm") == Approx(probability_at("1.97 mm")).margin(1e-12));
}
