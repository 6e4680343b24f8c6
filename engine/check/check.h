// Trees -> the typed program: layers, axes, names, types, tables, targets by point, jobs, and what does not fit together.
#pragma once

#include <memory>
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

// Checks many visits to one house: what those to instruments of one kind share is checked for the first of them only. Alike are
// visits of one profile and package whose instrument and player state the same facts and strings.
class ManyChecks {
 public:
  explicit ManyChecks(const HouseTree* house);
  ~ManyChecks();
  ManyChecks(const ManyChecks&) = delete;
  ManyChecks& operator=(const ManyChecks&) = delete;

  // As `check` of a book of this house with these layers and this visit. While somebody holds a program, the next visit of its
  // kind is checked from the ground up; the programs must not outlive this object.
  [[nodiscard]] std::shared_ptr<const Program> check(const std::vector<const ProfileTree*>& layers,
                                                     const VisitTree& visit, Diagnostics& out);

 private:
  struct Kind;
  const HouseTree* house_;
  std::vector<std::unique_ptr<Kind>> kinds_;  // the one asked for last in front
};

}  // namespace stringline
