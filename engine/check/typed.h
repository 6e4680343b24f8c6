// Expressions after check: every name resolved, every type known. Built once, read by judge and plan.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/syntax/expr.h"
#include "engine/text/span.h"
#include "engine/value/interval.h"
#include "engine/value/pitch.h"
#include "engine/value/quantity.h"

namespace stringline {

enum class Axis : std::uint8_t { side, string, fret, pickup };
inline constexpr std::size_t axis_count = 4;

using ReadingId = std::uint32_t;
using FactId = std::uint32_t;
using JobId = std::uint32_t;
using PointId = std::uint32_t;  // one reading at one place of its axes
using StateSetId = std::uint32_t;

enum class Kind : std::uint8_t {
  truth,   // humidity is within
  number,  // 0.20 mm, 3 cents, 12
  state,   // at_pitch
  pitch,   // E2
  tuning,  // [E4, B3, G3, D3, A2, E2]
  range,   // target(relief): only for texts
};

struct Type {
  Kind kind = Kind::number;
  Dimension dimension{};
  bool difference = false;  // of two temperatures
  StateSetId states = 0;    // Kind::state
};

// What an expression comes to, or a reading holds. A number may be an interval; a state, pitch or tuning may be unknown.
struct Value {
  Kind kind = Kind::number;
  Interval number;
  Unit unit = Unit::none;  // in which it is shown
  bool difference = false;
  Truth truth = Truth::unknown;
  std::optional<std::string> state;
  std::optional<std::vector<Pitch>> pitches;  // one for a pitch, several for a tuning
};

enum class Verdict : std::uint8_t {
  within,
  high,
  low,
  too_close,
  not_read,
  stale,
  void_,
  target_unknown,
  not_applicable,
};
[[nodiscard]] const char* to_text(Verdict verdict);

struct Typed;
using TypedPtr = std::shared_ptr<const Typed>;

// How a reference picks on each axis of its reading, in the order of the reading's axes.
struct AxisPick {
  Axis axis{};
  bool at_hand = false;                // the member the surrounding loop is at
  std::vector<std::uint16_t> members;  // else these
};
struct ReadingRef {
  ReadingId reading = 0;
  std::vector<AxisPick> picks;
};

namespace typed {
struct Constant {
  Value value;
};
struct Reading {
  ReadingRef ref;
};
struct VerdictIs {  // float is within
  ReadingRef ref;
  Verdict verdict;
  bool negated;
};
struct Fact {
  FactId fact;
};
struct AtHand {  // fret, string, side, pickup
  Axis axis;
};
struct StringSize {  // gauge, slot
  bool slot;
};
struct Travel {};
struct Total {};  // what deposits are counted from
struct Unary {
  UnaryOp op;
  TypedPtr operand;
};
struct Binary {
  BinaryOp op;
  TypedPtr left;
  TypedPtr right;
};
struct OneOf {
  TypedPtr value;
  std::vector<TypedPtr> items;
};
struct Conditional {
  TypedPtr condition;
  TypedPtr then_value;
  TypedPtr else_value;
};
enum class Fold : std::uint8_t { any, all, count, min, max, worst };
struct Loop {
  Axis axis;
  std::vector<std::uint16_t> members;
};
struct Aggregate {  // any(saddle_proud is low), max(groove)
  Fold fold;
  std::vector<Loop> loops;
  TypedPtr body;
};
struct Extreme {  // min(a, b), max(a, b)
  bool largest;
  std::vector<TypedPtr> arguments;
};
struct Absolute {
  TypedPtr operand;
};
struct Aim {
  ReadingRef ref;
};
struct Target {
  ReadingRef ref;
};
struct Change {
  ReadingRef ref;
};
}  // namespace typed

struct Typed {
  Span span;
  Type type;
  std::variant<typed::Constant, typed::Reading, typed::VerdictIs, typed::Fact, typed::AtHand, typed::StringSize,
               typed::Travel, typed::Total, typed::Unary, typed::Binary, typed::OneOf, typed::Conditional,
               typed::Aggregate, typed::Extreme, typed::Absolute, typed::Aim, typed::Target, typed::Change>
      node;
  std::uint64_t steps = 1;  // at most, to evaluate it (steps.h)
};

struct TypedRange {
  Span span;
  TypedPtr lo;
  TypedPtr hi;
  TypedPtr aim;
};

struct TypedText {
  Span span;
  struct Piece {
    std::string text;
    TypedPtr hole;
  };
  std::vector<Piece> pieces;
};

// One row of a table: which values of the selector it is for.
struct TypedRowKey {
  Span span;
  enum class Kind : std::uint8_t { state, truth, number, pitch, band, otherwise };
  Kind kind = Kind::otherwise;
  std::string state;
  bool truth = false;
  Ratio number;
  Pitch pitch;
  std::optional<Ratio> lo;  // band
  std::optional<Ratio> hi;
  bool lo_belongs = false;
  bool hi_belongs = true;
};

template <class Leaf>
struct TypedChoice;
template <class Leaf>
struct TypedTable {
  Span span;
  TypedPtr selector;
  std::vector<std::pair<TypedRowKey, TypedChoice<Leaf>>> rows;
};
template <class Leaf>
struct TypedChoice {
  Span span;
  std::variant<Leaf, std::shared_ptr<const TypedTable<Leaf>>> node;
};

}  // namespace stringline
