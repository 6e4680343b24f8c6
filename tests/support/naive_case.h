// What a bench log makes of the readings, once more, written from the manual alone; see naive_book.h, whose work list stands on it.
#pragma once

#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "tests/support/naive_book.h"

namespace naive {

using Names = std::vector<std::string>;

inline bool has(const Names& names, const std::string& name) {
  return std::count(names.begin(), names.end(), name) > 0;
}

// A list, or one thing where one is enough.
inline Names names_of(const YAML::Node& node) {
  Names names;
  if (!node) return names;
  if (!node.IsSequence()) return {node.Scalar()};
  for (const auto& each : node) names.push_back(each.Scalar());
  return names;
}
// The keys of a map in the order of their names, as the engine keeps what has a name.
inline Names keys_of(const YAML::Node& node) {
  Names keys;
  for (const auto& each : node) keys.push_back(each.first.Scalar());
  std::sort(keys.begin(), keys.end());
  return keys;
}
inline const YAML::Node at(const YAML::Node& map, const std::string& key) {
  return map && map.IsMap() ? map[key] : YAML::Node(YAML::NodeType::Undefined);
}

struct Reading {
  enum { none, read, stale, not_measurable } status = none;
  Value value;
  int times = 1;
  int entry = 0;
};

class Case : public Bench {
 public:
  explicit Case(const stringline::testing::RandomBook& book)
      : house_(YAML::Load(book.house)), profile_(YAML::Load(book.profile)), visit_(YAML::Load(book.visit)) {
    decide_ = house_["decide"].Scalar();
    text_ = book.profile;
    for (std::size_t i = 1; i <= profile_["facts"]["tuning"].size(); ++i) strings_.push_back(std::to_string(i));
    for (const auto& choice : profile_["choices"]) {
      for (const std::string& state : names_of(choice.second)) states_.insert(state);
    }
    for (const auto& reading : profile_["readings"]) {
      if (!reading.second["is"] || !reading.second["is"].IsSequence()) continue;
      for (const std::string& state : names_of(reading.second["is"])) states_.insert(state);
    }
  }

  // Everything but the work list.
  const Outcome& judge() {
    assume();
    std::set<std::string> struck;
    for (const auto& entry : visit_["log"]) {
      if (entry["strike"]) struck.insert(entry["strike"]["entry"].Scalar());
    }
    int number = 0;
    for (const auto& entry : visit_["log"]) {
      ++number;
      if (struck.count(std::to_string(number)) > 0) continue;
      carry_out(entry, number);
      settle();
      follow_gates(number);
    }
    take_void_away();
    for (const std::string& stop : keys_of(profile_["stops"]))
      outcome_.stops[stop] = truth_of(profile_["stops"][stop]["when"].Scalar());
    for (const std::string& rule : keys_of(profile_["rules"])) {
      outcome_.rules[rule] = state_of(profile_["rules"][rule]);
      ++outcome_.ledger[outcome_.rules[rule]];
    }
    return outcome_;
  }

  // ---- what expressions see ---------------------------------------------------------------------------------------------------

  std::string axis_of(const std::string& reading) const override {
    const YAML::Node per = at(at(profile_["readings"], reading), "per");
    return per ? per.Scalar() : "";
  }
  Names members(const std::string& axis) const override { return axis == "side" ? Names{"bass", "treble"} : strings_; }
  bool is_state(const std::string& word) const override { return states_.count(word) > 0; }
  bool is_truth(const std::string& reading) const override {
    const YAML::Node is = at(at(profile_["readings"], reading), "is");
    return is && is.IsScalar() && is.Scalar() == "truth";
  }
  Value look(const std::string& name) const override {
    if (is_fact(name)) return fact(name);
    if (voided_.count(name) > 0) return {};
    const auto found = readings_.find(name);
    if (found != readings_.end() && found->second.status == Reading::read) return found->second.value;
    Value value;
    if (is_computed(name)) value.number = evaluate_number(parse(profile_["readings"][name]["is"].Scalar()), *this);
    return value;
  }
  std::optional<std::string> verdict(const std::string& point) const override {
    const std::string& verdict = outcome_.verdicts.at(point);
    static const Names decided{"within", "high", "low", "not applicable"};
    return has(decided, verdict) ? std::optional<std::string>(verdict) : std::nullopt;
  }
  std::optional<Fraction> aim(const std::string& point) const override {
    const auto range = outcome_.ranges.find(point);
    return range == outcome_.ranges.end() ? std::nullopt : range->second.aim;
  }

