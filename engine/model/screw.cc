#include "engine/model/screw.h"

#include "engine/model/frets.h"

namespace stringline::model {

double pitch_of_threads_per_inch(double threads) { return 25.4 / threads; }

double number_size_mm(int number) { return 25.4 * (0.013 * number + 0.060); }

double turns_for(double travel_mm, double pitch_mm) { return travel_mm / pitch_mm; }

double lift_between_posts(double bass_mm, double treble_mm, double share_from_bass) {
  return (1.0 - share_from_bass) * bass_mm + share_from_bass * treble_mm;
}

double action_of_saddle_travel(double travel_mm, double fret) { return travel_mm * fret_share(fret); }

double saddle_travel_for_action(double action_change_mm, double fret) { return action_change_mm / fret_share(fret); }

}  // namespace stringline::model
