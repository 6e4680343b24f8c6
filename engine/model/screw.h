// Screws under bridges and rods: turns, travel, and what both do to the action.
//
//   pitch = 25.4 / threads per inch, mm a turn       travel = turns * pitch
//   action at fret n changes by (1 - 2^(-n/12)) of the saddle's travel, half of it at the 12th
//   lift of a string a share w of the way from the bass post to the treble post = (1 - w) bass + w treble
//
// Sources: ISO coarse series and the unified number sizes as suppliers tabulate them; zytrax for 32 and 56 threads an
// inch; the size of a number screw after ANSI B1.1 as quoted. Limits: no backlash; a straight neck.
// Tested by tests/unit/model_screw_test.cc.
#pragma once

namespace stringline::model {

[[nodiscard]] double pitch_of_threads_per_inch(double threads);
[[nodiscard]] double number_size_mm(int number);  // outer diameter of a #number screw
[[nodiscard]] double turns_for(double travel_mm, double pitch_mm);
[[nodiscard]] double lift_between_posts(double bass_mm, double treble_mm, double share_from_bass);
[[nodiscard]] double action_of_saddle_travel(double travel_mm, double fret);
[[nodiscard]] double saddle_travel_for_action(double action_change_mm, double fret);

}  // namespace stringline::model
