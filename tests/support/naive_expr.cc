#include "tests/support/naive_expr.h"

#include <algorithm>
#include <cctype>
#include <utility>

namespace naive {

Fraction fraction(Wide num, Wide den) {
  if (den == 0) throw Error("a division by zero");
  Wide a = num < 0 ? -num : num;
  Wide b = den < 0 ? -den : den;
  while (b != 0) {
    const Wide rest = a % b;
    a = b;
    b = rest;
  }
  if (den < 0) a = -a;
  return a == 0 ? Fraction{0, 1} : Fraction{num / a, den / a};
}
Fraction operator+(Fraction a, Fraction b) { return fraction(a.num * b.den + b.num * a.den, a.den * b.den); }
Fraction operator-(Fraction a, Fraction b) { return fraction(a.num * b.den - b.num * a.den, a.den * b.den); }
Fraction operator*(Fraction a, Fraction b) { return fraction(a.num * b.num, a.den * b.den); }
Fraction operator/(Fraction a, Fraction b) { return fraction(a.num * b.den, a.den * b.num); }
bool operator<(Fraction a, Fraction b) { return a.num * b.den < b.num * a.den; }

namespace {

// ---- reading ------------------------------------------------------------------------------------------------------------------

class Parser {
 public:
  explicit Parser(const std::string& text) : text_(text) {}

  TreePtr whole() {
    TreePtr tree = any_expression();
    blanks();
    if (at_ != text_.size()) throw std::logic_error("the rest can not be read: " + text_.substr(at_));
    return tree;
  }

  Range range() {
    Range range;
    TreePtr aim;
    std::vector<TreePtr> ends;
    bool around = false;
    if (take("at least")) {
      ends = {sum(), nullptr};
    } else if (take("at most")) {
      ends = {nullptr, sum()};
    } else {
      ends.push_back(sum());
      around = take("+-");
      if (!around && !take("..")) throw std::logic_error("no range: " + text_);
      ends.push_back(sum());
    }
    const Fraction unit = unit_;
    if (take("aim")) aim = sum();
    const auto number = [&](const TreePtr& tree) -> std::optional<Fraction> {
      if (!tree) return std::nullopt;
      return tree->bare ? tree->number * unit : tree->number;
    };
    range = {number(ends[0]), number(ends[1]), number(aim)};
    if (around) range = {*number(ends[0]) - *number(ends[1]), *number(ends[0]) + *number(ends[1]), range.aim};
    if (!range.aim && range.lo && range.hi) range.aim = (*range.lo + *range.hi) / Fraction{2, 1};
    return range;
  }

 private:
  static TreePtr make(const std::string& what, std::vector<TreePtr> parts) {
    auto tree = std::make_shared<Tree>();
    tree->what = what;
    tree->parts = std::move(parts);
    return tree;
  }

  void blanks() {
    while (at_ < text_.size() && text_[at_] == ' ') ++at_;
  }
  static bool in_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }
  // The words or the sign `what`, if they come next.
  bool take(const std::string& what) {
    blanks();
    if (text_.compare(at_, what.size(), what) != 0) return false;
    const std::size_t after = at_ + what.size();
    if (in_word(what.back()) && after < text_.size() && in_word(text_[after])) return false;
    at_ = after;
    return true;
  }
  void want(const std::string& what) {
    if (!take(what)) throw std::logic_error("wanted '" + what + "' at: " + text_.substr(at_));
  }
  std::string word() {
    blanks();
    const std::size_t from = at_;
    while (at_ < text_.size() && in_word(text_[at_])) ++at_;
    return text_.substr(from, at_ - from);
  }

