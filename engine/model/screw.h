// Screws under bridges and rods: turns, travel, and what both do to the action.
//
//   pitch = 25.4 / threads per inch, mm a turn       travel = turns * pitch
//   action at fret n changes by (1 - 2^(-n/12)) of the saddle's travel, half of it at the 12th
//   lift of a string a share w of the way from the bass post to the treble post = (1 - w) bass + w treble
//   two posts D apart under strings spread over S, both about one middle: w = (D - S)/(2 D) for the outer string nearest
//     a post, so each post lifts both, and to lift the outer strings by b and t the posts go up by
//     bass ((1 - w) b - w t)/(1 - 2 w),  treble ((1 - w) t - w b)/(1 - 2 w)
//
// Sources: ISO coarse series and the unified number sizes as suppliers tabulate them; zytrax for 32 and 56 threads an
// inch; the size of a number screw after ANSI B1.1 as quoted. Limits: no backlash; a straight neck.
// Tested by tests/unit/model_screw_test.cc.
#pragma once

#include <optional>

namespace stringline::model {

[[nodiscard]] double pitch_of_threads_per_inch(double threads);
[[nodiscard]] double number_size_mm(int number);  // outer diameter of a #number screw
[[nodiscard]] double turns_for(double travel_mm, double pitch_mm);
[[nodiscard]] double lift_between_posts(double bass_mm, double treble_mm, double share_from_bass);
struct PostTravel {
  double bass_mm = 0.0;
  double treble_mm = 0.0;
};
// What lifts the outer strings by so much. Nothing where strings as wide as `string_span_mm` do not lie between the posts.
[[nodiscard]] std::optional<PostTravel> posts_for_lift(double bass_mm, double treble_mm, double post_span_mm,
                                                       double string_span_mm);
[[nodiscard]] double action_of_saddle_travel(double travel_mm, double fret);
[[nodiscard]] double saddle_travel_for_action(double action_change_mm, double fret);

}  // namespace stringline::model
