// Generated expressions: printing and parsing are inverse, every node knows its text, and no text of any kind is lost:
// it gives a tree or at least one error, never both and never neither.
#include <catch2/catch.hpp>

#include <array>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "engine/syntax/parse_expr.h"
#include "engine/text/limits.h"
#include "tests/support/scalar.h"

namespace stringline::test {
namespace {

constexpr std::uint32_t seed = 20'260'731;

class Generator {
 public:
  explicit Generator(std::uint32_t start) : random_(start) {}

  std::size_t below(std::size_t count) { return random_() % count; }

  ExprPtr expression(int depth) {
    if (depth == 0) return leaf();
    switch (below(8)) {
      case 0: return unary(depth);
      case 1: return make(Conditional{expression(depth - 1), expression(depth - 1), expression(depth - 1)});
      case 2: return make(OneOf{expression(depth - 1), list(depth, 1)});
      case 3: return make(Call{pick(functions), {}, list(depth, 0)});
      case 4: return leaf();
      default: return binary(depth);
    }
  }

  // A text with up to three pieces taken out, doubled or put in.
  std::string mutate(std::string text) {
    for (std::size_t round = 1 + below(3); round > 0; --round) {
      const std::size_t at = below(text.size() + 1);
      switch (below(4)) {
        case 0: text.erase(at, 1 + below(4)); break;
        case 1: {
          const std::size_t from = below(text.size() + 1);
          text.insert(at, text.substr(from, below(8)));
          break;
        }
        case 2: text.insert(at, pick(scraps)); break;
        default: text.insert(at, 1, static_cast<char>(below(256))); break;
      }
    }
    return text;
  }

 private:
  template <typename Node>
  ExprPtr make(Node node) {
    return std::make_shared<const Expr>(Expr{{}, std::move(node)});
  }

  ExprPtr unary(int depth) {
    return make(Unary{below(2) == 0 ? UnaryOp::negate : UnaryOp::logical_not, expression(depth - 1)});
  }

  ExprPtr binary(int depth) {
    const auto op = static_cast<BinaryOp>(below(static_cast<std::size_t>(BinaryOp::divide) + 1));
    return make(Binary{op, expression(depth - 1), expression(depth - 1)});
  }

  std::vector<ExprPtr> list(int depth, std::size_t least) {
    std::vector<ExprPtr> items;
    for (std::size_t count = least + below(3); count > 0; --count) items.push_back(expression(depth - 1));
    return items;
  }

  ExprPtr leaf() {
    switch (below(6)) {
      case 0: return make(TruthLiteral{below(2) == 0});
      case 1: return make(PitchLiteral{*parse_pitch(pick(pitches))});
      case 2:
      case 3: return number();
      default: return name();
    }
  }