  // ---- what the work list sees ------------------------------------------------------------------------------------------------

  const YAML::Node& house() const { return house_; }
  const YAML::Node& profile() const { return profile_; }
  const std::string& decide() const { return decide_; }
  const std::string& text() const { return text_; }
  bool is_done(const std::string& job) const { return has(done_, job); }
  const Names& done() const { return done_; }
  const Names& agreed() const { return agreed_; }
  bool is_declined(const std::string& job) const { return has(declined_, job); }

  static std::string reading_of(const std::string& point) { return point.substr(0, point.find('.')); }
  static std::string member_of(const std::string& point) {
    return point.find('.') == std::string::npos ? "" : point.substr(point.find('.') + 1);
  }
  // `gaps` is every reading with a gap.
  Names points_of(const std::string& name) const {
    if (name == "gaps") return points_of(gaps());
    const std::string axis = axis_of(name);
    if (axis.empty()) return {name};
    Names points;
    for (const std::string& member : members(axis)) points.push_back(name + "." + member);
    return points;
  }
  Names points_of(const Names& names) const {
    Names points;
    for (const std::string& name : names) {
      const Names more = points_of(name);
      points.insert(points.end(), more.begin(), more.end());
    }
    return points;
  }
  Names gaps() const {
    Names names;
    for (const std::string& name : keys_of(profile_["readings"])) {
      if (profile_["readings"][name]["gap"]) names.push_back(name);
    }
    return names;
  }
  YAML::Node target(const std::string& point, const char* key) const {
    const YAML::Node own = at(at(profile_["targets"], point), key);
    return own ? own : at(at(profile_["targets"], reading_of(point)), key);
  }
  std::optional<Fraction> length(const std::string& reading, const char* key) const {
    const YAML::Node node = profile_["readings"][reading][key];
    return node ? naive::evaluate(parse(node.Scalar()), *this).number.lo : std::nullopt;
  }
  double read_to(const std::string& point) const {
    return to_double(length(reading_of(point), "read_to").value_or(Fraction{}));
  }

  // By how much a reading moves with a control at the same string, mm a mm. Frets stand at 1 - 2^(-n/12) of the string, and it hangs
  // straight between nut and saddle.
  double moves_by(const std::string& reading, const std::string& control) const {
    const YAML::Node info = profile_["readings"][reading];
    if (info["follows"]) return info["follows"].Scalar() == control ? 1.0 : 0.0;
    if (!info["gap"]) return 0.0;
    const double from_nut = 1.0 - std::exp2(-info["gap"]["at"].as<double>() / 12.0);
    return control == "nut_height" ? 1.0 - from_nut : control == "saddle_height" ? from_nut : 0.0;
  }
  // What a control moves at the string of `point`, `point` itself left out, with the move as a share of its own.
  std::map<std::string, double> moved_with(const std::string& point, const std::string& control) const {
    std::map<std::string, double> moved;
    for (const std::string& name : keys_of(profile_["readings"])) {
      const double share = moves_by(name, control) / moves_by(reading_of(point), control);
      if (name != reading_of(point) && share > 0) moved[name + "." + member_of(point)] = share;
    }
    return moved;
  }

