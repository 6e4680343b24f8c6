// A range that hangs on its own aim, a target whose when: asks for its own verdict, a computed reading that asks for the
// verdict of a target that asks for it: none could ever be worked out. (Facts and computed readings that name each other are
// found while they are bound, bind.h.) One report a cycle, with the whole path. What does not hang on itself has an order, in
// which the judge works it out, and readings that can change it. See passes.h.
// Tested by tests/golden/check/cycle_of_aims.case.
#include <fmt/format.h>

#include <algorithm>
#include <compare>
#include <set>
#include <tuple>

#include "engine/check/calls.h"
#include "engine/check/passes.h"

namespace stringline {
namespace {

enum class What : std::uint8_t {
  value,    // relief, where it is computed
  aim,      // aim(relief), target(relief)
  verdict,  // relief is low
};
struct Node {
  What what;
  PointId point;

  friend auto operator<=>(const Node&, const Node&) = default;
};

// The points a reference may mean, whatever is at hand where nothing says which.
std::vector<PointId> points_of(const Program& program, const ReadingRef& ref, const std::array<int, axis_count>& hand) {
  const ReadingInfo& reading = program.readings[ref.reading];
  std::vector<PointId> points;
  for (PointId point = reading.first; point < reading.first + reading.count; ++point) {
    const auto& at = program.points[point].at;
    const bool meant = std::all_of(ref.picks.begin(), ref.picks.end(), [&](const AxisPick& pick) {
      const int member = at[static_cast<std::size_t>(pick.axis)];
      const int here = hand[static_cast<std::size_t>(pick.axis)];
      if (pick.at_hand) return here < 0 || here == member;
      return std::count(pick.members.begin(), pick.members.end(), static_cast<std::uint16_t>(member)) > 0;
    });
    if (meant) points.push_back(point);
  }
  return points;
}

template <class T>
void sort_once_each(std::vector<T>& all) {
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
}

struct Asked;
template <class Leaf, class Visit>
void walk(const TypedChoice<Leaf>& choice, const Asked& asked, const Visit& leaf);

// What an expression asks for, one lambda a node.
struct Asked {
  const Program& program;
  std::array<int, axis_count> hand;
  std::vector<Node>& nodes;

  void add(What what, const ReadingRef& ref) const {
    for (const PointId point : points_of(program, ref, hand)) nodes.push_back({what, point});
  }
  void visit(const TypedPtr& expr) const {
    if (expr) std::visit(*this, expr->node);
  }
  void operator()(const typed::Constant&) const {}
  void operator()(const typed::Fact& node) const {
    const Asked without_hand{program, {-1, -1, -1, -1}, nodes};
    if (program.facts[node.fact].value)
      walk(*program.facts[node.fact].value, without_hand, [&](const TypedPtr& leaf) { without_hand.visit(leaf); });
  }
  void operator()(const typed::AtHand&) const {}
  void operator()(const typed::StringSize&) const {}
  void operator()(const typed::Travel&) const {}
  void operator()(const typed::Total&) const {}
  void operator()(const typed::Reading& node) const { add(What::value, node.ref); }
  void operator()(const typed::Change& node) const { add(What::value, node.ref); }
  void operator()(const typed::VerdictIs& node) const { add(What::verdict, node.ref); }
  void operator()(const typed::Aim& node) const { add(What::aim, node.ref); }
  void operator()(const typed::Target& node) const { add(What::aim, node.ref); }
  void operator()(const typed::Unary& node) const { visit(node.operand); }
  void operator()(const typed::Absolute& node) const { visit(node.operand); }
  void operator()(const typed::Binary& node) const {
    visit(node.left);
    visit(node.right);
  }
  void operator()(const typed::Conditional& node) const {
    visit(node.condition);
    visit(node.then_value);
    visit(node.else_value);
  }
  void operator()(const typed::OneOf& node) const {
    visit(node.value);
    for (const TypedPtr& item : node.items) visit(item);
  }
  void operator()(const typed::Extreme& node) const {
    for (const TypedPtr& argument : node.arguments) visit(argument);
  }
  void operator()(const typed::Aggregate& node) const {
    Asked inner = *this;
    for (const typed::Loop& loop : node.loops) inner.hand[static_cast<std::size_t>(loop.axis)] = -1;
    inner.visit(node.body);
    if (node.fold != typed::Fold::worst) return;
    if (const auto* reading = std::get_if<typed::Reading>(&node.body->node)) inner.add(What::aim, reading->ref);
  }
};

template <class Leaf, class Visit>
void walk(const TypedChoice<Leaf>& choice, const Asked& asked, const Visit& leaf) {
  if (const auto* table = std::get_if<std::shared_ptr<const TypedTable<Leaf>>>(&choice.node)) {
    asked.visit((*table)->selector);
    for (const auto& row : (*table)->rows) walk(row.second, asked, leaf);
    return;
  }
  leaf(std::get<Leaf>(choice.node));
}

class Search {
 public:
  Search(Program& program, Diagnostics& out)
      : program_(program), out_(out), state_(3 * program.points.size()), hangs_on_(3 * program.points.size()) {}

