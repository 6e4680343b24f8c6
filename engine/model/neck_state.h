// From readings to the state of an instrument, and from the state to any other reading.
//
// Unknowns: a nut height for every string, a saddle height for every side or string, the neck's bend r and, where
// pickup gaps were read, each pickup's height. Every reading is a linear form of them (string_line.h). Of n readings:
//   - a reading is DETERMINED when its row lies in the row space of the rows read (QR, relative 1e-9); then its value
//     is that of weighted least squares, with weights 1/u^2, and u^2 = row . covariance . row
//   - else it lies in an interval: the extremes over all states that agree with the readings (each within 2u), with the
//     bounds that were read ("at least 1.2 mm", "contact") and with what instruments can be at all (`StateLimits`)
//   - a contradiction shows only where there are more readings than unknowns: a residual above 2 of its own u
// phi (rod_job.h) is no unknown but an interval. All is solved at its ends, and in the middle too where there are more
// readings than unknowns: without spare readings a value is a ratio of two linear forms of phi, extreme at the ends.
//
// Units: mm. Sources: textbook least squares; the check vectors are derived ones (tests/unit/model_neck_state_test.cc,
// which also holds a reading at the 12th, open, against one at the 17th with a capo). Limits: u is that of one reading,
// independent of the others; linear, so only while strings touch nothing but what holds them.
// Tested by tests/unit/model_neck_state_test.cc and tests/property/model_test.cc.
#pragma once

#include <compare>
#include <cstddef>
#include <optional>
#include <vector>

#include "engine/model/range.h"
#include "engine/model/rod_job.h"
#include "engine/model/string_line.h"

namespace stringline::model {

struct Unknown {
  enum class Kind { nut_height, saddle_height, neck_bend, pickup_height };
  Kind kind = Kind::neck_bend;
  int index = 0;  // which string, side or pickup, as the caller counts them; 0 for the neck

  friend auto operator<=>(const Unknown&, const Unknown&) = default;
};

struct StateTerm {
  Unknown unknown;
  PhiLinear coefficient;
};

// A linear form of an instrument's state, plus what is known already (the rises of frets).
struct StateRow {
  std::vector<StateTerm> terms;
  double known = 0.0;
};

// Which unknowns one string hangs on. A string between two sides whose saddle follows the radius has both:
// saddle = {{bass, 0.4}, {treble, 0.6}}, and `saddle_crown` mm above the line between them.
struct StringLinks {
  struct Share {
    int index = 0;
    double weight = 1.0;
  };
  int nut = 0;
  std::vector<Share> saddle;
  double saddle_crown = 0.0;
  int pickup = 0;
};

[[nodiscard]] StateRow state_row(const GapRow& row, const StringLinks& links, const std::vector<FretRise>& rises = {});

enum class ReadingSense {
  equals,    // 1.6 mm
  at_least,  // at least 1.2 mm
  at_most,   // at most 0.05 mm, or `contact`: at most what the tool tells apart
};

struct StateReading {
  StateRow row;
  double value = 0.0;
  double u = 0.0;  // standard uncertainty; 0 where none was stated
  ReadingSense sense = ReadingSense::equals;
};

// What instruments can be at all, in mm, for the interval of what is not determined. Common practice, no source: wide
// enough for a double bass's saddle and a classical guitar's nut.
struct StateLimits {
  Range nut_height{-0.5, 4.0};
  Range saddle_height{0.0, 30.0};
  Range neck_bend{-2.0, 4.0};
  Range pickup_height{-30.0, 30.0};
};

struct DeterminedValue {
  Range value;     // over phi; both ends alike where phi plays no part
  double u = 0.0;  // one sigma, the larger of the ends'; 0 where no reading states one
};

struct Contradiction {
  std::size_t reading = 0;  // index into the readings given
  double residual = 0.0;    // reading minus what the others and it agree on, at the phi that suits it best
  double u = 0.0;           // of that residual
};

class NeckState {
 public:
  NeckState(std::vector<StateReading> readings, Range phi, StateLimits limits = {});

  [[nodiscard]] bool determined(const StateRow& row) const;
  // Nothing where the row is not determined.
  [[nodiscard]] std::optional<DeterminedValue> value(const StateRow& row) const;
  // Where the reading may lie; nothing where no state agrees with what was read.
  [[nodiscard]] std::optional<Range> interval(const StateRow& row) const;
  // Whether `row` would be determined if `candidate` were read too.
  [[nodiscard]] bool would_determine(const StateRow& candidate, const StateRow& row) const;

  // Readings beyond what the unknowns need. At 0 there is nothing to check the readings against.
  [[nodiscard]] int redundancy() const;
  // Readings that stand out at every phi. All of them: which of several is the slip, the caller cannot know either.
  [[nodiscard]] std::vector<Contradiction> contradictions() const;

 private:
  // One least-squares solution, at one phi. Matrices are flat, one row after another, `unknowns` wide.
  struct Solution {
    double phi = 0.0;
    std::size_t rank = 0;
    std::vector<double> basis;       // rank x unknowns, orthonormal rows that span what was read
    std::vector<double> state;       // the state of least size among those that fit
    std::vector<double> covariance;  // unknowns x unknowns
    std::vector<Contradiction> outliers;
  };

  void collect(const StateRow& row);
  [[nodiscard]] std::optional<std::vector<double>> dense(const StateRow& row, double phi) const;
  [[nodiscard]] Solution solve(double phi) const;
  [[nodiscard]] static bool spans(const Solution& solution, const std::vector<double>& row);
  [[nodiscard]] std::optional<Range> interval_at(const StateRow& row, double phi) const;
  [[nodiscard]] Range limits_of(const Unknown& unknown) const;
  [[nodiscard]] std::vector<double> sampled_phi() const;

  std::vector<StateReading> readings_;
  Range phi_;
  StateLimits limits_;
  std::vector<Unknown> unknowns_;  // sorted; of every reading, bounds included
  std::size_t equalities_ = 0;
  std::vector<Solution> solutions_;
};

}  // namespace stringline::model
