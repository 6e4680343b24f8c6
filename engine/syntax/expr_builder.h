// Builds the tree while the grammar reads: the actions of parse_expr.cc call one function here for each rule they see.
//
// Operands wait on a stack until their operator is complete. What is open (a parenthesis, `not`, a call) waits as a mark that
// remembers where it began; marks are counted, so nesting ends before recursion can run out of room.
// A value that has its shape but no meaning (`9 zork`) is reported at once and reading goes on with a stand-in; a text that
// does not follow the grammar ends the reading by throwing a Mistake, which parse_expr.cc catches.
#pragma once

#include <string_view>
#include <utility>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/explain.h"
#include "engine/syntax/expr.h"
#include "engine/syntax/node.h"

namespace stringline {

// A piece of the scalar's decoded text, in bytes.
struct Slice {
  std::size_t begin = 0;
  std::size_t end = 0;
};

class ExprBuilder {
 public:
  ExprBuilder(const Node& scalar, Diagnostics& out) : scalar_(scalar), out_(out) {}

  [[nodiscard]] std::string_view text() const { return scalar_.text; }
  [[nodiscard]] bool failed() const { return failed_; }
  // So many mistakes were told that the next would be let go: nothing more is worth reading.
  [[nodiscard]] bool enough() const { return out_.is_full(); }

  // ---- leaves
  void number_start(Slice at) { number_ = at.begin; }
  void magnitude(Slice at);
  void unit(Slice at) { unit_ = at; }
  void number();
  void pitch(Slice at);
  void truth(Slice at);
  void name(Slice at);
  void member(Slice at);

  // ---- operators, in the order in which their operands were read
  void binary(BinaryOp op);
  void open(Slice at);  // `(`, `not`, `-`, `if`, a function's name, `one of (`
  void unary(UnaryOp op);
  void parens(Slice at);
  void conditional();
  void call(Slice at);
  void one_of(Slice at);

  // ---- ranges
  enum class RangeShape : std::uint8_t { between, around, floor, ceiling };
  void range(RangeShape shape) { shape_ = shape; }
  void aim() { has_aim_ = true; }

  // ---- keys of rows
  void row(RowKey::Kind kind) { row_.kind = kind; }
  void row_hi();
  void row_lo();
  void row_member(Slice at);

  // ---- texts
  void literal(Slice at);
  void open_hole(Slice at);
  void close_hole();

  // ---- mistakes
  [[noreturn]] void refuse(Mistake mistake) const { throw mistake; }
  [[noreturn]] void unexpected(std::size_t at, std::string_view wanted, Place place) const;
  // `message` and `hint` with {0} as written and {1} as the language would write it; from the number's first digit or not.
  [[noreturn]] void refuse(Code code, std::string_view message, std::string_view hint, Slice at,
                           bool from_number) const;
  // Unless what came right before it was reported already, and this is only its consequence.
  void report_end(const Mistake& mistake);

  // ---- results, once the whole scalar was read
  [[nodiscard]] ExprPtr take_expression() { return pop().expr; }
  [[nodiscard]] RangeExpr take_range();
  [[nodiscard]] RowKey take_row();
  [[nodiscard]] TextExpr take_text() { return {scalar_.span, std::move(pieces_)}; }

  // Nothing in [begin, end) may be longer than an expression can be.
  void limit_length(Slice at) const;
  [[noreturn]] void refuse_glued_unit(std::string_view message, std::string_view hint, Slice word) const;

 private:
  struct Item {
    std::shared_ptr<Expr> expr;  // nobody else's yet: parentheses may widen its span
    Slice at;
    std::size_t depth = 1;
  };
  struct Mark {
    Slice at;
    std::size_t items = 0;  // on the stack when it was opened
  };

  void push(decltype(Expr::node) node, Slice at, std::size_t depth);
  Item pop();
  Mark close();
  std::vector<ExprPtr> pop_list(std::size_t first, std::size_t& depth);
  void report(const Mistake& mistake);
  [[nodiscard]] Span span(Slice at) const { return scalar_.embedded.span(at.begin, at.end); }
  [[nodiscard]] std::string_view part(Slice at) const { return text().substr(at.begin, at.end - at.begin); }

  [[nodiscard]] Quantity read_quantity(Slice whole);
  [[nodiscard]] Quantity convert(Ratio value, Unit unit, Slice whole);
  [[nodiscard]] std::shared_ptr<Expr> adopt(const Item& item, Unit unit);
  [[nodiscard]] std::pair<ExprPtr, ExprPtr> around(const Item& centre, const Item& half);
  void share_unit(std::vector<Item>& limits);

  const Node& scalar_;
  Diagnostics& out_;
  std::vector<Item> stack_;
  std::vector<Mark> marks_;
  std::size_t number_ = 0;
  Slice magnitude_;
  Slice unit_;
  RangeShape shape_ = RangeShape::between;
  bool has_aim_ = false;
  RowKey row_;
  std::vector<TextPiece> pieces_;
  bool failed_ = false;
  std::size_t reported_to_ = 0;
};

}  // namespace stringline
