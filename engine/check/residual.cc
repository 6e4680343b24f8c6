#include "engine/check/residual.h"

#include <algorithm>
#include <utility>

#include "engine/text/limits.h"

namespace stringline {
namespace {

using Atoms = std::vector<const Residual*>;

// One bit for every combination of atoms: bit i of a combination's number is the truth of atom i.
using Table = std::vector<std::uint64_t>;
constexpr std::size_t word_bits = 64;

bool same_pick(const AxisPick& a, const AxisPick& b) {
  return a.axis == b.axis && a.at_hand == b.at_hand && a.members == b.members;
}

bool same_ref(const ReadingRef& a, const ReadingRef& b) {
  return a.reading == b.reading &&
         std::equal(a.picks.begin(), a.picks.end(), b.picks.begin(), b.picks.end(), same_pick);
}

bool same_loop(const typed::Loop& a, const typed::Loop& b) { return a.axis == b.axis && a.members == b.members; }

// `over` and `at most` compare alike, the other way round.
BinaryOp positive(BinaryOp op) {
  switch (op) {
    case BinaryOp::is_not: return BinaryOp::is;
    case BinaryOp::at_most: return BinaryOp::over;
    case BinaryOp::at_least: return BinaryOp::under;
    default: return op;
  }
}

bool says_opposite(const Typed& expr) {
  if (const auto* verdict = std::get_if<typed::VerdictIs>(&expr.node)) return verdict->negated;
  const auto* comparison = std::get_if<typed::Binary>(&expr.node);
  return comparison != nullptr && positive(comparison->op) != comparison->op;
}

bool same(const TypedPtr& a, const TypedPtr& b);
bool same(const std::vector<TypedPtr>& a, const std::vector<TypedPtr>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const TypedPtr& x, const TypedPtr& y) { return same(x, y); });
}

// Whether two expressions are written alike, but for a negation at their top.
struct Alike {
  const Typed& other;

  template <class Node>
  const Node& as() const {
    return std::get<Node>(other.node);
  }
  bool operator()(const typed::Constant& a) const {
    const Value& x = a.value;
    const Value& y = as<typed::Constant>().value;
    return x.kind == y.kind && x.number == y.number && x.truth == y.truth && x.state == y.state &&
           x.pitches == y.pitches;
  }
  bool operator()(const typed::Reading& a) const { return same_ref(a.ref, as<typed::Reading>().ref); }
  bool operator()(const typed::VerdictIs& a) const {
    return same_ref(a.ref, as<typed::VerdictIs>().ref) && a.verdict == as<typed::VerdictIs>().verdict;
  }
  bool operator()(const typed::Fact& a) const { return a.fact == as<typed::Fact>().fact; }
  bool operator()(const typed::AtHand& a) const { return a.axis == as<typed::AtHand>().axis; }
  bool operator()(const typed::StringSize& a) const { return a.slot == as<typed::StringSize>().slot; }
  bool operator()(const typed::Travel&) const { return true; }
  bool operator()(const typed::Total&) const { return true; }
  bool operator()(const typed::Unary& a) const {
    return a.op == as<typed::Unary>().op && same(a.operand, as<typed::Unary>().operand);
  }
  bool operator()(const typed::Binary& a) const {
    const auto& b = as<typed::Binary>();
    return positive(a.op) == positive(b.op) && same(a.left, b.left) && same(a.right, b.right);
  }
  bool operator()(const typed::OneOf& a) const {
    return same(a.value, as<typed::OneOf>().value) && same(a.items, as<typed::OneOf>().items);
  }
  bool operator()(const typed::Conditional& a) const {
    const auto& b = as<typed::Conditional>();
    return same(a.condition, b.condition) && same(a.then_value, b.then_value) && same(a.else_value, b.else_value);
  }
  bool operator()(const typed::Aggregate& a) const {
    const auto& b = as<typed::Aggregate>();
    const bool loops = std::equal(a.loops.begin(), a.loops.end(), b.loops.begin(), b.loops.end(), same_loop);
    return a.fold == b.fold && loops && same(a.body, b.body);
  }
  bool operator()(const typed::Extreme& a) const {
    return a.largest == as<typed::Extreme>().largest && same(a.arguments, as<typed::Extreme>().arguments);
  }
  bool operator()(const typed::Absolute& a) const { return same(a.operand, as<typed::Absolute>().operand); }
  bool operator()(const typed::Aim& a) const { return same_ref(a.ref, as<typed::Aim>().ref); }
  bool operator()(const typed::Target& a) const { return same_ref(a.ref, as<typed::Target>().ref); }
  bool operator()(const typed::Change& a) const { return same_ref(a.ref, as<typed::Change>().ref); }
};

bool alike(const Typed& a, const Typed& b) {
  return &a == &b || (a.node.index() == b.node.index() && std::visit(Alike{b}, a.node));
}

bool same(const TypedPtr& a, const TypedPtr& b) { return alike(*a, *b) && says_opposite(*a) == says_opposite(*b); }

bool same_atom(const Residual& a, const Residual& b) { return a.hand == b.hand && alike(*a.atom, *b.atom); }

