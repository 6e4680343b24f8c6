#include "engine/model/screw.h"

#include <catch2/catch.hpp>

using namespace stringline::model;

TEST_CASE("unified threads have the tabulated pitch") {
  // Unified tables; gometricusa for 5/16-18 (1.41), zytrax for 32 and 56 threads (0.793, 0.45, cut off, not rounded).
  CHECK(pitch_of_threads_per_inch(40) == Approx(0.635).epsilon(1e-12));
  CHECK(pitch_of_threads_per_inch(32) == Approx(0.79375).epsilon(1e-12));
  CHECK(pitch_of_threads_per_inch(24) == Approx(1.05833).margin(5e-6).epsilon(0));
  CHECK(pitch_of_threads_per_inch(18) == Approx(1.41111).margin(5e-6).epsilon(0));
  CHECK(pitch_of_threads_per_inch(56) == Approx(0.45).margin(0.005).epsilon(0));
}

TEST_CASE("number screws have the size of the rule") {
  // ANSI B1.1 as quoted: 0.013 N + 0.060 in.
  CHECK(number_size_mm(10) == Approx(4.826).epsilon(1e-12));
  CHECK(number_size_mm(4) == Approx(2.8448).epsilon(1e-12));
  CHECK(number_size_mm(6) == Approx(3.5052).epsilon(1e-12));
  CHECK(number_size_mm(8) == Approx(4.1656).epsilon(1e-12));
}

TEST_CASE("a turn under a string moves the 12th by half the pitch") {
  // Derived. Pitch: ISO coarse M3 0.5, M4 0.7, M8 1.25; 4-40 0.635; 6-32 0.79375.
  struct Row {
    double pitch, action_per_turn, turns_for_quarter_mm;
  };
  const Row rows[] = {{0.5, .25, 1.0}, {0.7, .35, .7143}, {1.25, .625, .4}, {0.635, .3175, .7874}};
  for (const Row& row : rows) {
    CAPTURE(row.pitch);
    CHECK(action_of_saddle_travel(row.pitch, 12) == Approx(row.action_per_turn));
    const double travel = saddle_travel_for_action(0.25, 12);
    CHECK(turns_for(travel, row.pitch) == Approx(row.turns_for_quarter_mm).margin(5e-5).epsilon(0));
  }
  CHECK(action_of_saddle_travel(0.79375, 12) == Approx(.396875));
}

TEST_CASE("a post's turn lifts a string by how near it stands") {
  // Derived: M8, bass post one turn up, string a quarter of the way across.
  const double lift = lift_between_posts(1.25, 0.0, 0.25);
  CHECK(lift == Approx(.9375));
  CHECK(action_of_saddle_travel(lift, 12) == Approx(.46875));
  CHECK(lift_between_posts(1.25, 1.25, 0.6) == Approx(1.25));
}

// Derived: posts 74 mm apart, outer strings 52 mm: w = 11/74, and what the posts do together is what was asked.
TEST_CASE("two posts lift the outer strings by what was asked, each side minding the other") {
  struct Row {
    double bass, treble;
  };
  for (const Row& row : {Row{0.4, 0.0}, Row{0.4, 0.4}, Row{-0.3, 0.2}}) {
    CAPTURE(row.bass, row.treble);
    const auto posts = posts_for_lift(row.bass, row.treble, 74, 52);
    REQUIRE(posts);
    CHECK(lift_between_posts(posts->bass_mm, posts->treble_mm, 11.0 / 74) == Approx(row.bass).margin(1e-12));
    CHECK(lift_between_posts(posts->bass_mm, posts->treble_mm, 63.0 / 74) == Approx(row.treble).margin(1e-12));
  }
  CHECK(posts_for_lift(0.4, 0.0, 74, 52)->bass_mm == Approx(0.4 * 63 / 52));
  CHECK(posts_for_lift(0.4, 0.0, 74, 52)->treble_mm == Approx(-0.4 * 11 / 52));
  CHECK(posts_for_lift(0.4, 0.0, 52, 52)->treble_mm == Approx(0).margin(1e-12));
  CHECK_FALSE(posts_for_lift(0.4, 0.0, 50, 52));
  CHECK_FALSE(posts_for_lift(0.4, 0.0, 74, 0));
}
