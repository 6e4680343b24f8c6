#include "engine/model/pitch_causes.h"

#include <catch2/catch.hpp>
#include <numeric>

using namespace stringline::model;

namespace {

FrettedString everything_wrong() {
  FrettedString string;
  string.scale_mm = 648.0;
  string.nut_height = 0.9;
  string.saddle_height = 4.6;
  string.saddle_setback = -1.1;
  string.nut_setback = 0.3;
  string.kappa = 62.0;
  string.bending_radius = 0.2;
  string.touch = {6.0, 1.2};
  string.tops.assign(12, FretTop{-0.15, 0.8});
  return string;
}

double sum_of(const CausesOfError& causes) {
  double sum = causes.reference + causes.together;
  for (const CauseShare& share : causes.shares) sum += share.cents;
  return sum;
}

}  // namespace

TEST_CASE("the causes of an error and what they do together add up to it") {
  for (const int fret : {1, 2, 5, 7, 12}) {
    CAPTURE(fret);
    const CausesOfError causes = causes_of_error(everything_wrong(), fret);
    CHECK(causes.total == fretted_cents(everything_wrong(), fret).total());
    CHECK(sum_of(causes) == Approx(causes.total).margin(1e-12));
    CHECK(causes.reference == Approx(0.0).margin(1e-9));
    for (const Cause cause : all_causes) {
      CAPTURE(static_cast<int>(cause));
      CHECK(causes.of(cause) > 0.0);  // each of them sharpens here
    }
  }
}

TEST_CASE("a cause's share is what goes when that cause alone is put right") {
  FrettedString string = everything_wrong();
  FrettedString reference = string;
  reference.nut_height = 0.4;
  const CausesOfError causes = causes_of_error(string, 1, reference);
  CHECK(causes.of(Cause::nut_height) == Approx(fretted_cents(string, 1).total() - fretted_cents(reference, 1).total()));
  CHECK(causes.reference == Approx(fretted_cents(reference, 1).total()));
  CHECK(causes.of(Cause::saddle_place) == 0.0);
  CHECK(causes.together == Approx(0.0).margin(1e-12));  // one cause alone works on nothing else
}

TEST_CASE("a high nut shows at the first fret and a misplaced saddle at the twelfth") {
  FrettedString string;
  string.scale_mm = 648.0;
  string.nut_height = 1.2;
  string.saddle_height = 3.5;
  string.saddle_setback = -1.0;
  string.kappa = 60.0;
  const CausesOfError first = causes_of_error(string, 1);
  const CausesOfError twelfth = causes_of_error(string, 12);
  CHECK(first.of(Cause::nut_height) > first.of(Cause::saddle_place));
  CHECK(twelfth.of(Cause::saddle_place) > twelfth.of(Cause::nut_height));
  CHECK(twelfth.of(Cause::saddle_place) == Approx(2.67).margin(0.02).epsilon(0));  // 2.67 cents a mm at 648, derived
  CHECK(first.of(Cause::flat_top) == 0.0);
}

TEST_CASE("causes leave frets alone that neither string lists") {
  FrettedString string = everything_wrong();
  string.tops.resize(3);
  CHECK(causes_of_error(string, 12).of(Cause::flat_top) == 0.0);
  CHECK(causes_of_error(string, 3).of(Cause::flat_top) > 0.0);
}