std::size_t index_of(const Residual& node, const Atoms& atoms) {
  const auto found = std::find_if(atoms.begin(), atoms.end(), [&](const Residual* a) { return same_atom(*a, node); });
  return static_cast<std::size_t>(found - atoms.begin());
}

// Each once. False as soon as there are more than can be proven; a loop over frets and strings has a thousand.
bool collect(const Residual& node, Atoms& atoms) {
  if (node.op != Residual::Op::atom)
    return collect(*node.left, atoms) && (node.right == nullptr || collect(*node.right, atoms));
  if (index_of(node, atoms) == atoms.size()) atoms.push_back(&node);
  return atoms.size() <= limits::max_proven_unknowns;
}

void collect_needs(const Residual& node, std::vector<Need>& needs) {
  needs.insert(needs.end(), node.needs.begin(), node.needs.end());
  if (node.left) collect_needs(*node.left, needs);
  if (node.right) collect_needs(*node.right, needs);
}

// In one word of a table: the combinations in which atom i is true, for the first six; those of later atoms fill whole words.
constexpr std::size_t atoms_in_word = 6;
constexpr std::uint64_t is_true[atoms_in_word] = {0xAAAAAAAAAAAAAAAA, 0xCCCCCCCCCCCCCCCC, 0xF0F0F0F0F0F0F0F0,
                                                  0xFF00FF00FF00FF00, 0xFFFF0000FFFF0000, 0xFFFFFFFF00000000};

Table table_of_atom(std::size_t atom, std::size_t words) {
  if (atom < atoms_in_word) return Table(words, is_true[atom]);
  Table table(words);
  for (std::size_t i = 0; i < words; ++i)
    if (((i >> (atom - atoms_in_word)) & 1U) != 0) table[i] = ~std::uint64_t{0};
  return table;
}

// Whether its truth never matters: each combination comes out as the one that differs in this atom alone. `used`: the bits of a
// word that stand for a combination.
bool is_idle(const Table& table, std::size_t atom, std::uint64_t used) {
  if (atom < atoms_in_word) {
    const std::uint64_t at = used & ~is_true[atom];
    return std::all_of(table.begin(), table.end(),
                       [&](std::uint64_t word) { return ((word ^ (word >> (std::size_t{1} << atom))) & at) == 0; });
  }
  const std::size_t step = std::size_t{1} << (atom - atoms_in_word);
  for (std::size_t i = 0; i < table.size(); ++i)
    if (table[i] != table[i ^ step]) return false;
  return true;
}

// The truth of the residual in every combination.
Table table_of(const Residual& node, const Atoms& atoms, const std::vector<Table>& of_atoms) {
  if (node.op == Residual::Op::atom) return of_atoms[index_of(node, atoms)];
  Table table = table_of(*node.left, atoms, of_atoms);
  if (node.op == Residual::Op::negation) {
    for (std::uint64_t& word : table) word = ~word;
    return table;
  }
  const Table right = table_of(*node.right, atoms, of_atoms);
  for (std::size_t i = 0; i < table.size(); ++i) {
    table[i] = node.op == Residual::Op::conjunction ? table[i] & right[i] : table[i] | right[i];
  }
  return table;
}

}  // namespace

ResidualPtr atom(const Typed* expression, const Hand& hand, std::vector<Need> needs) {
  auto node = std::make_shared<Residual>();
  node->atom = expression;
  node->hand = hand;
  node->needs = std::move(needs);
  return says_opposite(*expression) ? negation(node) : node;
}

ResidualPtr negation(ResidualPtr operand) {
  auto node = std::make_shared<Residual>();
  node->op = Residual::Op::negation;
  node->left = std::move(operand);
  return node;
}

ResidualPtr joined(Residual::Op op, ResidualPtr left, ResidualPtr right) {
  auto node = std::make_shared<Residual>();
  node->op = op;
  node->left = std::move(left);
  node->right = std::move(right);
  return node;
}

Support support(const ResidualPtr& residual) {
  Atoms atoms;
  Support result;
  if (!collect(*residual, atoms)) {
    std::vector<Need> all;
    collect_needs(*residual, all);
    result.needs = merged(std::move(all), {});
    return result;
  }
  const std::size_t combinations = std::size_t{1} << atoms.size();
  const std::size_t words = (combinations + word_bits - 1) / word_bits;
  const std::uint64_t used = combinations < word_bits ? (std::uint64_t{1} << combinations) - 1 : ~std::uint64_t{0};
  std::vector<Table> of_atoms;
  for (std::size_t i = 0; i < atoms.size(); ++i) of_atoms.push_back(table_of_atom(i, words));
  const Table table = table_of(*residual, atoms, of_atoms);
  bool decided = true;
  for (std::size_t i = 0; i < atoms.size(); ++i) {
    const bool idle = is_idle(table, i, used);
    if (!idle) result.needs = merged(std::move(result.needs), atoms[i]->needs);
    decided = decided && idle;
  }
  if (decided) result.truth = (table.front() & 1U) != 0 ? Truth::yes : Truth::no;
  return result;
}

}  // namespace stringline
