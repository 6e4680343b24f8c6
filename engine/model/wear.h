// How much fret is left, and which work that calls for.
//
//   remaining = crown - groove - level allowance        mm, for every fret
//
// polish        no groove worth levelling
// spot level    a few high frets, and hardly a groove elsewhere
// full level    grooves to level out, and enough left on every fret
// part refret   a few frets would be left under the minimum
// full refret   more than a few would; or the board itself is uneven; or the frets have been levelled often enough
//
// Source: common practice; shops agree on the rule and differ on its numbers, so every number is a threshold of the
// house. Limits: says nothing of lifted frets that can be seated, or of fret material.
// Tested by tests/unit/model_wear_test.cc.
#pragma once

#include <optional>
#include <vector>

namespace stringline::model {

struct FretWear {
  int fret = 0;
  double crown_mm = 0.0;   // height beside the groove
  double groove_mm = 0.0;  // depth of the deepest groove
  double rise_mm = 0.0;    // how far it rocks above its neighbours
};

// The defaults are common practice, no source, except that makers' and shops' texts agree on the rule itself.
struct WearThresholds {
  double minimum_left_mm = 0.80;
  double level_allowance_mm = 0.05;
  double polish_groove_mm = 0.03;   // below: polish alone
  double level_groove_mm = 0.05;    // from here: level
  double deepest_groove_mm = 0.25;  // over this a level would take too much: the fret counts as used up
  double high_fret_mm = 0.04;       // over this a fret is high
  int most_high_frets = 3;          // for a spot level
  int most_replaced = 5;            // for a part refret
  int most_levels = 2;              // a board levelled this often is due for new frets rather than another level
};

enum class FretWork { none, polish, spot_level, full_level, part_refret, full_refret };

struct WearReason {
  enum class Kind {
    groove_small,     // value: groove; limit: level_groove
    groove_deep,      // value: groove; limit: level_groove, or deepest_groove where that is passed
    left_too_little,  // value: remaining; limit: minimum_left
    left_enough,      // value: least remaining of all; limit: minimum_left
    fret_high,        // value: rise; limit: high_fret
    too_many_high,    // value: how many; limit: most_high_frets
    too_many_spent,   // value: how many; limit: most_replaced
    board_uneven,
    levelled_often,  // value: how often; limit: most_levels
  };
  Kind kind = Kind::groove_small;
  int fret = 0;  // 0: about all of them
  double value = 0.0;
  double limit = 0.0;
};

struct WearDecision {
  FretWork work = FretWork::none;
  std::vector<int> frets;            // what a spot level or part refret is about; else empty
  std::vector<WearReason> reasons;   // those that decided, in the order of the frets
  std::optional<double> least_left;  // nothing where no fret was read
};

struct BoardHistory {
  bool board_uneven = false;  // a straightedge on the board and one on the frets disagree
  int levels_before = 0;
};

[[nodiscard]] double remaining(const FretWear& fret, const WearThresholds& thresholds);
[[nodiscard]] WearDecision decide_fret_work(const std::vector<FretWear>& frets, const BoardHistory& history,
                                            const WearThresholds& thresholds);

}  // namespace stringline::model
