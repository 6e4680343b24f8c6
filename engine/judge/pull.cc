// See pull.h.
#include "engine/judge/pull.h"

#include <fmt/format.h>

#include <cmath>

#include "engine/check/evaluate.h"
#include "engine/model/string_data.h"

namespace stringline {
namespace {

std::string gauge_text(const Gauge& gauge) {
  const auto thousandths = multiply(gauge.diameter, *Ratio::make(10000, 254));  // mm -> thousandths of an inch
  return (thousandths ? to_decimal(*thousandths) : "?") + (gauge.wound ? "w" : "p");
}

void add(std::optional<double>& sum, const std::optional<double>& value) {
  if (sum && value)
    *sum += *value;
  else
    sum.reset();
}

}  // namespace

double mass_of(const Gauge& steel) {
  return model::plain_mass(steel.diameter.to_double()) * (steel.wound ? wound_share : 1.0);
}

std::string change_of_pull(double before, double now, const std::string& against) {
  const double change = 100.0 * (now / before - 1.0);
  if (std::abs(change) < 0.5) return "none against " + against;
  return fmt::format("{:+.0f} % against {}; {}, how far only a reading tells", change, against,
                     change > 0 ? "more pull bends the neck forward, so relief grows"
                                : "less pull lets the neck come back, so relief shrinks");
}

Pull pull_of(const Program& program) {
  Pull pull;
  if (program.strings.empty() || program.scale_mm <= 0) return pull;
  const bool steel = fact_state(program, "string_material") != "nylon";
  pull.all = pull.of_the_slots = 0.0;
  for (std::size_t i = 0; i < program.strings.size(); ++i) {
    const StringInfo& string = program.strings[i];
    StringPull each;
    each.string = program.axes[static_cast<std::size_t>(Axis::string)][i].name;
    const double length = program.scale_of(i) * std::exp2(-string.first_fret / 12.0);
    const auto newton = [&](const std::optional<Gauge>& gauge) -> std::optional<double> {
      if (!steel || !gauge || !string.pitch) return std::nullopt;
      if (gauge->wound) pull.assumed = fmt::format("a wound string weighs {} of solid steel as thick", wound_share);
      return model::tension(mass_of(*gauge), length, frequency(*string.pitch));
    };
    each.newton = newton(string.gauge);
    each.of_the_slot = newton(string.slot_gauge);
    if (string.gauge && string.pitch)
      each.what = fmt::format("{} at {}", gauge_text(*string.gauge), string.pitch->written);
    add(pull.all, each.newton);
    add(pull.of_the_slots, each.of_the_slot);
    pull.strings.push_back(std::move(each));
  }
  return pull;
}

}  // namespace stringline
