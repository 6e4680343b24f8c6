// Where frets lie, and the pitches they stand for.
//
//   x_n = 1 - 2^(-n/12)      place of fret n as a share of the scale, from the nut (0) to the saddle (1)
//   X_n = X0 * 2^(-n/12)     saddle to fret n, mm
//   f_m = 440 * 2^((m - 69)/12)   Hz of note m, A4 = 69 (ISO 16:1975);   c = 1200 log2(f/f_ref) cents
//
// Units: mm, Hz, cents. Sources: G. Byers, "Intonation" (summary of American Lutherie 47); Anderson & Beausoleil 2024,
// 12-TET equation; the CRC Handbook's table of musical scales for the pitches.
// Limits: equal temperament only. The nominal scale is meant, without any setback of nut or saddle.
// Tested by tests/unit/model_frets_test.cc.
#pragma once

#include <vector>

namespace stringline::model {

// Share of the scale between the nut and fret `fret`; 0 for the nut. A body joint may lie between frets: 15.5 is legal.
[[nodiscard]] double fret_share(double fret);
// The way back: which fret (a real number) lies at `share` of the scale; share below 1.
[[nodiscard]] double fret_at_share(double share);

[[nodiscard]] double nut_to_fret(double scale_mm, double fret);
[[nodiscard]] double fret_to_saddle(double scale_mm, double fret);
[[nodiscard]] double fret_spacing(double scale_mm, int fret);  // from the fret before to `fret`
[[nodiscard]] double scale_from_frets_1_and_13(double distance_mm);

// One string on its own scale. With fanned frets every string has its own `scale_mm`; the shares stay the same. A short
// string (a banjo's drone that starts at the fifth fret) keeps the numbers of the neck's frets: `first_fret` is 5.
struct StringScale {
  double scale_mm = 0.0;  // of a string from the nut line, even where this one starts later
  int first_fret = 0;     // 0: starts at the nut

  [[nodiscard]] double open_length() const;                                     // speaking length of the open string
  [[nodiscard]] double start_to_fret(double fret) const;                        // from its own nut or pip
  [[nodiscard]] double speaking_length(double fret) const;                      // fret to saddle
  [[nodiscard]] int semitones_at(int fret) const { return fret - first_fret; }  // above its own open note
};

// Distances from the string's own start to the frets after it, up to `frets`; empty where the string starts beyond.
[[nodiscard]] std::vector<double> fret_table(const StringScale& string, int frets);

[[nodiscard]] double note_hertz(double note);  // A4 = 69 is 440 Hz
[[nodiscard]] double cents_between(double hertz, double reference);
[[nodiscard]] double ratio_of_cents(double cents);

}  // namespace stringline::model
