#include "engine/value/conformity.h"

#include <catch2/catch.hpp>
#include <limits>
#include <string>

using namespace stringline;

namespace {

Ratio decimal(const std::string& text) { return Ratio::parse(text).value(); }
Tolerance between(const std::string& lo, const std::string& hi) { return {decimal(lo), decimal(hi)}; }

}  // namespace

TEST_CASE("the expanded uncertainty joins the tool's step and the hand's repeatability") {
  CHECK(expanded_square({3, 0, 1}) == Ratio{3});
  CHECK(expanded_square({0, 1, 1}) == Ratio{4});
  CHECK(expanded_square({0, 1, 4}) == Ratio{1});
  CHECK(expanded_square({3, 1, 2}) == Ratio{5});
  CHECK(expanded_square({0, 0, 1}) == Ratio{0});
  CHECK_FALSE(expanded_square({1, 1, 0}));
  CHECK_FALSE(expanded_square({std::numeric_limits<std::int64_t>::max(), 0, 1}));
}

TEST_CASE("without uncertainty the limits belong to the range") {
  const Tolerance range = between("1.8", "2.2");
  CHECK(judge_value(decimal("1.8"), range, 0) == Conformity::within);
  CHECK(judge_value(decimal("2.2"), range, 0) == Conformity::within);
  CHECK(judge_value(decimal("2.0"), range, 0) == Conformity::within);
  CHECK(judge_value(decimal("2.200000001"), range, 0) == Conformity::high);
  CHECK(judge_value(decimal("1.799999999"), range, 0) == Conformity::low);
}

TEST_CASE("with uncertainty a verdict needs its distance from the limit") {
  const Tolerance range = between("1", "2");
  const Ratio square = decimal("0.01");                                     // U = 0.1
  CHECK(judge_value(decimal("1.1"), range, square) == Conformity::within);  // exactly U inside is enough
  CHECK(judge_value(decimal("1.0999999"), range, square) == Conformity::too_close);
  CHECK(judge_value(decimal("1.9"), range, square) == Conformity::within);
  CHECK(judge_value(decimal("1.9000001"), range, square) == Conformity::too_close);
  CHECK(judge_value(decimal("2"), range, square) == Conformity::too_close);
  CHECK(judge_value(decimal("2.1"), range, square) == Conformity::too_close);  // exactly U outside is not
  CHECK(judge_value(decimal("2.1000001"), range, square) == Conformity::high);
  CHECK(judge_value(decimal("0.9"), range, square) == Conformity::too_close);
  CHECK(judge_value(decimal("0.8999999"), range, square) == Conformity::low);
}

TEST_CASE("a one-sided range has one limit, and a range without limits holds everything") {
  const Ratio square = decimal("0.01");
  const Tolerance least{Ratio{1}, std::nullopt};
  const Tolerance most{std::nullopt, Ratio{1}};
  CHECK(judge_value(1000, least, square) == Conformity::within);
  CHECK(judge_value(1, least, square) == Conformity::too_close);
  CHECK(judge_value(0, least, square) == Conformity::low);
  CHECK(judge_value(-1000, most, square) == Conformity::within);
  CHECK(judge_value(2, most, square) == Conformity::high);
  CHECK(judge_value(2, Tolerance{}, square) == Conformity::within);
}

TEST_CASE("the decision is exact where a square root would have to be rounded") {
  // U^2 = 2, and two neighbours of its root, one on either side, whose squares differ from 2 by 1/den^2: about 1e-19.
  const Tolerance most{std::nullopt, Ratio{0}};
  CHECK(judge_value(Ratio::make(-1855077841, 1311738121).value(), most, 2) == Conformity::too_close);
  CHECK(judge_value(Ratio::make(-4478554083, 3166815962).value(), most, 2) == Conformity::within);
}

TEST_CASE("a distance that does not fit gives no verdict") {
  const Ratio highest = std::numeric_limits<std::int64_t>::max();
  CHECK_FALSE(judge_value(-2, Tolerance{std::nullopt, highest}, 0));
}

TEST_CASE("the probability is certain without uncertainty and keeps its digits far out") {
  const Tolerance range = between("1", "2");
  CHECK(probability(1.0, range, 0.0) == 1.0);
  CHECK(probability(2.5, range, 0.0) == 0.0);
  CHECK(probability(1.5, Tolerance{}, 1.0) == 1.0);
  // Ten sigma out: the normal tail 7.62e-24 on either side.
  CHECK(probability(3.0, range, 0.1) == Approx(7.619853e-24).epsilon(1e-6));
  CHECK(probability(0.0, range, 0.1) == Approx(7.619853e-24).epsilon(1e-6));
}

TEST_CASE("measuring capability is the tolerance over twice U, and nothing when one-sided or without U") {
  CHECK(measuring_capability(between("0", "4"), 1) == Approx(2.0));
  CHECK_FALSE(measuring_capability({Ratio{0}, std::nullopt}, 1));
  CHECK_FALSE(measuring_capability(between("0", "4"), 0));
}