  // What a job makes stale: what it disturbs, what it sets to an aim, and what moves with that across the whole width of its range by
  // as much as a tool tells apart.
  Names spoilt_by(const std::string& job) const {
    const YAML::Node info = profile_["jobs"][job];
    Names spoilt = points_of(names_of(info["disturbs"]));
    if (!info["sets"] || info["sets"].IsMap()) return spoilt;
    for (const std::string& set : points_of(names_of(info["sets"]))) {
      spoilt.push_back(set);
      if (!info["moves"]) continue;
      const Range range = parse_range(target(set, "range").Scalar());
      const double width = to_double(*range.hi - *range.lo);
      for (const auto& [point, share] : moved_with(set, info["moves"].Scalar())) {
        if (width * share >= read_to(point) - 1e-12) spoilt.push_back(point);
      }
    }
    return spoilt;
  }

  // The texts that may stand there: one where the answer is known, else those of every row that is still possible.
  Names possible(const YAML::Node& node) const {
    if (!node.IsMap()) return {node.Scalar()};
    const YAML::Node by = node.begin()->first;  // by copy: what `->` gives lives no longer than its line
    const YAML::Node rows = node.begin()->second;
    const Value answer = look(by.Scalar().substr(3));
    Names all;
    bool otherwise = true;
    for (const auto& row : rows) {
      const std::string key = row.first.Scalar();
      if (key == "otherwise" || !fits(key, answer)) continue;
      for (const std::string& text : possible(row.second)) all.push_back(text);
      otherwise = otherwise && !surely(key, answer);
    }
    if (otherwise && rows["otherwise"]) {
      for (const std::string& text : possible(rows["otherwise"])) all.push_back(text);
    }
    return all;
  }

 private:
  bool is_fact(const std::string& name) const { return at(profile_["facts"], name) || at(profile_["choices"], name); }
  Value fact(const std::string& name) const {
    Value value;
    const YAML::Node own = at(visit_["player"], name);
    const YAML::Node said = own ? own : at(profile_["facts"], name);
    if (!said) return value;
    if (at(profile_["choices"], name))
      value.state = said.Scalar();
    else
      value = naive::evaluate(parse(said.Scalar()), *this);
    return value;
  }
  bool is_computed(const std::string& name) const {
    static const Names kinds{"length", "cents", "truth"};
    const YAML::Node is = at(at(profile_["readings"], name), "is");
    return is && is.IsScalar() && !has(kinds, is.Scalar());
  }
  Hand hand_at(const std::string& point) const {
    const std::string axis = axis_of(reading_of(point));
    return axis.empty() ? Hand{} : Hand{{axis, point.substr(point.find('.') + 1)}};
  }
  // ---- the log ----------------------------------------------------------------------------------------------------------------

  Value written(const std::string& reading, const std::string& text) const {
    Value value;
    if (text == "true" || text == "false")
      value.truth = text == "true";
    else if (is_state(text))
      value.state = text;
    else if (text.compare(0, 3, "at ") == 0)
      value.number = bound(text);
    else if (text == "contact")
      value.number.hi = length(reading, "read_to");
    else
      value = naive::evaluate(parse(text), *this);
    return value;
  }
  static Span bound(const std::string& text) {
    const Range range = parse_range(text);
    return {range.lo, range.hi};
  }

  void assume() {
    for (const auto& reading : profile_["readings"]) {
      const std::string name = reading.first.Scalar();
      if (!reading.second["assume"]) continue;
      readings_[name].status = Reading::read;
      readings_[name].value = written(name, reading.second["assume"].Scalar());
    }
  }

