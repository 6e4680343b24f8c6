// A visit's path -> the visit judged: its house, its layers, its last visit to this bench, its program and its judgement.
// What every command about one visit begins with. Tested by the golden cases of `work`.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "engine/book/book.h"
#include "engine/judge/judge.h"

namespace stringline {

struct OpenVisit {
  OpenVisit(const HouseTree* above, const VisitTree& read, std::shared_ptr<const Program> checked)
      : house(above), tree(&read), kept(std::move(checked)), program(*kept) {}

  const HouseTree* house;  // null: no house above it
  const VisitTree* tree;
  std::shared_ptr<const Program> kept;  // whatever shares it
  const Program& program;
  std::optional<LastVisit> last;  // of the same instrument; the judgement looks at it
  Judgement judgement;
};

struct VisitRequest {
  std::string path;                 // - for standard input
  std::optional<std::string> text;  // as if the file held this
  std::string house;                // its folder; empty: found by walking up from the visit
  std::optional<Date> today;
};

// What was known of its instrument when it left the house's bench before.
[[nodiscard]] std::optional<LastVisit> last_visit(HouseBook& book, const HouseTree* house, const VisitTree& visit);

// Null exactly when a mistake was reported. Throws WorldError when a file can not be read.
[[nodiscard]] std::unique_ptr<const OpenVisit> open_visit(HouseBook& book, const VisitRequest& request,
                                                          Diagnostics& out);

}  // namespace stringline
