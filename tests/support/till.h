// A visit of the example shop, priced by its own house or by one that differs from it.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "engine/book/open_visit.h"
#include "engine/estimate/estimate.h"

namespace stringline::test {

struct Till {
  Sources sources;
  Diagnostics out;
  HouseBook book;
  std::unique_ptr<const OpenVisit> visit;

  // By the file's name without its ending; the day is the last one of its log.
  explicit Till(const std::string& name);
  Till(const Till&) = delete;
  Till& operator=(const Till&) = delete;

  using Change = std::function<void(HouseTree&, VisitTree&, Judgement&)>;
  // The visit checked, judged, planned and priced after `change`; the judgement is changed last, before the plan.
  [[nodiscard]] std::optional<Estimate> priced(const Change& change = {});

  // What the last `priced` saw.
  HouseTree house;
  VisitTree tree;
  std::optional<Program> program;
  Judgement judgement;
  Plan plan;
  Date today;

  [[nodiscard]] EstimateInput input() const { return {*program, house, tree, judgement, plan, today}; }
};

}  // namespace stringline::test
