// Expressions, ranges, table row keys and texts, as their author wrote them. Meaning is added by check, in new data.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "engine/text/span.h"
#include "engine/value/pitch.h"
#include "engine/value/quantity.h"

namespace stringline {

struct Expr;
using ExprPtr = std::shared_ptr<const Expr>;  // shared by layers, never changed

enum class BinaryOp : std::uint8_t {
  logical_or,   // a or b
  logical_and,  // a and b
  over,         // a over b      a > b
  under,        // a under b     a < b
  at_least,     // a at least b  a >= b
  at_most,      // a at most b   a <= b
  is,           // a is b        a = b
  is_not,       // a is not b    a != b
  add,          // a + b
  subtract,     // a - b
  multiply,     // a * b
  divide,       // a / b
};

enum class UnaryOp : std::uint8_t {
  negate,       // -a
  logical_not,  // not a
};

struct Number {
  Quantity quantity;
  std::string written;  // "3.5/64 in"
};
struct PitchLiteral {
  Pitch pitch;
};
struct TruthLiteral {
  bool value = false;
};
// relief, action.bass, pickup_gap.neck.treble, nut_gap.4a, octave_error.E2
struct Name {
  std::string name;
  std::vector<std::string> members;
  std::vector<Span> member_spans;
};
struct Unary {
  UnaryOp op;
  ExprPtr operand;
};
struct Binary {
  BinaryOp op;
  ExprPtr left;
  ExprPtr right;
};
// style one of (slide, heavy)
struct OneOf {
  ExprPtr value;
  std::vector<ExprPtr> items;
};
// if c then a else b
struct Conditional {
  ExprPtr condition;
  ExprPtr then_value;
  ExprPtr else_value;
};
// aim(action.treble), max(groove), any(saddle_proud is low)
struct Call {
  std::string name;
  Span name_span;
  std::vector<ExprPtr> arguments;
};

struct Expr {
  Span span;
  std::variant<Number, PitchLiteral, TruthLiteral, Name, Unary, Binary, OneOf, Conditional, Call> node;
};

// 6 .. 9 thou | 0 +- 2 cents | at least V | at most V, each with an optional aim. A bare number took the range's unit.
struct RangeExpr {
  Span span;
  ExprPtr lo;  // null: one-sided
  ExprPtr hi;
  ExprPtr aim;  // null unless written (or the centre of +-)
};

// The key of a table's row.
struct RowKey {
  Span span;
  enum class Kind : std::uint8_t {
    member,     // tapping      8
    band,       // up to A | over A up to B | over A
    from,       // from A: its lower end belongs to it; it ends where the next one begins
    otherwise,  // otherwise
  };
  Kind kind = Kind::member;
  std::string member;  // also true, false, a number or a pitch, as written
  ExprPtr lo;          // over A, from A
  ExprPtr hi;          // up to B
};

// "fret {fret} stands {fret_rise} proud"
struct TextPiece {
  std::string text;  // literal when `hole` is null
  ExprPtr hole;
};
struct TextExpr {
  Span span;
  std::vector<TextPiece> pieces;
};

// "over", "is not", "+": as the language writes it.
[[nodiscard]] std::string_view word(BinaryOp op);

// As the language would write it, fully parenthesised only where precedence asks for it; parsing it again gives an equal tree.
[[nodiscard]] std::string to_text(const Expr& expr);
[[nodiscard]] std::string to_text(const RangeExpr& range);
// Equal in structure; spans do not count.
[[nodiscard]] bool same(const Expr& a, const Expr& b);

}  // namespace stringline
