// The rows of random tables against a plain look at every value that could tell them apart.
#include <catch2/catch.hpp>

#include <algorithm>
#include <random>
#include <set>
#include <string>

#include "engine/check/evaluate.h"
#include "tests/support/shop.h"

using namespace stringline;

namespace {

// A band in half millimetres, as the table means it.
struct Band {
  std::string key;
  std::optional<int> lo;
  bool lo_belongs = false;
  std::optional<int> hi;
  bool hi_belongs = true;

  [[nodiscard]] bool holds(double x) const {
    const bool above = !lo || x > *lo || (lo_belongs && x >= *lo);
    const bool below = !hi || x < *hi || (hi_belongs && x <= *hi);
    return above && below;
  }
};

// A band without an upper end that begins with its lower one goes up to where the next band begins.
std::vector<Band> meant(std::vector<Band> bands) {
  const std::vector<Band> written = bands;
  for (Band& band : bands) {
    if (band.hi || !band.lo_belongs) continue;
    for (const Band& other : written) {
      if (!other.lo || *other.lo <= *band.lo || (band.hi && *band.hi < *other.lo)) continue;
      band.hi_belongs = !other.lo_belongs && (!band.hi || *band.hi > *other.lo || band.hi_belongs);
      band.hi = other.lo;
    }
  }
  return bands;
}

class Tables {
 public:
  explicit Tables(unsigned seed) : random_(seed) {}

  int below(int n) { return std::uniform_int_distribution<int>(0, n - 1)(random_); }

  std::vector<Band> bands() {
    std::vector<Band> all;
    for (int i = 1 + below(4); i > 0; --i) {
      const Band band = one();
      const bool twice = std::any_of(all.begin(), all.end(), [&](const Band& other) { return other.key == band.key; });
      if (!twice) all.push_back(band);
    }
    return all;
  }

  // Bands that begin where the one before ends, mostly.
  std::vector<Band> chain() {
    std::vector<Band> all;
    int at = below(3);
    if (below(4) > 0) all.push_back({"up to " + std::to_string(at) + " mm", {}, false, at, true});
    while (all.size() < 4 && below(4) > 0) {
      const int next = at + 1 + below(2);
      all.push_back(
          {"over " + std::to_string(at) + " mm up to " + std::to_string(next) + " mm", at, false, next, true});
      at = next + (below(6) == 0 ? 1 : 0);
    }
    if (all.empty() || below(3) > 0) all.push_back({"over " + std::to_string(at) + " mm", at, false, {}, true});
    std::shuffle(all.begin(), all.end(), random_);
    return all;
  }

 private:
  Band one() {
    const int a = below(7);
    const int b = below(7);
    const std::string lo = std::to_string(a) + " mm";
    const std::string hi = std::to_string(b) + " mm";
    switch (below(5)) {
      case 0: return {"up to " + hi, {}, false, b, true};
      case 1: return {"over " + lo, a, false, {}, true};
      case 2: return {"from " + lo, a, true, {}, true};
      default: return {"over " + lo + " up to " + hi, a, false, b, true};
    }
  }

  std::mt19937 random_;
};

std::string profile_with(const std::vector<Band>& bands, bool otherwise) {
  std::string text = R"(profile: tenor
facts: {scale: 23 in, frets: 17, body_joint: 14, tuning: [A4, D4, G3, C3]}
readings:
  width: {is: length, of: width at the nut, with: callipers, read_to: 0.1 mm}
  relief: {gap: {at: 7, held: [1, 14]}, with: feeler gauges, read_to: 1 thou}
targets:
  relief:
    range:
      by width:
)";
  int row = 1;
  for (const Band& band : bands) text += "        " + band.key + ": 0 .. " + std::to_string(row++) + " mm\n";
  if (otherwise) text += "        otherwise: 0 .. 9 mm\n";
  return text;
}

std::set<std::string> codes(const Shop& shop) {
  std::set<std::string> all;
  for (const Diagnostic& d : shop.diagnostics.list()) {
    if (info(d.code).severity == Severity::error) all.emplace(info(d.code).id);
  }
  return all;
}

// What a look at every half millimetre finds. `counted` is how many rows hold each.
std::set<std::string> expected(const std::vector<Band>& bands, bool otherwise) {
  std::set<std::string> all;
  for (const Band& band : bands) {
    if (band.lo && band.hi && *band.lo >= *band.hi) all.emplace("E422");
  }
  if (!all.empty()) return all;  // a table with such a row is looked at no further
  bool hole = false;
  const std::vector<Band> real = meant(bands);
  for (double x = -1; x <= 9; x += 0.5) {
    const auto count = std::count_if(real.begin(), real.end(), [&](const Band& band) { return band.holds(x); });
    if (count > 1) all.emplace("E423");
    hole = hole || count == 0;
  }
  if (hole && !otherwise) all.emplace("E424");
  if (!hole && otherwise) all.emplace("E425");
  return all;
}

}  // namespace

