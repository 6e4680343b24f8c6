// The expression language once more, written from the manual alone and as plainly as it can be: it shares no code with the engine.
//
// Fractions of 128-bit integers, lengths in millimetres; intervals for what is not known; Kleene's tables, and after them every
// combination of the comparisons that are still open. Units are not checked: what is wrong never gets here.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

namespace naive {

__extension__ using Wide = __int128;

struct Fraction {
  Wide num = 0;
  Wide den = 1;
};
[[nodiscard]] Fraction fraction(Wide num, Wide den);
[[nodiscard]] Fraction operator+(Fraction a, Fraction b);
[[nodiscard]] Fraction operator-(Fraction a, Fraction b);
[[nodiscard]] Fraction operator*(Fraction a, Fraction b);
[[nodiscard]] Fraction operator/(Fraction a, Fraction b);
[[nodiscard]] bool operator<(Fraction a, Fraction b);
[[nodiscard]] inline bool operator==(Fraction a, Fraction b) { return !(a < b) && !(b < a); }
[[nodiscard]] inline double to_double(Fraction a) { return static_cast<double>(a.num) / static_cast<double>(a.den); }
[[nodiscard]] inline bool operator<=(Fraction a, Fraction b) { return !(b < a); }

// No end: nothing is known in that direction.
struct Span {
  std::optional<Fraction> lo;
  std::optional<Fraction> hi;
  [[nodiscard]] bool is_point() const { return lo && hi && *lo == *hi; }
};
[[nodiscard]] inline Span exactly(Fraction value) { return {value, value}; }

// A division by zero and the like: the rule's state is `error`.
struct Error : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// One of the three is used, as the expression's place has it.
struct Value {
  Span number;
  std::optional<bool> truth;
  std::optional<std::string> state;
};

struct Tree;
using TreePtr = std::shared_ptr<const Tree>;
struct Tree {
  std::string what;  // an operator, "number", "name", "call"
  std::string text;  // of a name or a call
  std::string member;
  Fraction number;
  bool bare = false;  // a number without a unit
  std::vector<TreePtr> parts;
};

[[nodiscard]] TreePtr parse(const std::string& text);

// A range: 6 .. 9 thou aim 7, 0 +- 2 mm, at least 1 mm.
struct Range {
  std::optional<Fraction> lo;
  std::optional<Fraction> hi;
  std::optional<Fraction> aim;

  bool operator==(const Range&) const = default;
};
[[nodiscard]] Range parse_range(const std::string& text);

// What an expression looks at.
class Bench {
 public:
  virtual ~Bench() = default;
  [[nodiscard]] virtual std::string axis_of(const std::string& reading) const = 0;  // empty: read once, or no reading
  [[nodiscard]] virtual std::vector<std::string> members(const std::string& axis) const = 0;
  [[nodiscard]] virtual bool is_state(const std::string& word) const = 0;  // a word that is only a word
  [[nodiscard]] virtual bool is_truth(const std::string& reading) const = 0;
  [[nodiscard]] virtual Value look(const std::string& name) const = 0;  // a reading, a member of one, a fact
  [[nodiscard]] virtual std::optional<std::string> verdict(const std::string& point) const = 0;  // nothing: not decided
  [[nodiscard]] virtual std::optional<Fraction> aim(const std::string& point) const = 0;
};

using Hand = std::map<std::string, std::string>;  // axis -> member
[[nodiscard]] Value evaluate(const TreePtr& tree, const Bench& bench, const Hand& hand = {});
[[nodiscard]] Span evaluate_number(const TreePtr& tree, const Bench& bench);

}  // namespace naive
