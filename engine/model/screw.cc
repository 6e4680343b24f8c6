#include "engine/model/screw.h"

#include "engine/model/frets.h"

namespace stringline::model {

double pitch_of_threads_per_inch(double threads) { return 25.4 / threads; }

double number_size_mm(int number) { return 25.4 * (0.013 * number + 0.060); }

double turns_for(double travel_mm, double pitch_mm) { return travel_mm / pitch_mm; }

double lift_between_posts(double bass_mm, double treble_mm, double share_from_bass) {
  return (1.0 - share_from_bass) * bass_mm + share_from_bass * treble_mm;
}

std::optional<PostTravel> posts_for_lift(double bass_mm, double treble_mm, double post_span_mm, double string_span_mm) {
  if (!(string_span_mm > 0.0) || string_span_mm > post_span_mm) return std::nullopt;
  const double w = 0.5 * (post_span_mm - string_span_mm) / post_span_mm;
  const double between = 1.0 - 2.0 * w;
  return PostTravel{((1.0 - w) * bass_mm - w * treble_mm) / between, ((1.0 - w) * treble_mm - w * bass_mm) / between};
}

double action_of_saddle_travel(double travel_mm, double fret) { return travel_mm * fret_share(fret); }

double saddle_travel_for_action(double action_change_mm, double fret) { return action_change_mm / fret_share(fret); }

}  // namespace stringline::model