TEST_CASE("a hole, an overlap or a dead row is told exactly where a look at every value finds one") {
  constexpr unsigned seed = 20'260'911;
  Tables tables(seed);
  int good = 0;
  std::set<std::string> seen;
  for (int round = 0; round < 3'000; ++round) {
    const std::vector<Band> bands = round % 2 == 0 ? tables.bands() : tables.chain();
    const bool otherwise = tables.below(2) == 0;
    const std::string text = profile_with(bands, otherwise);
    const auto shop = open_shop({text});
    const std::set<std::string> wanted = expected(bands, otherwise);
    INFO("seed " << seed << " round " << round << "\n" << text << shop->told());
    REQUIRE(codes(*shop) == wanted);
    good += wanted.empty() ? 1 : 0;
    seen.insert(wanted.begin(), wanted.end());
  }
  CHECK(good > 300);
  CHECK(seen == std::set<std::string>{"E422", "E423", "E424", "E425"});
}

TEST_CASE("of a good table exactly the row is used that holds the value, otherwise where none does") {
  constexpr unsigned seed = 20'260'912;
  Tables tables(seed);
  int used = 0;
  for (int round = 0; round < 600; ++round) {
    const std::vector<Band> bands = round % 2 == 0 ? tables.bands() : tables.chain();
    const bool otherwise = tables.below(2) == 0;
    const auto shop = open_shop({profile_with(bands, otherwise)});
    if (!shop->program) continue;
    const Program& program = *shop->program;
    const std::vector<Band> real = meant(bands);
    const TargetInfo& target = *program.target(shop->point("relief"));
    for (int half = -2; half <= 18; ++half) {
      class OneReading : public Nothing {
       public:
        OneReading(const Program& program, PointId point, int halves)
            : Nothing(program), point_(point), halves_(halves) {}
        [[nodiscard]] Result reading(PointId point) const override {
          if (point != point_) return Nothing::reading(point);
          return number_result(Interval::exactly(*divide(Ratio(halves_), Ratio(2))), Unit::mm);
        }

       private:
        PointId point_;
        int halves_;
      };
      const OneReading around(program, shop->point("width"), half);
      const Evaluator evaluator(program, around);
      const auto rows = evaluator.possible(*target.range);
      std::int64_t row = 9;
      for (std::size_t i = 0; i < real.size(); ++i) {
        if (real[i].holds(half / 2.0)) row = static_cast<std::int64_t>(i) + 1;
      }
      INFO("seed " << seed << " round " << round << " at " << half << "/2 mm\n" << profile_with(bands, otherwise));
      REQUIRE(rows.leaves.size() == 1);
      REQUIRE(evaluator.evaluate(*rows.leaves.front()->hi).value.number.lo == Ratio(row));
      ++used;
    }
  }
  CHECK(used > 2'000);
}

TEST_CASE("members of a choice: each once, all of them or otherwise") {
  constexpr unsigned seed = 20'260'913;
  std::mt19937 random(seed);
  const auto one_in = [&](int n) { return std::uniform_int_distribution<int>(0, n - 1)(random) == 0; };
  const std::vector<std::string> all{"strumming", "melody", "chords"};
  for (int round = 0; round < 300; ++round) {
    std::vector<std::string> rows;
    for (const std::string& each : all) {
      if (!one_in(3)) rows.push_back(each);
    }
    std::shuffle(rows.begin(), rows.end(), random);
    const bool otherwise = one_in(2);
    std::string text = R"(profile: tenor
facts: {scale: 23 in, frets: 17, body_joint: 14}
choices: {style: [strumming, melody, chords]}
readings:
  relief: {gap: {at: 7, held: [1, 14]}, with: feeler gauges, read_to: 1 thou}
targets:
  relief:
    range:
      by style:
)";
    for (const std::string& each : rows) text += "        " + each + ": 1 .. 2 mm\n";
    if (otherwise) text += "        otherwise: 1 .. 3 mm\n";
    if (rows.empty() && !otherwise) continue;
    std::set<std::string> wanted;
    if (rows.size() < all.size() && !otherwise) wanted.emplace("E424");
    if (otherwise && (rows.size() == all.size() || rows.empty())) wanted.emplace("E425");
    const auto shop = open_shop({text});
    INFO("seed " << seed << " round " << round << "\n" << text << shop->told());
    REQUIRE(codes(*shop) == wanted);
  }
}
