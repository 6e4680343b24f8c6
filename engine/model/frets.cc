#include "engine/model/frets.h"

#include <cmath>

namespace stringline::model {

double fret_share(double fret) { return -std::expm1(-fret / 12.0 * std::log(2.0)); }

double fret_at_share(double share) { return -12.0 * std::log1p(-share) / std::log(2.0); }

double nut_to_fret(double scale_mm, double fret) { return scale_mm * fret_share(fret); }

double fret_to_saddle(double scale_mm, double fret) { return scale_mm * std::exp2(-fret / 12.0); }

double fret_spacing(double scale_mm, int fret) {
  return fret_to_saddle(scale_mm, fret - 1) - fret_to_saddle(scale_mm, fret);
}

// Frets 1 and 13 are an octave apart, so half the open length of a string capoed at 1 lies between them.
double scale_from_frets_1_and_13(double distance_mm) { return 2.0 * std::exp2(1.0 / 12.0) * distance_mm; }

double StringScale::open_length() const { return fret_to_saddle(scale_mm, first_fret); }

double StringScale::start_to_fret(double fret) const { return open_length() - speaking_length(fret); }

double StringScale::speaking_length(double fret) const { return fret_to_saddle(scale_mm, fret); }

std::vector<double> fret_table(const StringScale& string, int frets) {
  std::vector<double> table;
  for (int fret = string.first_fret + 1; fret <= frets; ++fret) table.push_back(string.start_to_fret(fret));
  return table;
}

double note_hertz(double note) { return 440.0 * std::exp2((note - 69.0) / 12.0); }

double cents_between(double hertz, double reference) { return 1200.0 * std::log2(hertz / reference); }

double ratio_of_cents(double cents) { return std::exp2(cents / 1200.0); }

}  // namespace stringline::model
