// What was known before a job was done. A price for each member, or one that asks a reading, is counted from what the work was for;
// the work itself changes that.
// Tested by tests/golden/estimate/priced_before_the_work.case.
#pragma once

#include <map>
#include <memory>
#include <vector>

#include "engine/estimate/estimate.h"
#include "engine/estimate/price.h"

namespace stringline {

class BeforeWork {
 public:
  // The visit as its log had it before one entry.
  struct Moment {
    Program program;
    Judgement judgement;
    Plan plan;
    PriceBook book;

    Moment(const EstimateInput& in, std::size_t entry);
    Moment(const Moment&) = delete;
    Moment& operator=(const Moment&) = delete;
    ~Moment() = default;

    [[nodiscard]] const PlanLine* line_of(JobId job) const;  // null: it was not planned then
  };

  explicit BeforeWork(const EstimateInput& in) : in_(in) {}

  // Before each entry that says the job was done, the oldest first. Of more than a few dozen the first ones.
  [[nodiscard]] std::vector<const Moment*> of(JobId job);

 private:
  const EstimateInput& in_;
  std::map<std::size_t, std::unique_ptr<const Moment>> moments_;  // by entry
};

}  // namespace stringline
