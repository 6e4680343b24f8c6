// See quick_judge.h.
#include "engine/judge/quick_judge.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/judge/quick_plan.h"

namespace stringline {
namespace {

constexpr int no_row = 3;  // of a rule over nothing; truths are 0 to 2
constexpr double not_read = std::numeric_limits<double>::quiet_NaN();

// Thousandths of a mm; what thousandths of an inch, 64ths and thousandths of a mm share; any count.
constexpr std::int64_t thousandths = 1'000;
constexpr std::int64_t trade_parts = 40'000;

ReadEvent number_event(PointId point, Ratio value, Unit unit) {
  ReadEvent event;
  event.point = point;
  event.numbers = {value};
  event.unit = unit;
  return event;
}

// What a reading in whole counts says, as a log says it.
ReadEvent event_of(const Program& program, PointId point, double count) {
  const ReadingInfo& reading = program.reading_of(point);
  ReadEvent event;
  event.point = point;
  event.unit = reading.unit;
  if (std::isnan(count)) {
    event.form = ReadEvent::Form::not_measurable;
  } else if (reading.type.kind == Kind::truth) {
    event.truth = count == 1;
  } else if (reading.type.kind == Kind::state) {
    event.state = program.state_sets[reading.type.states].states[static_cast<std::size_t>(count)];
  } else {
    event.numbers = {*Ratio::make(static_cast<std::int64_t>(count), counts_per_unit)};
  }
  return event;
}

}  // namespace

void Readings::counts(PointId point, std::int64_t counts) {
  if (parts_ != counts_per_unit && counts % (counts_per_unit / thousandths) != 0) {
    parts_ = counts % (counts_per_unit / trade_parts) == 0 ? trade_parts : counts_per_unit;
  }
  counts_[point] = static_cast<double>(counts);
}

void Readings::keep(ReadEvent event) {
  counts_[event.point] = not_read;
  others_.push_back(std::move(event));
}

void Readings::decimal(PointId point, std::int64_t digits, int places) {
  static constexpr std::array<std::int64_t, 7> each_place{16'000'000, 1'600'000, 160'000, 16'000, 1'600, 160, 16};
  if (places >= 0 && places <= 6) {
    const std::int64_t each = each_place[static_cast<std::size_t>(places)];
    if (std::abs(digits) <= largest_count / each) return counts(point, digits * each);
  }
  std::int64_t parts = 1;
  for (int i = 0; i < places && i < 18; ++i) parts *= 10;
  if (const auto value = Ratio::make(digits, parts)) number(point, *value);
}

void Readings::number(PointId point, Ratio value) {
  const auto whole = multiply(value, Ratio(counts_per_unit));
  if (whole && whole->den() == 1 && std::abs(whole->num()) <= largest_count) return counts(point, whole->num());
  keep(number_event(point, value, Unit::none));
}

void Readings::state(PointId point, std::size_t place) { counts_[point] = static_cast<double>(place); }
void Readings::truth(PointId point, bool value) { counts_[point] = value ? 1 : 0; }
void Readings::not_measurable(PointId point) { counts_[point] = not_read; }

double Readings::tuning_place(const ReadEvent& event) const {
  if (!known_tunings_) return -1;
  const auto known = known_tunings_->find(static_cast<std::uint16_t>(event.point));
  if (known == known_tunings_->end()) return -1;
  const auto found = std::find(known->second.begin(), known->second.end(), event.pitches);
  return found == known->second.end() ? -1 : static_cast<double>(found - known->second.begin());
}

void Readings::event(const Program& program, const ReadEvent& event) {
  using Form = ReadEvent::Form;
  if (event.form == Form::unknown) return;
  for (auto* kept : {&others_, &tunings_}) {
    const auto same_point = [&](const ReadEvent& other) { return other.point == event.point; };
    kept->erase(std::remove_if(kept->begin(), kept->end(), same_point), kept->end());
  }
  const ReadingInfo& reading = program.reading_of(event.point);
  const bool computed = reading.source == ReadingInfo::Source::computed;  // read all the same: rare
  if (event.form == Form::not_measurable && !computed) return not_measurable(event.point);
  if (event.form == Form::value && !event.method && !computed) {
    if (reading.type.kind == Kind::number && event.numbers.size() == 1)
      return number(event.point, event.numbers.front());
    if (reading.type.kind == Kind::tuning) {
      tunings_.push_back(event);
      counts_[event.point] = tuning_place(event);
      return;
    }
    if (reading.type.kind == Kind::truth) return truth(event.point, event.truth);
    if (reading.type.kind == Kind::state && event.state) {
      const auto& states = program.state_sets[reading.type.states].states;
      const auto found = std::find(states.begin(), states.end(), *event.state);
      if (found != states.end()) return state(event.point, static_cast<std::size_t>(found - states.begin()));
    }
  }
  keep(event);
}

QuickJudge::QuickJudge(const Program& program) : program_(program) {
  program_.log.clear();
  if (auto plan = quick::make_quick_plan(program_, refused_)) plan_ = std::make_unique<quick::Plan>(std::move(*plan));
  if (plan_) blank_.known_tunings_ = std::make_shared<const quick::KnownTunings>(plan_->tunings);
  blank_.counts_.assign(program_.points.size() + 1, not_read);
  const Judgement blank = stringline::judge(program_);
  for (PointId point = 0; point < program_.points.size(); ++point) {
    const Value& value = blank.points[point].value;
    if (!blank.points[point].assumed) continue;
    ReadEvent assumed;
    assumed.point = point;
    assumed.state = value.state;
    assumed.truth = value.truth == Truth::yes;
    if (value.pitches) assumed.pitches = *value.pitches;
    if (value.kind == Kind::number && value.number.is_exact()) assumed.numbers = {*value.number.lo};
    blank_.event(program_, assumed);
  }
  if (!blank_.others_.empty()) {
    plan_.reset();
    refused_ = "something is assumed that no count holds";
    blank_.others_.clear();
  }
  program_.log.resize(1);
}

bool QuickJudge::looks_back() const { return plan_ && plan_->looks_back; }

QuickJudge::QuickJudge(QuickJudge&&) noexcept = default;
QuickJudge& QuickJudge::operator=(QuickJudge&&) noexcept = default;
QuickJudge::~QuickJudge() = default;

std::span<const QuickJudgement> QuickJudge::judge(std::span<const Readings> records) {
  QuickJudgement blank;
  blank.verdicts.resize(program_.targets.size());
  blank.gates.resize(program_.gates.size());
  blank.stops.resize(program_.stops.size());
  blank.rules.resize(program_.rules.size());
  if (found_.size() < records.size()) found_.resize(records.size(), blank);
  for (std::size_t at = 0; at < records.size(); at += quick::lanes)
    judge_some(records.subspan(at, std::min(quick::lanes, records.size() - at)), &found_[at]);
  return {found_.data(), records.size()};
}

// Up to a record a lane; the lanes that are left judge the last one again.
void QuickJudge::judge_some(std::span<const Readings> records, QuickJudgement* found) {
  if (plan_) {
    std::array<const double*, quick::lanes> counts{};
    quick::Lanes parts;
    for (std::size_t lane = 0; lane < quick::lanes; ++lane) {
      const Readings& record = records[std::min(lane, records.size() - 1)];
      counts[lane] = record.counts_.data();
      parts.set(lane, static_cast<double>(record.parts_));
    }
    plan_->run(counts, parts);
    hand_out(std::span(found, records.size()));
  }
  for (std::size_t lane = 0; lane < records.size(); ++lane) {
    found[lane].in_full = !plan_ || !records[lane].others_.empty() || plan_->doubt.of(lane) > 0;
    if (found[lane].in_full) judge_in_full(records[lane], found[lane]);
  }
}

// Row by row, as they lie in the plan.
void QuickJudge::hand_out(std::span<QuickJudgement> found) const {
  const auto hand = [&](const std::vector<quick::Slot>& slots, const std::vector<quick::Lanes>& rows, auto list,
                        auto word) {
    for (std::size_t i = 0; i < slots.size(); ++i) {
      const quick::Lanes* row = slots[i] == quick::no_slot ? nullptr : &rows[slots[i]];
      for (std::size_t lane = 0; lane < found.size(); ++lane)
        (found[lane].*list)[i] = word(row == nullptr ? no_row : static_cast<int>(row->of(lane)));
    }
  };
  const auto verdict = [](int code) { return static_cast<Verdict>(code); };
  const auto truth = [](int code) { return code == 0 ? Truth::no : code == 1 ? Truth::unknown : Truth::yes; };
  const auto state = [](int code) {
    constexpr std::array words{RuleState::clear, RuleState::unknown, RuleState::fired, RuleState::not_applicable};
    return words[static_cast<std::size_t>(code)];
  };
  hand(plan_->verdict_of, plan_->verdict, &QuickJudgement::verdicts, verdict);
  hand(plan_->gate_of, plan_->truth, &QuickJudgement::gates, truth);
  hand(plan_->stop_of, plan_->truth, &QuickJudgement::stops, truth);
  hand(plan_->rule_of, plan_->truth, &QuickJudgement::rules, state);
}

void QuickJudge::judge_in_full(const Readings& record, QuickJudgement& to) {
  ++asked_full_;
  Entry& entry = program_.log.front();
  entry.read = record.others_;
  entry.read.insert(entry.read.end(), record.tunings_.begin(), record.tunings_.end());
  const auto is_other = [&](PointId point) {
    return std::any_of(record.others_.begin(), record.others_.end(),
                       [point](const ReadEvent& event) { return event.point == point; });
  };
  for (PointId point = 0; point < program_.points.size(); ++point) {
    const double count = record.counts_[point];
    const bool left_alone = std::isnan(count) && std::isnan(blank_.counts_[point]);  // else it was assumed
    const bool told = program_.reading_of(point).type.kind == Kind::tuning && !std::isnan(count);
    if (!left_alone && !told && !is_other(point)) entry.read.push_back(event_of(program_, point, count));
  }
  const Judgement found = stringline::judge(program_);
  for (std::size_t i = 0; i < found.targets.size(); ++i) to.verdicts[i] = found.targets[i].verdict;
  for (std::size_t i = 0; i < found.gates.size(); ++i) to.gates[i] = found.gates[i].truth;
  for (std::size_t i = 0; i < found.stops.size(); ++i) to.stops[i] = found.stops[i].truth;
  for (std::size_t i = 0; i < found.rules.size(); ++i) to.rules[i] = found.rules[i].state;
}

}  // namespace stringline