  TreePtr any_expression() {
    if (!take("if")) return either();
    TreePtr condition = any_expression();
    want("then");
    TreePtr yes = any_expression();
    want("else");
    return make("if", {condition, yes, any_expression()});
  }
  TreePtr either() {
    TreePtr left = both();
    while (take("or")) left = make("or", {left, both()});
    return left;
  }
  TreePtr both() {
    TreePtr left = denied();
    while (take("and")) left = make("and", {left, denied()});
    return left;
  }
  TreePtr denied() {
    if (take("not")) return make("not", {denied()});
    return comparison();
  }
  // `at most` is not `over`, `at least` is not `under`, `is not` is not `is`.
  TreePtr comparison() {
    TreePtr left = sum();
    if (take("over")) return make("over", {left, sum()});
    if (take("under")) return make("under", {left, sum()});
    if (take("at least") || take(">=")) return make("not", {make("under", {left, sum()})});
    if (take("at most") || take("<=")) return make("not", {make("over", {left, sum()})});
    if (take(">")) return make("over", {left, sum()});
    if (take("<")) return make("under", {left, sum()});
    if (take("is not") || take("!=")) return make("not", {make("is", {left, sum()})});
    if (take("is") || take("==") || take("=")) return make("is", {left, sum()});
    if (!take("one of")) return left;
    std::vector<TreePtr> parts{left};
    want("(");
    do parts.push_back(sum());
    while (take(","));
    want(")");
    return make("one of", parts);
  }
  TreePtr sum() {
    TreePtr left = product();
    while (true) {
      if (take("+-")) {
        at_ -= 2;
        return left;
      }
      if (take("+")) {
        left = make("+", {left, product()});
      } else if (take("-")) {
        left = make("-", {left, product()});
      } else {
        return left;
      }
    }
  }
  TreePtr product() {
    TreePtr left = negative();
    while (true) {
      if (take("*")) {
        left = make("*", {left, negative()});
      } else if (take("/")) {
        left = make("/", {left, negative()});
      } else {
        return left;
      }
    }
  }
  TreePtr negative() {
    if (take("-")) return make("negative", {negative()});
    return simple();
  }
  TreePtr simple() {
    if (take("(")) {
      TreePtr inside = any_expression();
      want(")");
      return inside;
    }
    blanks();
    if (at_ < text_.size() && std::isdigit(static_cast<unsigned char>(text_[at_])) != 0) return number();
    auto tree = std::make_shared<Tree>();
    tree->what = "name";
    tree->text = word();
    if (tree->text.empty()) throw std::logic_error("nothing to read at: " + text_.substr(at_));
    if (at_ < text_.size() && text_[at_] == '.' && text_.compare(at_, 2, "..") != 0) {
      ++at_;
      tree->member = word();
      return tree;
    }
    if (at_ >= text_.size() || text_[at_] != '(') return tree;
    want("(");
    tree->what = "call";
    do tree->parts.push_back(any_expression());
    while (take(","));
    want(")");
    return tree;
  }

  Fraction decimal() {
    Fraction value;
    while (at_ < text_.size() && std::isdigit(static_cast<unsigned char>(text_[at_])) != 0) digit(value);
    if (at_ + 1 >= text_.size() || text_[at_] != '.' || std::isdigit(static_cast<unsigned char>(text_[at_ + 1])) == 0)
      return value;
    ++at_;
    Fraction after;
    Wide scale = 1;
    while (at_ < text_.size() && std::isdigit(static_cast<unsigned char>(text_[at_])) != 0) {
      digit(after);
      scale *= 10;
    }
    return value + fraction(after.num, scale);
  }
  void digit(Fraction& value) { value.num = value.num * 10 + (text_[at_++] - '0'); }
  TreePtr number() {
    auto tree = std::make_shared<Tree>();
    tree->what = "number";
    tree->number = decimal();
    if (at_ < text_.size() && text_[at_] == '/') {
      ++at_;
      tree->number = tree->number / decimal();
    }
    if (take("mm")) {
      unit_ = {1, 1};
    } else if (take("thou")) {
      unit_ = fraction(254, 10000);
    } else if (take("in")) {
      unit_ = fraction(254, 10);
    } else if (take("cents")) {  // never beside a length
      unit_ = {1, 1};
    } else {
      tree->bare = true;
      return tree;
    }
    tree->number = tree->number * unit_;
    return tree;
  }

