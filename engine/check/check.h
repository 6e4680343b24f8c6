// Trees -> the typed program: layers, axes, names, types, tables, targets by point, jobs, and what does not fit together.
#pragma once

#include <optional>
#include <vector>

#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"
#include "engine/syntax/tree.h"

namespace stringline {

// What one check looks at. `layers` from the root of the chain to the top; they, the house and the visit must outlive the
// program. Without a house parts and fees are taken as the profile names them, and phases too, unless `order` says how they
// come; without a visit the profile is checked for the instrument its own facts describe.
struct Book {
  const HouseTree* house = nullptr;
  std::vector<const ProfileTree*> layers;
  const VisitTree* visit = nullptr;
  const std::vector<PhaseTree>* order =
      nullptr;                       // of the phases where there is no house; null or empty: by their names
  const TrialTree* trial = nullptr;  // whose readings the visit holds; what it expects goes into the program
};

// Reports all mistakes it can find, not just the first. Nothing exactly when it, or a reader of its trees, reported at least one
// error; what hangs on a part that a reader left out is not reported.
[[nodiscard]] std::optional<Program> check(const Book& book, Diagnostics& out);

}  // namespace stringline
