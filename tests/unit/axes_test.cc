// What the facts lay out: fanned frets, and what follows from a string's own scale.
#include "engine/check/axes.h"

#include <catch2/catch.hpp>
#include <string>

#include "engine/judge/judge.h"
#include "engine/judge/pull.h"
#include "engine/model/saddle_place.h"
#include "engine/plan/plan.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

std::unique_ptr<Shop> fanned(const std::string& scales, const std::string& read = "relief: 0.20 mm") {
  std::string visit = stick_visit(read);
  visit.replace(visit.find("{id: N-1"), 8, "{id: N-1, scales: " + scales);
  return open_shop({stick_profile}, visit, stick_house);
}

}  // namespace

TEST_CASE("with fanned frets the strings between the outer ones stand evenly, and others keep the profile's scale") {
  const auto shop = fanned("{bass: 27 in, treble: 25.5 in}");
  INFO(shop->told());
  REQUIRE(shop->program);
  for (std::size_t i = 0; i < 6; ++i)
    CHECK(shop->program->scale_of(i) == Approx(25.4 * (25.5 + 1.5 * static_cast<double>(i) / 5)));
  const auto by_number = fanned("{1: 640 mm, 3: 650 mm, 6: 680 mm}");
  REQUIRE(by_number->program);
  CHECK(by_number->program->scale_of(1) == Approx(645));
  CHECK(by_number->program->scale_of(3) == Approx(660));
  CHECK(by_number->program->scale_of(5) == Approx(680));
  const auto plain = open_shop({stick_profile}, stick_visit("relief: 0.20 mm"), stick_house);
  CHECK(plain->program->scale_of(5) == Approx(648));
}

TEST_CASE("a scale that is no length, or of a string that is not there, is told at its place") {
  CHECK(fanned("{bass: 27, treble: 25.5 in}")
            ->told()
            .find("visit.yaml:3:38: error: the scale of 'bass' must be a length") != std::string::npos);
  CHECK(fanned("{7: 27 in}")->told().find("there is no string '7'") != std::string::npos);
  CHECK(fanned("27 in")->told().find("'scales' is a map from strings to their lengths") != std::string::npos);
}

// T = mu (2 L f)^2: with the same string at the same pitch the pull goes with the square of the length.
TEST_CASE("each string pulls by the square of its own scale") {
  const Pull straight = pull_of(*open_shop({stick_profile}, stick_visit("relief: 0.20 mm"), stick_house)->program);
  const Pull fan = pull_of(*fanned("{bass: 680 mm, treble: 648 mm}")->program);
  CHECK(*fan.strings[0].newton == Approx(*straight.strings[0].newton));
  CHECK(*fan.strings[5].newton / *straight.strings[5].newton == Approx(680.0 * 680.0 / (648.0 * 648.0)));
}

TEST_CASE("a saddle is moved by its own string's scale") {
  std::string profile = stick_profile;
  profile.replace(profile.find("targets:\n"), 9,
                  "targets:\n  octave_error: {phase: last, range: 0 +- 2 cents, low: move, high: move}\n");
  profile += "  move: {label: move the saddle, moves: saddle_place, sets: octave_error}\n";
  std::string visit =
      stick_visit("relief: 0.20 mm, nut_gap: 0.45 mm, action: {bass: 1.6 mm, treble: 1.3 mm}, octave_error: 8 cents");
  visit.replace(visit.find("{id: N-1"), 8, "{id: N-1, scales: {bass: 700 mm, treble: 600 mm}");
  const auto shop = open_shop({profile}, visit, stick_house);
  INFO(shop->told());
  REQUIRE(shop->program);
  const Plan plan = make_plan(*shop->program, judge(*shop->program));
  const auto moves = [&](const PlanLine& line) { return line.job && *line.job == shop->job("move"); };
  const auto line = std::find_if(plan.lines.begin(), plan.lines.end(), moves);
  REQUIRE(line != plan.lines.end());
  REQUIRE(line->amounts.size() == 6);
  CHECK(*line->amounts[0].travel == Approx(*model::saddle_move(model::lengths_of({600.0}), 8.0)));
  CHECK(*line->amounts[5].travel == Approx(*model::saddle_move(model::lengths_of({700.0}), 8.0)));
}