  // Half of them without the text they were written with, so that printing has to find one.
  ExprPtr number() {
    if (below(2) == 0) {
      Diagnostics out;
      return make(*parse_number(scalar(pick(numbers)), out));
    }
    const Unit unit = all_units()[below(all_units().size())].unit;
    const auto count = static_cast<std::int64_t>(below(4'000)) - 1'000;
    const auto parts = static_cast<std::int64_t>(std::array{1, 2, 64, 1'000}[below(4)]);
    return make(Number{*make_quantity(*Ratio::make(count, parts), unit), {}});
  }

  ExprPtr name() {
    Name name{pick(names), {}, {}};
    for (std::size_t count = below(3); count > 0; --count) name.members.emplace_back(pick(members));
    return make(std::move(name));
  }

  template <std::size_t Size>
  const char* pick(const std::array<const char*, Size>& from) {
    return from[below(Size)];
  }

  static constexpr std::array names{"relief", "action", "nut_gap", "x", "up", "to", "least", "iffy", "notch", "e2"};
  static constexpr std::array members{"bass", "treble", "4a", "2", "E2", "Bb3", "1..4", "wound", "over"};
  static constexpr std::array functions{"aim", "max", "any", "first_stopped", "f"};
  static constexpr std::array pitches{"E2", "Bb3", "F#4", "C0", "G9"};
  static constexpr std::array numbers{"7",    "-3 cents",  "3.5/64 in", "25 1/2 in", "1/8 turns", "51 %RH",
                                      "25%",  "0.25 mm",   "-40 degF",  "-3 degC",   "85.00",     "-1 1/2 in",
                                      "0 mm", "1/3 turns", "2.5 Hz",    "90 min",    "14 d",      "9 thou"};
  static constexpr std::array scraps{
      " over ", " is not ", "(",  ")",     " one of (", "if ", " then ",    " else ",       " and ",
      "not ",   "..",       "+-", "--",    "/",         " / ", ".5",        "1/",           "007",
      " at ",   "{",        "}",  ",",     "\"",        "%",   " up to ",   "by ",          "from ",
      " aim ",  "E2",       "\n", "9thou", "\xC2\xB1",  "&&",  "1-1/64 in", "\xE2\x89\xA4", " otherwise"};

  std::mt19937 random_;
};

// The tree with the value of each number instead of its writing: what equality must not see is gone.
std::string by_value(const Expr& expr) {
  if (const auto* number = std::get_if<Number>(&expr.node)) {
    return to_decimal(number->quantity.value) + " unit " + std::string(info(number->quantity.unit).written);
  }
  std::string text = std::to_string(expr.node.index()) + ":" + head(expr);
  for (const ExprPtr& part : parts(expr)) text.append(" [").append(by_value(*part)).append("]");
  return text;
}

// Each node's text, read alone, is the same node; parts stand inside their whole, in order, and do not overlap.
void check_spans(const Expr& expr, const std::string& text) {
  const std::string own = slice(text, expr.span);
  Diagnostics out;
  const ExprPtr alone = parse_expression(scalar(own), out);
  INFO(own);
  REQUIRE(alone);
  CHECK(same(*alone, expr));
  CHECK(slice(own, alone->span) == own);
  std::uint32_t from = expr.span.begin;
  for (const ExprPtr& part : parts(expr)) {
    CHECK(part->span.begin >= from);
    CHECK(part->span.end <= expr.span.end);
    from = part->span.end;
    check_spans(*part, text);
  }
}

// Exactly one of a result and an error; errors point into the text.
template <typename Parse>
void check_never_lost(Parse parse, const std::string& text) {
  Diagnostics out;
  const bool parsed = static_cast<bool>(parse(scalar(text), out));
  if (parsed == out.has_errors()) FAIL("neither or both of a result and an error for: " << text);
  for (const Diagnostic& diagnostic : out.list()) {
    const bool inside = diagnostic.span.begin <= diagnostic.span.end && diagnostic.span.end <= text.size();
    if (!inside || diagnostic.message.empty()) FAIL("a report without place or words for: " << text);
  }
}

}  // namespace

TEST_CASE("a printed expression is read as the same expression") {
  Generator generator(seed);
  int compared = 0;
  for (int round = 0; compared < 5'000; ++round) {
    const ExprPtr expr = generator.expression(1 + round % 5);
    const std::string text = to_text(*expr);
    INFO("seed " << seed << ", round " << round << ": " << text);
    if (text.size() > limits::usual.expression_bytes) continue;
    ++compared;
    Diagnostics out;
    const ExprPtr again = parse_expression(scalar(text), out);
    INFO(dump(out, text));
    REQUIRE(again);
    REQUIRE(same(*expr, *again));
    REQUIRE(to_text(*again) == text);
  }
}

TEST_CASE("two generated expressions are the same exactly when they read the same, however their numbers are written") {
  Generator generator(seed + 1);
  int alike = 0;
  for (int round = 0; round < 4'000; ++round) {
    const ExprPtr a = generator.expression(round % 2);
    const ExprPtr b = generator.expression(round % 2);
    INFO("seed " << seed + 1 << ", round " << round << ": " << to_text(*a) << " | " << to_text(*b));
    CHECK(same(*a, *b) == (by_value(*a) == by_value(*b)));
    CHECK(same(*a, *a));
    alike += same(*a, *b) ? 1 : 0;
  }
  CHECK(alike > 20);
}

TEST_CASE("every node of a generated expression covers exactly its text") {
  Generator generator(seed + 2);
  for (int round = 0; round < 300; ++round) {
    const std::string text = to_text(*generator.expression(1 + round % 3));
    INFO("seed " << seed + 2 << ", round " << round << ": " << text);
    Diagnostics out;
    const ExprPtr expr = parse_expression(scalar(text), out);
    REQUIRE(expr);
    check_spans(*expr, text);
  }
}

TEST_CASE("a mutated text gives a tree or an error, never neither") {
  Generator generator(seed + 3);
  INFO("seed " << seed + 3);
  for (int round = 0; round < 20'000; ++round) {
    const std::string text = generator.mutate(to_text(*generator.expression(1 + round % 3)));
    switch (round % 6) {
      case 0:
        check_never_lost([](const Node& n, Diagnostics& out) { return parse_range(n, out).has_value(); }, text);
        break;
      case 1:
        check_never_lost([](const Node& n, Diagnostics& out) { return parse_row_key(n, out).has_value(); }, text);
        break;
      case 2:
        check_never_lost([](const Node& n, Diagnostics& out) { return parse_text(n, out).has_value(); }, text);
        break;
      case 3:
        check_never_lost([](const Node& n, Diagnostics& out) { return parse_number(n, out).has_value(); }, text);
        break;
      case 4: check_never_lost(parse_table_key, "by " + text); break;
      default: check_never_lost(parse_expression, text); break;
    }
    check_never_lost(parse_expression, text);
  }
  SUCCEED();
}

TEST_CASE("a mutated range or row that is read prints to one that is read alike") {
  Generator generator(seed + 4);
  constexpr std::array starts{"6 .. 9 thou aim 7", "0 +- 2 cents", "at least 0.8 mm", "at most fret_min + 0.05 mm"};
  int read = 0;
  for (int round = 0; round < 4'000; ++round) {
    const std::string text = generator.mutate(starts[generator.below(starts.size())]);
    Diagnostics out;
    const auto range = parse_range(scalar(text), out);
    INFO("seed " << seed + 4 << ", round " << round << ": " << text);
    CHECK(range.has_value() != out.has_errors());
    if (!range) continue;
    ++read;
    Diagnostics again_out;
    const auto again = parse_range(scalar(to_text(*range)), again_out);
    INFO(to_text(*range) << "\n" << dump(again_out, to_text(*range)));
    REQUIRE(again);
    CHECK(to_text(*again) == to_text(*range));
  }
  CHECK(read > 100);
}

}  // namespace stringline::test
