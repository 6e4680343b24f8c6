// See fret_map.h.
#include "engine/paper/fret_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/model/frets.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

bool is_strip(const Program& program, const ReadingInfo& reading) {
  if (reading.axes != std::vector<Axis>{Axis::fret} || reading.type.kind != Kind::number) return false;
  if (reading.type.dimension != dimension::length) return false;
  const bool judged = reading.count > 0 && program.target(reading.first) != nullptr;
  return judged || reading.follows == "fret_plane" || reading.source == ReadingInfo::Source::computed;
}

std::optional<double> least_fret(const Program& program) {
  for (const FactInfo& fact : program.facts) {
    if (fact.name != "fret_min" || !fact.value) continue;
    const Nothing nothing(program);
    const Result value = Evaluator(program, nothing).evaluate(*fact.value);
    if (!value.failure && value.value.number.is_point()) return value.value.number.lo->to_double();
  }
  return std::nullopt;
}

class Strip {
 public:
  Strip(const Program& program, const Judgement& judgement, ReadingId id)
      : program_(program), judgement_(judgement), scene_(program, judgement), info_(program.readings[id]) {
    strip_.reading = id;
    strip_.name = info_.name;
    std::replace(strip_.name.begin(), strip_.name.end(), '_', ' ');
    strip_.of = info_.of;
    strip_.rises = info_.follows == "fret_plane";
    strip_.computed = info_.source == ReadingInfo::Source::computed;
  }

  [[nodiscard]] std::optional<FretStrip> run() {
    limits();
    for (PointId point = info_.first; point < info_.first + info_.count; ++point) add(point);
    const bool something = std::any_of(strip_.bars.begin(), strip_.bars.end(),
                                       [](const FretBar& bar) { return !bar.assumed && std::abs(bar.value) > 1e-9; });
    if (!something) return std::nullopt;
    write_alike();
    worst();
    return std::move(strip_);
  }

 private:
  void limits() {
    const int at = program_.target_of[info_.first];
    if (at >= 0) {
      const TargetState& target = judgement_.targets[static_cast<std::size_t>(at)];
      if (target.lo) strip_.low = target.lo->to_double();
      if (target.hi) strip_.high = target.hi->to_double();
      if (target.lo || target.hi) strip_.wanted = scene_.target_text(info_.first);
    } else if (strip_.computed) {
      strip_.low = least_fret(program_);
      const auto ratio = strip_.low ? Ratio::floor_of(*strip_.low) : std::nullopt;
      if (ratio) strip_.wanted = "at least " + shown(program_, judgement_, info_.first, *ratio);
    }
  }

  void add(PointId point) {
    const Result result = scene_.reading(point);
    const Interval& number = result.value.number;
    if (result.failure || !result.needs.empty() || !number.is_point()) return;
    FretBar bar;
    bar.fret = program_
                   .axes[static_cast<std::size_t>(Axis::fret)]
                        [static_cast<std::size_t>(program_.points[point].at[static_cast<std::size_t>(Axis::fret)])]
                   .number;
    bar.value = number.lo->to_double();
    const std::string text = shown(program_, judgement_, point, *number.lo);
    const std::size_t space = text.rfind(' ');
    bar.text = text.substr(0, space);
    if (space != std::string::npos) strip_.unit = text.substr(space + 1);
    bar.out = (strip_.high && bar.value > *strip_.high) || (strip_.low && bar.value < *strip_.low);
    bar.assumed = judgement_.points[point].assumed;
    strip_.bars.push_back(std::move(bar));
  }

  // As many decimals in each: 0.12, 0.10.
  void write_alike() {
    const auto decimals = [](const std::string& text) {
      const std::size_t point = text.find('.');
      return point == std::string::npos ? 0 : text.size() - point - 1;
    };
    std::size_t most = 0;
    for (const FretBar& bar : strip_.bars) most = std::max(most, decimals(bar.text));
    for (FretBar& bar : strip_.bars) {
      const std::size_t missing = most - decimals(bar.text);
      if (missing == 0 || bar.text.find_first_not_of("-0123456789.") != std::string::npos) continue;
      bar.text += (decimals(bar.text) == 0 ? "." : "") + std::string(missing, '0');
    }
  }

  void worst() {
    const bool least = strip_.low && !strip_.high;
    const auto further = [&](const FretBar& a, const FretBar& b) {
      return least ? a.value > b.value : a.value < b.value;
    };
    const FretBar& at = *std::max_element(strip_.bars.begin(), strip_.bars.end(), further);
    std::vector<int> frets;
    for (const FretBar& bar : strip_.bars) {
      if (bar.value == at.value) frets.push_back(bar.fret);
    }
    constexpr std::size_t most_named = 4;
    const std::string where = frets.size() > most_named
                                  ? fmt::format("{} frets", frets.size())
                                  : fmt::format("fret{} {}", frets.size() > 1 ? "s" : "", fmt::join(frets, ", "));
    strip_.worst = fmt::format("{} {} {} at {}", least ? "least" : "most", at.text, strip_.unit, where);
  }

  const Program& program_;
  const Judgement& judgement_;
  Scene scene_;
  const ReadingInfo& info_;
  FretStrip strip_;
};

}  // namespace

FretMap fret_map(const Program& program, const Judgement& judgement) {
  FretMap map;
  if (program.frets <= 0) return map;
  for (int fret = 0; fret <= program.frets; ++fret) map.places.push_back(model::fret_share(fret));
  for (ReadingId id = 0; id < program.readings.size(); ++id) {
    if (!is_strip(program, program.readings[id])) continue;
    if (auto strip = Strip(program, judgement, id).run()) map.strips.push_back(std::move(*strip));
  }
  for (const FretStrip& strip : map.strips) {
    if (!strip.rises) continue;
    for (const FretBar& bar : strip.bars) {
      if (bar.out || (strip.wanted.empty() && bar.value > 0)) map.high.push_back(bar.fret);
    }
  }
  return map;
}

}  // namespace stringline
