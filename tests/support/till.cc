#include "tests/support/till.h"

#include "engine/check/check.h"

namespace stringline::test {

Till::Till(const std::string& name) : book({"profiles"}, sources, out) {
  visit = open_visit(book, {"examples/harrow_lane/visits/" + name + ".yaml", std::nullopt, "", std::nullopt}, out);
  if (visit == nullptr) return;
  house = *visit->house;
  tree = *visit->tree;
  if (!visit->program.log.empty()) today = visit->program.log.back().date;
}

std::optional<Estimate> Till::priced(const Change& change) {
  if (visit == nullptr) return std::nullopt;
  house = *visit->house;
  tree = *visit->tree;
  judgement = {};
  if (change) change(house, tree, judgement);
  const auto layers = book.layers(*tree.profile);
  program = layers ? check({&house, *layers, &tree}, out) : std::nullopt;
  if (!program) return std::nullopt;
  judgement = judge(*program, {today, visit->last ? &*visit->last : nullptr});
  if (change) {
    HouseTree unused_house = house;
    VisitTree unused_tree = tree;
    change(unused_house, unused_tree, judgement);
  }
  plan = make_plan(*program, judgement);
  return make_estimate(input(), out);
}

}  // namespace stringline::test