  void spoil(const Names& points) {
    for (const std::string& point : points) {
      if (readings_[point].status != Reading::read) continue;
      if (is_computed(point))
        readings_.erase(point);  // its formula counts again
      else
        readings_[point].status = Reading::stale;
    }
  }
  // What is moved, and what was written of a computed reading that is made of it.
  void move(const Names& points) {
    spoil(points);
    for (const std::string& name : keys_of(profile_["readings"])) {
      if (is_computed(name) && is_made_of(parse(profile_["readings"][name]["is"].Scalar()), points)) spoil({name});
    }
  }
  bool is_made_of(const TreePtr& tree, const Names& points) const {
    if (tree->what == "name" && tree->text == "extra")
      return is_made_of(parse(profile_["facts"]["extra"].Scalar()), points);
    const bool one = !tree->member.empty() && tree->member != "all";
    for (const std::string& point : points) {
      const bool named = one ? point == tree->text + "." + tree->member : reading_of(point) == tree->text;
      if (tree->what == "name" && named) return true;
    }
    return std::any_of(tree->parts.begin(), tree->parts.end(),
                       [&](const TreePtr& part) { return is_made_of(part, points); });
  }
  void carry_out(const YAML::Node& entry, int number) {
    if (entry["fitted"] || entry["retuned"]) move(points_of(Names{"gaps", "q0"}));  // every gap and every pitch
    const YAML::Node told = entry["did"] && entry["did"].IsMap() ? entry["did"]["job"] : entry["did"];
    for (const std::string& job : names_of(told)) {
      done_.push_back(job);
      const YAML::Node sets = profile_["jobs"][job]["sets"];
      Names moved = spoilt_by(job);
      if (sets && sets.IsMap()) {
        for (const std::string& point : points_of(keys_of(sets))) moved.push_back(point);
      }
      move(moved);
      for (auto each = sets.begin(); sets && sets.IsMap() && each != sets.end(); ++each) {
        const std::string name = each->first.Scalar();
        for (const std::string& point : points_of(name))
          readings_[point] = {Reading::read, written(name, each->second.Scalar()), 1, number};
      }
    }
    for (const auto& each : entry["read"]) read(each.first.Scalar(), each.second, number);
    say(agreed_, declined_, names_of(entry["agreed"]));
    say(declined_, agreed_, names_of(entry["declined"]));
  }
  // The last word counts.
  static void say(Names& to, Names& from, const Names& jobs) {
    for (const std::string& job : jobs) {
      to.push_back(job);
      from.erase(std::remove(from.begin(), from.end(), job), from.end());
    }
  }

  void read(const std::string& point, const YAML::Node& node, int number) {
    const Names texts = names_of(node);
    if (texts[0] == "unknown") return;
    Reading& reading = readings_[point];
    reading = {Reading::read, {}, static_cast<int>(texts.size()), number};
    if (texts[0] == "not_measurable") {
      reading.status = Reading::not_measurable;
      return;
    }
    reading.value = written(reading_of(point), texts[0]);
    if (texts.size() == 1 && !reading.value.number.is_point()) return;
    if (reading.value.number.is_point()) {  // several: their mean
      Fraction sum;
      for (const std::string& text : texts) sum = sum + *written(reading_of(point), text).number.lo;
      reading.value.number = exactly(sum / Fraction{static_cast<Wide>(texts.size()), 1});
      first_.emplace(point, *reading.value.number.lo);
    }
  }

  // What was read while a gate was known to be closed is stale once it opens.
  void follow_gates(int number) {
    bool opened = false;
    for (const std::string& gate : keys_of(profile_["gates"])) {
      std::set<int>& closed = closed_at_[gate];
      if (outcome_.gates[gate] == "no") closed.insert(number);
      if (outcome_.gates[gate] != "yes") continue;
      for (const std::string& point : behind(gate)) {
        if (closed.count(readings_[point].entry) > 0) spoil({point});
      }
      closed.clear();
      opened = true;
    }
    if (opened) settle();
  }
  Names behind(const std::string& gate) const {
    Names names = names_of(profile_["gates"][gate]["voids"]);
    for (const std::string& held : names_of(profile_["gates"][gate]["holds"])) names.push_back(held);
    if (!has(names, "visit")) return points_of(names);
    Names all;
    for (const auto& [point, verdict] : outcome_.verdicts) all.push_back(point);
    return all;
  }

  // ---- tables -----------------------------------------------------------------------------------------------------------------

