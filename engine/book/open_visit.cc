// See open_visit.h.
#include "engine/book/open_visit.h"

#include "engine/check/check.h"

namespace stringline {
namespace {

// A mistake in an earlier visit is told when that visit is worked on, not here: it is then as if it had never been.
std::optional<LastVisit> look_back(HouseBook& book, const HouseTree* house, const VisitTree& visit) {
  const VisitTree* earlier = book.last_visit_before(visit);
  if (earlier == nullptr || !earlier->profile) return std::nullopt;
  Diagnostics unheard;
  const auto layers = book.layers(*earlier->profile);
  const auto program = layers ? check({house, *layers, earlier}, unheard) : std::nullopt;
  if (!program) return std::nullopt;
  return last_visit_of(*program, judge(*program));
}

}  // namespace

std::unique_ptr<const OpenVisit> open_visit(HouseBook& book, const VisitRequest& request, Diagnostics& out) {
  auto open = std::make_unique<OpenVisit>();
  open->house = request.house.empty() ? book.house_above(request.path) : book.house_in(request.house);
  open->tree = request.text ? book.visit(request.path, *request.text) : book.visit(request.path);
  if (open->tree == nullptr || !open->tree->profile) return nullptr;
  const auto layers = book.layers(*open->tree->profile);
  if (!layers) return nullptr;
  auto program = check({open->house, *layers, open->tree}, out);
  if (!program || out.has_errors()) return nullptr;
  open->program = std::move(*program);
  open->last = look_back(book, open->house, *open->tree);
  open->judgement = judge(open->program, {request.today, open->last ? &*open->last : nullptr});
  return open;
}

}  // namespace stringline
