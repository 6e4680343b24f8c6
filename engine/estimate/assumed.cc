#include "engine/estimate/assumed.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "engine/check/mentions.h"

namespace stringline {
namespace {

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

// The words of four letters and more, in lower case; less those that every complaint may hold.
std::vector<std::string> words_of(std::string_view text) {
  static constexpr std::array<std::string_view, 16> empty_words{
      "open", "string", "strings", "play", "plays", "with",  "that",  "this",
      "when", "fine",   "have",    "from", "them",  "there", "since", "everywhere"};
  std::vector<std::string> words;
  std::string word;
  const auto take = [&] {
    const bool empty = std::find(empty_words.begin(), empty_words.end(), word) != empty_words.end();
    if (word.size() >= 4 && !empty) words.push_back(word);
    word.clear();
  };
  for (const char c : text) {
    if (is_letter(c))
      word += static_cast<char>(c | 0x20);
    else
      take();
  }
  take();
  return words;
}

// "rattles", "rattle" and "rattling" are one word.
bool same_word(const std::string& a, const std::string& b) {
  const auto [end, other] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
  const auto shared = static_cast<std::size_t>(end - a.begin());
  return shared >= 4 && shared + 3 >= std::max(a.size(), b.size());
}

class Assumed {
 public:
  Assumed(const Program& program, const Judgement& judgement, const Plan& plan, const std::string& says)
      : program_(program), judgement_(judgement), plan_(plan), complaint_(words_of(says)) {}

  std::vector<std::string> run() const {
    std::vector<std::string> names;
    for (const ReadingInfo& reading : program_.readings) {
      if (reading.type.kind != Kind::state || reading.for_owner.empty() || !is_assumed(reading)) continue;
      const std::vector<std::string> others = other_states(reading);
      if (is_complained_of(reading, others) || is_changed(reading)) continue;
      const auto matters = [&](const std::string& state) { return would_matter(reading, state); };
      if (std::any_of(others.begin(), others.end(), matters)) names.push_back(reading.for_owner);
    }
    return names;
  }

 private:
  static bool is_in(const ReadingInfo& reading, PointId point) {
    return point >= reading.first && point < reading.first + reading.count;
  }

  bool is_assumed(const ReadingInfo& reading) const {
    const auto first = judgement_.points.begin() + reading.first;
    return reading.count > 0 &&
           std::all_of(first, first + reading.count, [](const PointState& point) { return point.assumed; });
  }

  std::vector<std::string> other_states(const ReadingInfo& reading) const {
    std::vector<std::string> states = program_.state_sets[reading.type.states].states;
    const auto& now = judgement_.points[reading.first].value.state;
    states.erase(std::remove_if(states.begin(), states.end(), [&](const std::string& each) { return each == now; }),
                 states.end());
    return states;
  }

  bool is_complained_of(const ReadingInfo& reading, const std::vector<std::string>& states) const {
    std::vector<std::string> own = words_of(reading.for_owner + " " + reading.name);
    for (const std::string& state : states) {
      for (std::string& word : words_of(state)) own.push_back(std::move(word));
    }
    return std::any_of(own.begin(), own.end(), [&](const std::string& word) {
      return std::any_of(complaint_.begin(), complaint_.end(),
                         [&](const std::string& each) { return same_word(each, word); });
    });
  }

  bool is_changed(const ReadingInfo& reading) const {
    const auto in = [&](PointId point) { return is_in(reading, point); };
    const auto changes = [&](JobId id) {
      const JobInfo& job = program_.jobs[id];
      return std::any_of(job.disturbs.begin(), job.disturbs.end(), in) ||
             std::any_of(job.sets.begin(), job.sets.end(), [&](const JobInfo::Set& set) {
               return std::any_of(set.points.begin(), set.points.end(), in);
             });
    };
    return std::any_of(judgement_.done.begin(), judgement_.done.end(), changes) ||
           std::any_of(plan_.lines.begin(), plan_.lines.end(),
                       [&](const PlanLine& line) { return line.job && changes(*line.job); });
  }

  // Whether a stop would be true, or a rule would plan a job that needs a yes, that is not so now.
  bool would_matter(const ReadingInfo& reading, const std::string& state) const {
    Judgement other = judgement_;
    for (PointId point = reading.first; point < reading.first + reading.count; ++point)
      other.points[point].value.state = state;
    const auto becomes_true = [&](const TypedPtr& when, const Hand& hand) {
      if (!when) return false;
      const auto truth = [&](const Judgement& judgement) {
        const Scene scene(program_, judgement);
        return Evaluator(program_, scene).evaluate(*when, hand).truth();
      };
      return truth(other) == Truth::yes && truth(judgement_) != Truth::yes;
    };
    const auto stops = [&](const StopInfo& stop) { return becomes_true(stop.when, empty_hand); };
    if (std::any_of(program_.stops.begin(), program_.stops.end(), stops)) return true;
    return std::any_of(program_.rules.begin(), program_.rules.end(), [&](const RuleInfo& rule) {
      if (!asks(rule)) return false;
      const auto hands = hands_of(rule);
      return std::any_of(hands.begin(), hands.end(), [&](const Hand& hand) { return becomes_true(rule.when, hand); });
    });
  }

  std::vector<Hand> hands_of(const RuleInfo& rule) const {
    if (!rule.over) return {empty_hand};
    const auto axis = static_cast<std::size_t>(*rule.over);
    std::vector<Hand> hands;
    for (std::size_t member = 0; member < program_.axes[axis].size(); ++member) {
      hands.push_back(empty_hand);
      hands.back()[axis] = static_cast<int>(member);
    }
    return hands;
  }

  bool asks(const RuleInfo& rule) const {
    const auto needs_yes = [&](const JobChoice& choice) {
      const auto jobs = jobs_in(choice);
      return std::any_of(jobs.begin(), jobs.end(), [&](JobId job) { return program_.jobs[job].needs_yes; });
    };
    return std::any_of(rule.jobs.begin(), rule.jobs.end(), needs_yes);
  }

  const Program& program_;
  const Judgement& judgement_;
  const Plan& plan_;
  std::vector<std::string> complaint_;
};

}  // namespace

std::vector<std::string> assumed_in_order(const Program& program, const Judgement& judgement, const Plan& plan,
                                          const std::string& says) {
  return Assumed(program, judgement, plan, says).run();
}

}  // namespace stringline