  std::string text_;
  std::size_t at_ = 0;
  Fraction unit_{1, 1};  // of the last number that had one
};

// ---- working out ----------------------------------------------------------------------------------------------------------------

std::optional<bool> kleene_not(std::optional<bool> a) { return a ? std::optional<bool>(!*a) : a; }
std::optional<bool> kleene_and(std::optional<bool> a, std::optional<bool> b) {
  if ((a && !*a) || (b && !*b)) return false;
  return a && b ? std::optional<bool>(true) : std::nullopt;
}
std::optional<bool> kleene_or(std::optional<bool> a, std::optional<bool> b) {
  return kleene_not(kleene_and(kleene_not(a), kleene_not(b)));
}

std::optional<Fraction> both_ends(std::optional<Fraction> a, std::optional<Fraction> b,
                                  Fraction (*work)(Fraction, Fraction)) {
  return a && b ? std::optional<Fraction>(work(*a, *b)) : std::nullopt;
}
Fraction larger(Fraction a, Fraction b) { return a < b ? b : a; }
Fraction smaller(Fraction a, Fraction b) { return a < b ? a : b; }

Span negative(Span a) {
  const auto turned = [](std::optional<Fraction> x) {
    return x ? std::optional<Fraction>(Fraction{-x->num, x->den}) : x;
  };
  return {turned(a.hi), turned(a.lo)};
}
// The largest of two: one that is known to be large is enough for the lower end.
Span largest(Span a, Span b) {
  Span both;
  both.lo = !a.lo ? b.lo : !b.lo ? a.lo : larger(*a.lo, *b.lo);
  both.hi = both_ends(a.hi, b.hi, larger);
  return both;
}
Span hull(Span a, Span b) { return {both_ends(a.lo, b.lo, smaller), both_ends(a.hi, b.hi, larger)}; }

// Times a number that is known.
Span scaled(Span a, Fraction by) {
  if (by == Fraction{}) return exactly({});
  if (by < Fraction{}) return negative(scaled(a, {-by.num, by.den}));
  const auto times = [&](std::optional<Fraction> x) { return x ? std::optional<Fraction>(*x * by) : x; };
  return {times(a.lo), times(a.hi)};
}

class Work {
 public:
  explicit Work(const Bench& bench) : bench_(bench) {}

  Value whole(const TreePtr& tree, const Hand& hand) {
    open_.clear();
    Value value;
    std::optional<Error> wrong;
    try {
      value = evaluate(tree, hand);
    } catch (const Error& error) {
      wrong = error;
    }
    constexpr std::size_t most = 12;
    if (!value.truth && !open_.empty() && open_.size() <= most) {
      const auto decided = in_every_combination(tree, hand);
      if (decided) wrong.reset();
      value.truth = decided;
    }
    if (wrong) throw Error(*wrong);
    return value;
  }

  // Inside a number Kleene's tables are all.
  Span number_of(const TreePtr& tree, const Hand& hand) {
    const InNumber here(in_number_);
    return evaluate(tree, hand).number;
  }

 private:
  struct InNumber {
    explicit InNumber(int& count) : count_(count) { ++count_; }
    InNumber(const InNumber&) = delete;
    InNumber& operator=(const InNumber&) = delete;
    ~InNumber() { --count_; }
    int& count_;
  };

  // Every combination of what is open: decided when all agree, and nothing is wrong in any.
  std::optional<bool> in_every_combination(const TreePtr& tree, const Hand& hand) {
    const std::vector<std::string> open(open_.begin(), open_.end());
    std::set<bool> seen;
    for (unsigned combination = 0; combination < (1U << open.size()); ++combination) {
      for (std::size_t i = 0; i < open.size(); ++i) supposed_[open[i]] = ((combination >> i) & 1U) != 0;
      try {
        const auto truth = evaluate(tree, hand).truth;
        if (!truth) return std::nullopt;
        seen.insert(*truth);
      } catch (const Error&) {
        return std::nullopt;
      }
    }
    return seen.size() == 1 ? std::optional(*seen.begin()) : std::nullopt;
  }

  // The same question in the same words has the same answer.
  static std::string words(const TreePtr& tree, const Hand& hand) {
    std::string text = "(" + tree->what + " " + tree->text + "." + (tree->member == "all" ? "" : tree->member);
    if (tree->what == "number")
      text += std::to_string(static_cast<long long>(tree->number.num)) + "/" +
              std::to_string(static_cast<long long>(tree->number.den));
    for (const TreePtr& part : tree->parts) text += words(part, {});
    for (const auto& [axis, member] : hand) text += " " + axis + "=" + member;
    return text + ")";
  }
  Value question(const TreePtr& tree, const Hand& hand, std::optional<bool> truth) {
    Value value;
    value.truth = truth;
    if (truth || in_number_ > 0) return value;
    const std::string key = words(tree, hand);
    const auto found = supposed_.find(key);
    if (found != supposed_.end()) {
      value.truth = found->second;
    } else {
      open_.insert(key);
    }
    return value;
  }
  static Value truth(std::optional<bool> is) {
    Value value;
    value.truth = is;
    return value;
  }
  static Value number(Span span) {
    Value value;
    value.number = span;
    return value;
  }

