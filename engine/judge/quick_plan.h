// What QuickJudge runs: tables of tests, sorted so that each looks only at what earlier ones have found. No names, no trees.
// Built by make_quick_plan.cc, run by quick_plan.cc.
//
// A column is one number of the record, by point, and behind them one that is never read; then the derived that were worked out:
// largest, smallest, distance, sum. A truth is 0 no, 1 unknown, 2 yes, so that a fold only counts. "All of n" is a count of n,
// "any" one of 1 and more, "not all" one of n - 1 and less.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/check/program.h"

namespace stringline::quick {

using Column = std::uint16_t;
using Slot = std::uint16_t;  // of a truth, or of a verdict
inline constexpr Slot no_slot = std::numeric_limits<Slot>::max();
inline constexpr double endless = std::numeric_limits<double>::infinity();

// So many records are judged side by side, each row of a table for all of them at once, two in a register of the processor.
using Two = double __attribute__((vector_size(16)));
inline constexpr std::size_t lanes = 8;
struct Lanes {
  std::array<Two, lanes / 2> twos{};

  [[nodiscard]] double of(std::size_t lane) const { return twos[lane / 2][lane % 2]; }
  void set(std::size_t lane, double value) { twos[lane / 2][lane % 2] = value; }
  void fill(double value) { twos.fill(Two{value, value}); }
};

// How many of `n` must be so, from `least` to `most`. What stays unknown and is `fragile` is left to `judge()`, which tries every
// combination of what is not read: a part of it may be the opposite of another.
struct Fold {
  std::uint32_t first = 0;  // of its parts
  std::int32_t n = 0;
  std::int32_t least = 0;
  std::int32_t most = 0;
  bool fragile = false;
  Slot out = 0;
  std::uint16_t level = 0;
};

// Of numbers: each part is `lo <= column <= hi`.
struct Windows {
  std::vector<Column> column;
  std::vector<double> lo, hi;
};
// Of verdicts: each part is one of the verdicts in a mask.
struct Masks {
  std::vector<Slot> verdict;
  std::vector<std::uint16_t> mask;
};

struct Term {
  Column column = 0;
  double factor = 0;
};

struct Product {
  std::array<Column, 4> columns{};
  std::int32_t degree = 0;
  double factor = 0;  // for counts
  double weight = 0;  // for base units: bounds what `judge()` meets on its way
};

// A sum of columns, exact in counts; NaN where one of them is.
struct Sum {
  std::uint32_t first = 0, n = 0;  // of its terms
  double constant = 0;
  Column out = 0;
  std::uint16_t level = 0;
};

// A number known between two ends, worked out from others.
struct Derived {
  enum class Form : std::uint8_t { largest, smallest, distance, sum, chosen };
  Form form = Form::sum;
  Column out = 0;
  std::uint32_t first = 0, n = 0;  // of its terms
  double constant = 0;             // sum
  Slot condition = no_slot;        // chosen: the first of two terms where it is so
  std::uint16_t level = 0;
};

// A sum of products in base units, between ends as far apart as its rounding may be, twice over.
struct ProductSum {
  std::uint32_t first = 0, n = 0;
  double constant = 0;
  double denominators = 1;  // of its constants
  std::int32_t degree = 0;
  Column out = 0;
  std::uint16_t level = 0;
};

// Of what has two ends. Of a sum of products, what is not decided is left to `judge()`.
struct DerivedTest {
  Column column = 0;
  bool near = false;
  double lo = -endless, hi = endless;
  Slot out = 0;
  std::uint16_t level = 0;
};

// The condition's truth picks one of two.
struct Choice {
  Slot condition = 0, yes = 0, no = 0, out = 0;
  std::uint16_t level = 0;
};

// A number against its range. Low up to `low`, high from `high`, within from `from` to `to`, else too close to call.
struct Judged {
  Column column = 0;
  bool derived = false;
  bool near = false;
  bool has_range = true;
  double low = -endless, from = -endless, to = endless, high = endless;
  Slot when = no_slot;  // not applicable where it is not so
  Slot out = 0;
  std::uint16_t level = 0;
};

// By point: the tunings that conditions compare it with. A record holds the place of its own among them; -1: it is another.
using KnownTunings = std::map<Column, std::vector<std::vector<Pitch>>>;

struct Plan {
  bool looks_back = false;  // a condition asks how far a reading moved since an earlier visit
  KnownTunings tunings;

  Column columns = 0;      // of the record, with the one that is never read
  Column all_columns = 0;  // with the derived
  Slot truths = 0;
  Slot verdicts = 0;

  std::vector<std::uint8_t> plain;  // by column: known, or not at all

  Windows windows;
  Masks masks;
  std::vector<Slot> parts;  // of folds of truths
  std::vector<Term> terms;
  std::vector<Product> products;

  std::vector<Fold> window_folds, mask_folds, truth_folds;
  std::vector<Sum> sums;
  std::vector<ProductSum> product_sums;
  std::vector<Derived> derived;
  std::vector<DerivedTest> derived_tests;
  std::vector<Choice> choices;
  std::vector<Judged> judged;
  std::vector<std::pair<Slot, std::uint8_t>> constants;  // truths known beforehand
  std::vector<Slot> left_unless;                         // truths: a record without one of them is left to `judge()`

  // What of each table comes at a level, one after the other.
  struct Step {
    enum class Kind : std::uint8_t {
      judged,
      window_folds,
      mask_folds,
      truth_folds,
      sums,
      product_sums,
      derived,
      derived_tests,
      choices
    };
    Kind kind;
    std::uint32_t begin, end;
  };
  std::vector<Step> steps;

  std::vector<Slot> verdict_of, gate_of, stop_of, rule_of;  // where the answers are

  // What a run works with: of every column, truth and verdict as many numbers as there are lanes.
  std::vector<Lanes> counts, lo, hi;  // by column: of the plain ones, and of the others
  std::vector<Lanes> truth, verdict;
  Lanes doubt;  // above zero: left to `judge()`

  // Judges a record in every lane. `records` have `columns` numbers each, whole counts of 1/`parts` base units.
  void run(const std::array<const double*, lanes>& records, const Lanes& parts);
};

// The plan of a program without a log; nothing, and why not, when it says what no plan holds.
[[nodiscard]] std::optional<Plan> make_quick_plan(const Program& program, std::string& refused);

}  // namespace stringline::quick
