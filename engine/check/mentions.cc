// See mentions.h.
#include "engine/check/mentions.h"

#include <algorithm>
#include <set>
#include <utility>

namespace stringline {
namespace {

class Collector {
 public:
  // Without a program only facts are collected.
  explicit Collector(const Program* program, const std::array<int, axis_count>& hand = {-1, -1, -1, -1})
      : program_(program), hand_(hand) {}

  std::vector<PointId> points(const Typed& expr) {
    walk(expr);
    return {points_.begin(), points_.end()};
  }
  std::vector<FactId> facts(const Typed& expr) {
    walk(expr);
    return {facts_.begin(), facts_.end()};
  }

 private:
  void walk(const TypedPtr& expr) {
    if (expr) walk(*expr);
  }
  void walk(const TypedChoice<TypedPtr>& choice) {
    if (const auto* leaf = std::get_if<TypedPtr>(&choice.node)) return walk(*leaf);
    const auto& table = *std::get<std::shared_ptr<const TypedTable<TypedPtr>>>(choice.node);
    walk(table.selector);
    for (const auto& row : table.rows) walk(row.second);
  }
  void walk(const Typed& expr) {
    std::visit([this](const auto& node) { look(node); }, expr.node);
  }

  void add(const ReadingRef& ref) {
    if (program_ == nullptr) return;
    const ReadingInfo& reading = program_->readings[ref.reading];
    for (PointId point = reading.first; point < reading.first + reading.count; ++point) {
      bool picked = true;
      for (const AxisPick& pick : ref.picks) {
        const int member = program_->points[point].at[static_cast<std::size_t>(pick.axis)];
        const int at_hand = hand_[static_cast<std::size_t>(pick.axis)];
        picked = picked && (pick.at_hand ? at_hand < 0 || at_hand == member
                                         : std::count(pick.members.begin(), pick.members.end(), member) > 0);
      }
      if (picked) points_.insert(point);
    }
  }

  void look(const typed::Constant&) {}
  void look(const typed::Reading& node) { add(node.ref); }
  void look(const typed::VerdictIs& node) { add(node.ref); }
  void look(const typed::Fact& node) {
    if (!facts_.insert(node.fact).second || program_ == nullptr || !program_->facts[node.fact].value) return;
    const auto outside = std::exchange(hand_, {-1, -1, -1, -1});
    walk(*program_->facts[node.fact].value);
    hand_ = outside;
  }
  void look(const typed::AtHand&) {}
  void look(const typed::StringSize&) {}
  void look(const typed::Travel&) {}
  void look(const typed::Total&) {}
  void look(const typed::Unary& node) { walk(node.operand); }
  void look(const typed::Binary& node) {
    walk(node.left);
    walk(node.right);
  }
  void look(const typed::OneOf& node) {
    walk(node.value);
    for (const TypedPtr& item : node.items) walk(item);
  }
  void look(const typed::Conditional& node) {
    walk(node.condition);
    walk(node.then_value);
    walk(node.else_value);
  }
  void look(const typed::Aggregate& node) {
    const auto outside = hand_;
    for (const typed::Loop& loop : node.loops) hand_[static_cast<std::size_t>(loop.axis)] = -1;
    walk(node.body);
    hand_ = outside;
  }
  void look(const typed::Extreme& node) {
    for (const TypedPtr& argument : node.arguments) walk(argument);
  }
  void look(const typed::Absolute& node) { walk(node.operand); }
  void look(const typed::Aim& node) { add(node.ref); }
  void look(const typed::Target& node) { add(node.ref); }
  void look(const typed::Change& node) { add(node.ref); }

  const Program* program_;
  std::array<int, axis_count> hand_;
  std::set<PointId> points_;
  std::set<FactId> facts_;
};

void collect(const JobChoice& choice, std::vector<JobId>& into) {
  if (const auto* leaf = std::get_if<std::optional<JobId>>(&choice.node)) {
    if (*leaf && std::count(into.begin(), into.end(), **leaf) == 0) into.push_back(**leaf);
    return;
  }
  for (const auto& row : std::get<1>(choice.node)->rows) collect(row.second, into);
}

}  // namespace

std::vector<PointId> mentioned_in(const Program& program, const Typed& expr, const std::array<int, axis_count>& hand) {
  return Collector(&program, hand).points(expr);
}

std::vector<FactId> facts_in(const Typed& expr) { return Collector(nullptr).facts(expr); }

std::vector<JobId> jobs_in(const JobChoice& choice) {
  std::vector<JobId> jobs;
  collect(choice, jobs);
  return jobs;
}

std::vector<int> phases_of(const Program& program, JobId job) {
  if (program.jobs[job].phase >= 0) return {program.jobs[job].phase};
  std::set<int> phases;
  for (const TargetInfo& target : program.targets) {
    for (const auto* choice : {&target.low, &target.high}) {
      if (!*choice || target.phase < 0) continue;
      const auto jobs = jobs_in(**choice);
      if (std::count(jobs.begin(), jobs.end(), job) > 0) phases.insert(target.phase);
    }
  }
  return {phases.begin(), phases.end()};
}

}  // namespace stringline