  std::string point(const TreePtr& tree, const Hand& hand) const {
    const std::string axis = bench_.axis_of(tree->text);
    if (axis.empty()) return tree->text;
    const bool whole_axis = tree->member.empty() || tree->member == "all";
    return tree->text + "." + (whole_axis ? hand.at(axis) : tree->member);
  }

  Value evaluate(const TreePtr& tree, const Hand& hand) {
    const std::string& what = tree->what;
    if (what == "number") return number(exactly(tree->number));
    if (what == "name") return named(tree, hand);
    if (what == "call") return called(tree, hand);
    if (what == "if") return chosen(tree, hand);
    if (what == "not") return truth(kleene_not(evaluate(tree->parts[0], hand).truth));
    if (what == "and" || what == "or") return joined(what == "and", {{tree->parts[0], hand}, {tree->parts[1], hand}});
    if (what == "is" || what == "one of") return is_one(tree, hand);
    if (what == "over" || what == "under") {
      const Span left = number_of(tree->parts[0], hand);
      const Span right = number_of(tree->parts[1], hand);
      return question(tree, hand, what == "over" ? less(right, left) : less(left, right));
    }
    return arithmetic(tree, hand);
  }
  // A side that decides is enough, whatever is wrong with the other; else what is wrong with one is wrong with all.
  Value joined(bool all, const std::vector<std::pair<TreePtr, Hand>>& sides) {
    std::optional<bool> joined = all;
    std::optional<Error> wrong;
    for (const auto& [side, hand] : sides) {
      try {
        const auto each = evaluate(side, hand).truth;
        joined = all ? kleene_and(joined, each) : kleene_or(joined, each);
      } catch (const Error& error) {
        wrong = error;
      }
    }
    if (wrong && joined != !all) throw Error(*wrong);
    return truth(joined);
  }
  static std::optional<bool> less(Span a, Span b) {
    if (a.hi && b.lo && *a.hi < *b.lo) return true;
    if (a.lo && b.hi && *b.hi <= *a.lo) return false;
    return std::nullopt;
  }

  Value named(const TreePtr& tree, const Hand& hand) {
    Value value;
    if (tree->text == "true" || tree->text == "false") return truth(tree->text == "true");
    if (bench_.is_state(tree->text)) {
      value.state = tree->text;
      return value;
    }
    value = bench_.look(point(tree, hand));
    if (bench_.is_truth(tree->text)) return question(tree, hand, value.truth);
    return value;
  }

  Value is_one(const TreePtr& tree, const Hand& hand) {
    const TreePtr& right = tree->parts[1];
    if (right->what == "name" && (right->text == "high" || right->text == "low" || right->text == "within")) {
      const auto verdict = bench_.verdict(point(tree->parts[0], hand));
      return question(tree, hand, verdict ? std::optional<bool>(*verdict == right->text) : std::nullopt);
    }
    if (right->what != "name" || !bench_.is_state(right->text)) {
      const Span a = number_of(tree->parts[0], hand);
      const Span b = number_of(right, hand);
      std::optional<bool> same;
      if (a.is_point() && b.is_point()) same = *a.lo == *b.lo;
      if ((a.hi && b.lo && *a.hi < *b.lo) || (b.hi && a.lo && *b.hi < *a.lo)) same = false;
      return question(tree, hand, same);
    }
    const auto state = evaluate(tree->parts[0], hand).state;
    if (!state) return question(tree, hand, std::nullopt);
    bool found = false;
    for (std::size_t i = 1; i < tree->parts.size(); ++i) found = found || tree->parts[i]->text == *state;
    return truth(found);
  }

  Value chosen(const TreePtr& tree, const Hand& hand) {
    const TreePtr& asked = tree->parts[0];  // of a number it must be decided here
    const auto condition = in_number_ > 0 ? Work(bench_).whole(asked, hand).truth : evaluate(asked, hand).truth;
    if (condition) return evaluate(tree->parts[*condition ? 1 : 2], hand);
    const Value yes = evaluate(tree->parts[1], hand);
    const Value no = evaluate(tree->parts[2], hand);
    Value value;
    value.number = hull(yes.number, no.number);
    if (yes.truth && no.truth && *yes.truth == *no.truth) value.truth = yes.truth;
    return value;
  }

