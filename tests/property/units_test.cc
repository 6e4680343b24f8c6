// The same reading in another unit is the same reading: random visits of every shipped profile are written once more in other units,
// and come to the same verdicts, rules, work list and document. How much a unit is, is written here once more.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <numeric>
#include <random>
#include <regex>
#include <string>
#include <vector>

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/paper/json.h"
#include "engine/plan/plan.h"
#include "tests/support/random_visit.h"
#include "tests/support/rounds.h"

using namespace stringline;
using testing::RandomVisit;
using testing::Readings;

namespace {

// Of one unit another: `times` of it and `more`, as fractions.
struct Other {
  const char* unit;
  const char* other;
  std::int64_t times_num, times_den;
  std::int64_t more = 0;
};
// An inch is 25.4 mm by definition, water freezes at 32 degF, 180 of them below where it boils at 100 degC; a kgf is 9.80665 N.
const std::vector<Other> others{{"mm", "in", 10, 254},       {"mm", "thou", 10'000, 254},
                                {"mm", "cm", 1, 10},         {"mm", "mm", 1, 1},
                                {"in", "mm", 254, 10},       {"in", "thou", 1000, 1},
                                {"thou", "mm", 254, 10'000}, {"degC", "degF", 9, 5, 32},
                                {"min", "h", 1, 60},         {"h", "min", 60, 1},
                                {"h", "d", 1, 24},           {"d", "h", 24, 1},
                                {"cents", "cents", 1, 1},    {"N", "kgf", 100'000, 980'665},
                                {"Hz", "Hz", 1, 1}};

class Rewriter {
 public:
  explicit Rewriter(unsigned seed) : random_(seed) {}

  void turn() { turn_ = random_(); }

  // "at least 0.35 mm" -> "at least 35/2540 in"; a state, or a unit of which there is no other, as it is. Between two turns all members
  // of a reading come to one unit, since lists say once what is the same for several.
  std::string other(const std::string& point, const std::string& text) {
    static const std::regex number("(at least |at most |)(-?)([0-9]+)(?:[.]([0-9]+))? ([a-zA-Z]+)");
    std::smatch is;
    if (!std::regex_match(text, is, number)) return text;
    std::vector<Other> possible;
    std::copy_if(others.begin(), others.end(), std::back_inserter(possible),
                 [&](const Other& each) { return is[5] == each.unit; });
    if (possible.empty()) return text;
    const Other to = possible[(turn_ + std::hash<std::string>()(point.substr(0, point.find('.')))) % possible.size()];
    std::int64_t den = 1;
    for (int i = 0; i < is[4].length(); ++i) den *= 10;
    std::int64_t num = std::stoll(is[3].str() + is[4].str()) * (is[2].length() > 0 ? -1 : 1);
    num = num * to.times_num + to.more * den * to.times_den;
    den *= to.times_den;
    const std::int64_t shared = std::max<std::int64_t>(1, std::gcd(num, den));
    ++rewritten_;
    const std::string fraction =
        std::to_string(num / shared) + (den == shared ? "" : "/" + std::to_string(den / shared));
    return is[1].str() + fraction + " " + to.other;
  }
  [[nodiscard]] int rewritten() const { return rewritten_; }

 private:
  std::mt19937 random_;
  std::size_t turn_ = 0;
  int rewritten_ = 0;
};

struct Seen {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book{{"profiles"}, sources, diagnostics};
  std::unique_ptr<const OpenVisit> visit;
  Plan plan;
  Json document;

  explicit Seen(const std::string& text) {
    visit = open_visit(book, {"examples/harrow_lane/visits/random.yaml", text, {}, {}}, diagnostics);
    INFO(text << render(diagnostics, sources, false));
    REQUIRE(visit);
    plan = make_plan(visit->program, visit->judgement);
    add_work(document, {visit->program, visit->judgement, plan, sources}, *visit->tree, {}, {});
  }
};

// Numbers in texts come as they were written, and places in a file move with them.
std::string without_numbers(const std::string& text) {
  static const std::regex number(
      "~?-?[0-9]+([./:][0-9]+)*( [0-9]+/[0-9]+)?( ?(mm|cm|in|thou|cents|degC|degF|min|h|d|N|kgf|Hz)\\b)?");
  return std::regex_replace(text, number, "#");
}

std::vector<std::string> sorted(const Json& texts) {
  std::vector<std::string> all;
  for (const Json& text : texts) all.push_back(without_numbers(text.get<std::string>()));
  std::sort(all.begin(), all.end());
  return all;
}

// What is left alone, reading by reading: readings of which the same is said share an entry, and a number that is rounded for
// another unit can be the same for two of them.
std::vector<std::string> by_reading(const Json& left) {
  std::vector<std::string> all;
  for (const Json& each : left) {
    const std::string what = each.at("job").dump() + each.at("open").dump();
    for (const Json& reading : each.at("readings")) all.push_back(what + reading.dump());
    if (each.at("readings").empty()) all.push_back(what + without_numbers(each.at("why").get<std::string>()));
  }
  std::sort(all.begin(), all.end());
  return all;
}

void compare(const Json& one, const Json& other, const std::string& where) {
  INFO(where);
  if (where == ".left") {
    REQUIRE(by_reading(one) == by_reading(other));
    return;
  }
  REQUIRE(one.type_name() == std::string(other.type_name()));
  if (one.is_object()) {
    REQUIRE(one.size() == other.size());
    const bool quantity = one.contains("base") && one.contains("unit");
    for (const auto& [key, value] : one.items()) {
      if (quantity && key != "base") continue;  // as it was written
      REQUIRE(other.contains(key));
      if (key != "column" && key != "end_column") compare(value, other.at(key), where + "." + key);
    }
  } else if (one.is_array()) {
    REQUIRE(one.size() == other.size());
    if (!one.empty() && one[0].is_string()) {  // what is said several times is sorted as it is said
      REQUIRE(sorted(one) == sorted(other));
      return;
    }
    for (std::size_t i = 0; i < one.size(); ++i) compare(one[i], other[i], where + "." + std::to_string(i));
  } else if (one.is_number()) {
    const double size = std::max(1.0, std::abs(one.get<double>()));
    REQUIRE(std::abs(one.get<double>() - other.get<double>()) <= 1e-9 * size);
  } else if (one.is_string()) {
    REQUIRE(without_numbers(one.get<std::string>()) == without_numbers(other.get<std::string>()));
  } else {
    REQUIRE(one == other);
  }
}

void compare(const Plan& one, const Plan& other) {
  REQUIRE(one.lines.size() == other.lines.size());
  for (std::size_t i = 0; i < one.lines.size(); ++i) {
    const PlanLine& a = one.lines[i];
    const PlanLine& b = other.lines[i];
    REQUIRE(a.form == b.form);
    REQUIRE(a.job == b.job);
    REQUIRE(a.points == b.points);
    REQUIRE(a.read_after == b.read_after);
    REQUIRE(a.amounts.size() == b.amounts.size());
    for (std::size_t k = 0; k < a.amounts.size(); ++k) {
      REQUIRE(a.amounts[k].travel.has_value() == b.amounts[k].travel.has_value());
      REQUIRE(std::abs(a.amounts[k].travel.value_or(0) - b.amounts[k].travel.value_or(0)) <= 1e-9);
      if (a.amounts[k].travel) REQUIRE(a.amounts[k].text == b.amounts[k].text);
    }
  }
}

}  // namespace

TEST_CASE("a visit in other units comes to the same verdicts, rules, work list and document") {
  constexpr unsigned seed = 20'261'131;
  Rewriter rewriter(seed);
  int compared = 0;
  std::vector<std::string> profiles;
  for (const auto& entry : std::filesystem::directory_iterator("profiles")) {
    const bool trials = entry.path().stem().extension() == ".trials";
    if (entry.path().extension() == ".yaml" && !trials) profiles.push_back(entry.path().stem().string());
  }
  std::sort(profiles.begin(), profiles.end());
  const int rounds = test::rounds(300) / static_cast<int>(profiles.size()) + 1;
  for (const std::string& profile : profiles) {
    const Seen empty("visit: v1\nprofile: " + profile +
                     "\ninstrument: {id: R-1}\nlog: [{date: 2026-03-02, note: in}]\n");
    RandomVisit random(empty.visit->program, profile, seed);
    for (int round = 0; round < rounds; ++round) {
      const std::string head = random.head();
      const Readings readings = random.readings(true);
      Readings rewritten;
      rewriter.turn();
      for (const auto& [point, text] : readings) rewritten[point] = rewriter.other(point, text);
      const Seen one(RandomVisit::text(head, readings));
      const Seen other(RandomVisit::text(head, rewritten));
      INFO("seed " << seed << " profile " << profile << " round " << round << "\n"
                   << RandomVisit::text(head, rewritten));
      compare(one.plan, other.plan);
      compare(one.document, other.document, "");
      for (std::size_t i = 0; i < one.visit->judgement.targets.size(); ++i)
        REQUIRE(one.visit->judgement.targets[i].verdict == other.visit->judgement.targets[i].verdict);
      for (std::size_t i = 0; i < one.visit->judgement.rules.size(); ++i)
        REQUIRE(one.visit->judgement.rules[i].state == other.visit->judgement.rules[i].state);
      ++compared;
    }
  }
  CHECK(compared >= static_cast<int>(test::at_least(300)));
  CHECK(rewriter.rewritten() > compared);
}
