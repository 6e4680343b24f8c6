// See open_visit.h.
#include "engine/book/open_visit.h"

#include "engine/check/check.h"

namespace stringline {

// A mistake in an earlier visit is told when that visit is worked on, not here: it is then as if it had never been.
std::optional<LastVisit> last_visit(HouseBook& book, const HouseTree* house, const VisitTree& visit) {
  const auto earlier = book.last_visit_before(visit);
  if (earlier == nullptr || !earlier->profile) return std::nullopt;
  Diagnostics unheard;
  const auto layers = book.layers(*earlier->profile, unheard);
  const auto program = layers ? check({house, *layers, earlier.get()}, unheard) : std::nullopt;
  if (!program) return std::nullopt;
  book.forget(*earlier);
  return last_visit_of(*program, judge(*program));
}

std::unique_ptr<const OpenVisit> open_visit(HouseBook& book, const VisitRequest& request, Diagnostics& out) {
  const HouseTree* house = request.house.empty() ? book.house_above(request.path) : book.house_in(request.house);
  const VisitTree* tree = request.text ? book.visit(request.path, *request.text) : book.visit(request.path);
  if (tree == nullptr || !tree->profile) return nullptr;
  const auto layers = book.layers(*tree->profile);
  if (!layers) return nullptr;
  auto program = check({house, *layers, tree}, out);
  if (!program || out.has_errors()) return nullptr;
  auto open = std::make_unique<OpenVisit>(house, *tree, std::make_shared<const Program>(std::move(*program)));
  open->last = last_visit(book, house, *tree);
  open->judgement = judge(open->program, {request.today, open->last ? &*open->last : nullptr});
  return open;
}

}  // namespace stringline