  Value arithmetic(const TreePtr& tree, const Hand& hand) {
    const Span a = number_of(tree->parts[0], hand);
    if (tree->what == "negative") return number(negative(a));
    Span b = number_of(tree->parts[1], hand);
    if (tree->what == "-") b = negative(b);
    if (tree->what == "+" || tree->what == "-") {
      const auto add = [](Fraction x, Fraction y) { return x + y; };
      return number({both_ends(a.lo, b.lo, add), both_ends(a.hi, b.hi, add)});
    }
    if (tree->what == "*") return number(a.is_point() ? scaled(b, *a.lo) : b.is_point() ? scaled(a, *b.lo) : Span{});
    return number(b.is_point() ? scaled(a, Fraction{1, 1} / *b.lo) : quotient(a, b));
  }
  // Nothing is known of it where the divisor may be zero.
  static Span quotient(Span a, Span b) {
    const Fraction zero;
    if (b.hi && *b.hi < zero) return negative(quotient(a, negative(b)));
    if (!b.lo || *b.lo <= zero) return {};
    const Fraction most = Fraction{1, 1} / *b.lo;
    const Fraction least = b.hi ? Fraction{1, 1} / *b.hi : zero;
    Span all;
    if (a.lo) all.lo = *a.lo * (*a.lo < zero ? most : least);
    if (a.hi) all.hi = *a.hi * (*a.hi < zero ? least : most);
    return all;
  }

  // The axis that a built-in runs over: that of a reading in it that is at no member.
  std::string loop_axis(const TreePtr& tree, const Hand& hand) const {
    if (tree->what == "name") {
      const std::string axis = bench_.axis_of(tree->text);
      const bool open = tree->member == "all" || (tree->member.empty() && hand.count(axis) == 0);
      return open ? axis : "";
    }
    for (const TreePtr& part : tree->parts) {
      const std::string axis = loop_axis(part, hand);
      if (!axis.empty()) return axis;
    }
    return "";
  }

  Value called(const TreePtr& tree, const Hand& hand) {
    const std::string& name = tree->text;
    if (name == "abs") {
      const Span a = number_of(tree->parts[0], hand);
      Span both = largest(a, negative(a));
      both.lo = larger(both.lo.value_or(Fraction{}), Fraction{});
      return number(both);
    }
    if (name == "aim") {
      const auto aim = bench_.aim(point(tree->parts[0], hand));
      return number(aim ? exactly(*aim) : Span{});
    }
    if ((name == "max" || name == "min") && tree->parts.size() > 1) {
      Span all = number_of(tree->parts[0], hand);
      for (const TreePtr& part : tree->parts) all = extreme(name, all, number_of(part, hand));
      return number(all);
    }
    return over_members(tree, hand);
  }
  static Span extreme(const std::string& name, Span a, Span b) {
    return name == "max" ? largest(a, b) : negative(largest(negative(a), negative(b)));
  }

  Value over_members(const TreePtr& tree, Hand hand) {
    const std::string& name = tree->text;
    const std::string axis = loop_axis(tree->parts[0], hand);
    if (name == "any" || name == "all" || name == "every") {
      std::vector<std::pair<TreePtr, Hand>> sides;
      for (const std::string& member : bench_.members(axis)) {
        hand[axis] = member;
        sides.emplace_back(tree->parts[0], hand);
      }
      return joined(name != "any", sides);
    }
    std::optional<Span> end;
    Wide sure = 0;
    Wide perhaps = 0;
    const bool counts = name == "count";
    std::optional<InNumber> here;
    if (counts) here.emplace(in_number_);
    for (const std::string& member : bench_.members(axis)) {
      hand[axis] = member;
      const Value value = counts ? Work(bench_).whole(tree->parts[0], hand) : evaluate(tree->parts[0], hand);
      sure += value.truth && *value.truth ? 1 : 0;
      perhaps += value.truth && !*value.truth ? 0 : 1;
      end = end ? extreme(name, *end, value.number) : value.number;
    }
    if (counts) return number({Fraction{sure, 1}, Fraction{perhaps, 1}});
    return number(*end);
  }

  const Bench& bench_;
  std::map<std::string, bool> supposed_;
  std::set<std::string> open_;
  int in_number_ = 0;
};

}  // namespace

TreePtr parse(const std::string& text) { return Parser(text).whole(); }
Range parse_range(const std::string& text) { return Parser(text).range(); }
Value evaluate(const TreePtr& tree, const Bench& bench, const Hand& hand) { return Work(bench).whole(tree, hand); }
Span evaluate_number(const TreePtr& tree, const Bench& bench) { return Work(bench).number_of(tree, {}); }

}  // namespace naive