  void from(Node node) {
    const std::size_t at = index(node);
    if (state_[at] == State::busy) report(node);
    if (state_[at] != State::fresh) return;
    state_[at] = State::busy;
    path_.push_back(node);
    std::vector<PointId> hangs_on;
    if (node.what == What::value) hangs_on.push_back(node.point);
    for (const Node& next : needs(node)) {
      from(next);
      const auto& more = hangs_on_[index(next)];
      hangs_on.insert(hangs_on.end(), more.begin(), more.end());
    }
    sort_once_each(hangs_on);
    path_.pop_back();
    state_[at] = State::done;
    const int target = program_.target_of[node.point];
    if (node.what != What::value && target >= 0)
      program_.standings.push_back({static_cast<std::size_t>(target), node.what == What::verdict, hangs_on});
    hangs_on_[at] = std::move(hangs_on);
  }

  // What a condition hangs on, once all targets and readings were looked at.
  std::vector<PointId> hangs_on(const Typed& condition) const {
    std::vector<Node> nodes;
    std::visit(Asked{program_, {-1, -1, -1, -1}, nodes}, condition.node);
    std::vector<PointId> points;
    for (const Node& node : nodes) {
      const auto& more = hangs_on_[index(node)];
      points.insert(points.end(), more.begin(), more.end());
    }
    sort_once_each(points);
    return points;
  }

 private:
  enum class State : std::uint8_t { fresh, busy, done };

  static std::size_t index(const Node& node) {
    return std::size_t{3} * node.point + static_cast<std::size_t>(node.what);
  }

  std::vector<Node> needs(const Node& node) const {
    std::vector<Node> nodes;
    const Asked asked{program_, program_.points[node.point].at, nodes};
    const TargetInfo* target = program_.target(node.point);
    if (node.what == What::value) {
      asked.visit(program_.reading_of(node.point).formula);
    } else if (target != nullptr) {
      if (node.what == What::verdict) {
        asked.visit(target->when);
        nodes.push_back({What::aim, node.point});
        nodes.push_back({What::value, node.point});
        sort_once_each(nodes);
        return nodes;
      }
      const auto ends = [&](const TypedRange& range) {
        asked.visit(range.lo);
        asked.visit(range.hi);
        asked.visit(range.aim);
      };
      if (target->range) walk(*target->range, asked, ends);
      if (target->want) {
        ends(target->want->range);
        asked.visit(target->want->aim);
      }
    }
    sort_once_each(nodes);
    return nodes;
  }

  // One report for a reading, whichever of its members the cycle was found at.
  void report(const Node& again) {
    const auto start = std::find(path_.begin(), path_.end(), again);
    std::vector<std::string> chain;
    std::vector<Related> related;
    bool told = false;
    for (auto at = start; at != path_.end(); ++at) {
      chain.push_back(name(*at));
      const Span span = place(*at);
      if (!(span == place(again)) &&
          std::none_of(related.begin(), related.end(), [&](const Related& r) { return r.span == span; }))
        related.push_back({span, name(*at) + " is said here"});
      told = !told_.insert({at->what, program_.points[at->point].reading}).second || told;
    }
    if (told) return;
    chain.push_back(name(again));
    out_.report(Code::cycle, place(again),
                fmt::format("{} depends on itself: {}", chain.front(), fmt::join(chain, " -> ")),
                chain.size() > 2 ? "one of them must be given by something else"
                                 : "it can not be worked out from itself: ask a reading or a fact",
                std::move(related));
  }

  std::string name(const Node& node) const {
    const std::string& point = program_.points[node.point].name;
    switch (node.what) {
      case What::value: return "'" + point + "'";
      case What::aim: return "the aim of '" + point + "'";
      case What::verdict: return "the verdict on '" + point + "'";
    }
    return {};
  }

  Span place(const Node& node) const {
    const TargetInfo* target = program_.target(node.point);
    return node.what == What::value || target == nullptr ? program_.reading_of(node.point).span : target->span;
  }

  Program& program_;
  Diagnostics& out_;
  std::vector<State> state_;                    // by node, like
  std::vector<std::vector<PointId>> hangs_on_;  // the readings that can change it, by number
  std::vector<Node> path_;
  std::set<std::pair<What, ReadingId>> told_;
};

}  // namespace

void check_dependence(Binder& binder) {
  Program& program = binder.program();
  program.standings.clear();
  Search search(program, binder.out());
  for (const TargetInfo& target : program.targets) search.from({What::verdict, target.point});
  for (PointId point = 0; point < program.points.size(); ++point) search.from({What::value, point});
  for (GateInfo& gate : program.gates) gate.hangs_on = search.hangs_on(*gate.open_when);
}

}  // namespace stringline
