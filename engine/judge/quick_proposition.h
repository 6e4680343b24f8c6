// A condition before it becomes a row of a table: everything but a choice is a count of parts, so that negation, "all", "any" and
// "at least three of" are one thing.
#pragma once

#include <cstdint>
#include <set>
#include <vector>

#include "engine/judge/quick_plan.h"

namespace stringline::quick {

struct Proposition {
  enum class Form : std::uint8_t {
    constant,
    window,   // the column lies from lo to hi
    verdict,  // is one of the mask's
    fold,     // from `least` to `most` of the parts are so
    choice,   // parts[0] picks parts[1] or parts[2]
  };
  Form form = Form::constant;
  std::uint8_t value = 1;
  Column column = 0;
  double lo = 0;
  double hi = 0;
  Slot at = 0;
  std::uint16_t mask = 0;
  std::vector<Proposition> parts;
  std::int32_t least = 0;
  std::int32_t most = 0;
  bool fragile = false;
  std::set<std::uint32_t> about;  // what an unknown one hangs on

  [[nodiscard]] static Proposition constant(std::uint8_t value);
  [[nodiscard]] static Proposition window(Column column, double lo, double hi, std::set<std::uint32_t> about);
  [[nodiscard]] static Proposition verdict(Slot verdict, std::uint16_t mask, std::uint32_t target);
  [[nodiscard]] static Proposition choice(Proposition condition, Proposition yes, Proposition no);
  // Each part stands for itself, whatever it shares with others: as a loop that counts, or instances of a rule.
  [[nodiscard]] static Proposition count(std::int32_t least, std::int32_t most, std::vector<Proposition> parts);
  [[nodiscard]] static Proposition at_least(std::int32_t least, std::vector<Proposition> parts);

  [[nodiscard]] std::set<std::uint32_t> mentions() const;
};

[[nodiscard]] Proposition operator!(Proposition a);
// Two limits of one number become one window. Where parts share what they hang on, an unknown whole is fragile.
[[nodiscard]] Proposition all_of(std::vector<Proposition> parts);
[[nodiscard]] Proposition any_of(std::vector<Proposition> parts);

}  // namespace stringline::quick