  // over A up to B, up to B, over A, from A
  struct Band {
    std::optional<Fraction> over, from, up_to;
  };
  std::optional<Band> band(const std::string& key) const {
    Band band;
    const auto number = [&](const std::string& text) { return naive::evaluate(parse(text), *this).number.lo; };
    const std::size_t up = key.find("up to ");
    if (key.compare(0, 5, "over ") == 0) band.over = number(key.substr(5, up == std::string::npos ? up : up - 6));
    if (key.compare(0, 5, "from ") == 0) band.from = number(key.substr(5));
    if (up != std::string::npos) band.up_to = number(key.substr(up + 6));
    return band.over || band.from || band.up_to ? std::optional<Band>(band) : std::nullopt;
  }
  bool fits(const std::string& key, const Value& answer) const {
    const auto row = band(key);
    if (!row) return !answer.state || *answer.state == key;
    const Span& number = answer.number;
    const bool below = number.hi && ((row->over && *number.hi <= *row->over) || (row->from && *number.hi < *row->from));
    const bool above = number.lo && row->up_to && *row->up_to < *number.lo;
    return !below && !above;
  }
  bool surely(const std::string& key, const Value& answer) const {
    const auto row = band(key);
    if (!row) return answer.state.has_value();
    return row->from && answer.number.lo && *row->from <= *answer.number.lo;
  }

  // ---- verdicts ---------------------------------------------------------------------------------------------------------------

  void settle() {
    settle_verdicts();
    for (const std::string& gate : keys_of(profile_["gates"]))
      outcome_.gates[gate] = truth_of(profile_["gates"][gate]["open_when"].Scalar());
  }
  void settle_verdicts() {
    outcome_.ranges.clear();
    Names points;
    for (const std::string& name : keys_of(profile_["targets"])) {
      for (const std::string& point : points_of(name)) points.push_back(point);
    }
    // Ranges and verdicts may ask for each other, in no circle: round after round, until one changes nothing.
    for (const std::string& point : points) outcome_.verdicts.emplace(point, "not read");
    for (bool more = true; more;) {
      const auto before = outcome_.ranges;
      for (const std::string& point : points) find_range(point);
      more = before != outcome_.ranges;
    }
    for (bool more = true; more;) {
      const auto before = outcome_.verdicts;
      for (const std::string& point : points) outcome_.verdicts[point] = verdict_of(point);
      more = before != outcome_.verdicts;
    }
  }

  // aim(r0) +- 1 mm, or a range of numbers.
  Range range_of(const std::string& text) const {
    if (text.compare(0, 4, "aim(") != 0) return parse_range(text);
    const auto middle = aim(text.substr(4, text.find(')') - 4));
    if (!middle) return {};
    const Fraction half = *naive::evaluate(parse(text.substr(text.find("+-") + 2)), *this).number.lo;
    return {*middle - half, *middle + half, *middle};
  }
  void find_range(const std::string& point) {
    const Names texts = possible(target(point, "range"));
    std::optional<Range> range = range_of(texts[0]);
    for (const std::string& text : texts) {
      const Range other = range_of(text);
      if (!range || other.lo != range->lo || other.hi != range->hi || other.aim != range->aim) range.reset();
    }
    const YAML::Node want = at(visit_["wants"], point);
    const bool leave = want && want.Scalar() == "leave";
    if (want && !leave) range = parse_range(want.Scalar());
    if (!range || (!range->lo && !range->hi)) return;
    const auto first = first_.find(point);
    if (leave && first != first_.end() && range->lo && range->hi) {
      const Fraction half = (*range->hi - *range->lo) / Fraction{2, 1};
      range = Range{first->second - half, first->second + half, first->second};
    }
    outcome_.ranges[point] = *range;
  }

