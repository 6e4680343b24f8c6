// A visit's path -> the visit judged: its house, its layers, its last visit to this bench, its program and its judgement.
// What every command about one visit begins with. Tested by the golden cases of `work`.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "engine/book/book.h"
#include "engine/judge/judge.h"

namespace stringline {

struct OpenVisit {
  const HouseTree* house = nullptr;  // null: no house above it
  const VisitTree* tree = nullptr;
  Program program;
  std::optional<LastVisit> last;  // of the same instrument; the judgement looks at it
  Judgement judgement;
};

// Nothing exactly when a mistake was reported. Throws WorldError when the file can not be read.
[[nodiscard]] std::unique_ptr<const OpenVisit> open_visit(HouseBook& book, const std::string& path,
                                                          std::optional<Date> today, Diagnostics& out);

}  // namespace stringline
