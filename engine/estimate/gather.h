// A plan and a bench log -> the lines that are priced: package, work, parts, fees; and the offers, which stand apart.
//
// Strings and parts: what the log says was fitted, and one of each that a planned job uses. A part that the same entry both
// fitted and used counts once. While a visit is stopped or held only the fee and what the owner agreed to are here.
// Tested by tests/unit/estimate_test.cc.
#pragma once

#include <vector>

#include "engine/estimate/estimate.h"

namespace stringline {

struct Gathered {
  std::vector<EstimateLine> lines;
  std::vector<EstimateLine> offers;
};

enum class Stage : std::uint8_t { planned, final };  // final: what was done, and nothing that is only planned

[[nodiscard]] bool has(const std::vector<JobId>& jobs, JobId job);

[[nodiscard]] Gathered gather(const EstimateInput& in, const PriceBook& book, Stage stage);
// "12 to 53": a set's thinnest and thickest string; its label where the house gives one.
[[nodiscard]] std::string set_text(const PartTree& part);
// The part that a job uses: its name, and for `strings` the visit's own set; empty where the house has none.
[[nodiscard]] EstimateLine part_line(const EstimateInput& in, const PriceBook& book, const std::string& name);

}  // namespace stringline