  std::string verdict_of(const std::string& point) const {
    const YAML::Node when = target(point, "when");
    if (when && truth_of(when.Scalar(), hand_at(point)) == "no") return "not applicable";
    if (voided_.count(point) > 0) return "void";
    const auto found = readings_.find(point);
    const Reading reading = found == readings_.end() ? Reading{} : found->second;
    if (reading.status == Reading::stale) return "stale";
    Span value;
    try {
      value = look(point).number;
    } catch (const Error&) {
      return "not read";
    }
    if (!value.lo && !value.hi) return "not read";
    const auto range = outcome_.ranges.find(point);
    if (range == outcome_.ranges.end()) return "target unknown";
    return against(value, range->second, doubt(point, reading.times));
  }
  // U^2 = d^2/3 + 4 rep^2/n
  Fraction doubt(const std::string& point, int times) const {
    if (decide_ == "plain") return {};
    const Fraction d = length(reading_of(point), "read_to").value_or(Fraction{});
    const Fraction rep = length(reading_of(point), "repeat").value_or(Fraction{});
    return d * d / Fraction{3, 1} + Fraction{4, 1} * rep * rep / Fraction{times, 1};
  }
  static std::string against(Span value, const Range& range, Fraction doubt) {
    if (!value.is_point()) {  // decided where all of it is
      if (value.hi && range.lo && *value.hi < *range.lo) return "low";
      if (value.lo && range.hi && *range.hi < *value.lo) return "high";
      const bool above = !range.lo || (value.lo && *range.lo <= *value.lo);
      const bool below = !range.hi || (value.hi && *value.hi <= *range.hi);
      return above && below ? "within" : "too close to call";
    }
    const Fraction y = *value.lo;
    const auto square = [](Fraction x) { return x * x; };
    if (range.hi && *range.hi < y && doubt < square(y - *range.hi)) return "high";
    if (range.lo && y < *range.lo && doubt < square(y - *range.lo)) return "low";
    const bool far_from_lo = !range.lo || (*range.lo <= y && doubt <= square(y - *range.lo));
    const bool far_from_hi = !range.hi || (y <= *range.hi && doubt <= square(y - *range.hi));
    return far_from_lo && far_from_hi ? "within" : "too close to call";
  }

  // What a gate that is not open voids is known to nothing but the gates.
  void take_void_away() {
    std::set<std::string> voided;
    for (const std::string& gate : keys_of(profile_["gates"])) {
      if (outcome_.gates[gate] == "yes") continue;
      for (const std::string& point : points_of(names_of(profile_["gates"][gate]["voids"]))) {
        const auto found = readings_.find(point);
        const bool read = found != readings_.end() &&
                          (found->second.status == Reading::read || found->second.status == Reading::stale);
        const auto verdict = outcome_.verdicts.find(point);
        const bool judged = verdict == outcome_.verdicts.end() || verdict->second != "not read";
        if (read || (is_computed(reading_of(point)) && judged)) voided.insert(point);
      }
    }
    voided_ = voided;
    settle_verdicts();
  }

  std::string truth_of(const std::string& text, const Hand& hand = {}) const {
    try {
      const auto truth = naive::evaluate(parse(text), *this, hand).truth;
      return truth ? (*truth ? "yes" : "no") : "unknown";
    } catch (const Error&) {
      return "unknown";
    }
  }

  std::string state_of(const YAML::Node& rule) const {
    Names seen;
    const TreePtr when = parse(rule["when"].Scalar());
    const Names at = rule["for"] ? members(rule["for"].Scalar()) : Names{""};
    for (const std::string& member : at) {
      Hand hand;
      if (rule["for"]) hand[rule["for"].Scalar()] = member;
      try {
        const auto truth = naive::evaluate(when, *this, hand).truth;
        seen.push_back(truth ? (*truth ? "fired" : "clear") : "unknown");
      } catch (const Error&) {
        seen.push_back("error");
      }
    }
    for (const char* state : {"error", "fired", "unknown"}) {
      if (has(seen, state)) return state;
    }
    return "clear";
  }

  YAML::Node house_;
  YAML::Node profile_;
  YAML::Node visit_;
  std::string decide_;
  std::string text_;  // of the profile
  Names strings_;
  std::set<std::string> states_;

  std::map<std::string, Reading> readings_;  // by point
  std::map<std::string, Fraction> first_;    // what a point first read
  std::set<std::string> voided_;             // by a gate that is not open
  Names done_;
  Names agreed_;
  Names declined_;
  std::map<std::string, std::set<int>> closed_at_;
  Outcome outcome_;
};

}  // namespace naive
