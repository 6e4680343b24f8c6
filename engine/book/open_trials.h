// The trials of a profile, or in a file -> bound under the house, the layers and the order of work that count for them.
//
// The house is the one of --house; else the one above the file, or above the working folder when a profile is named. Trials of a
// shipped profile that no house is above run by the profile alone and the order of work that their file says.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "engine/book/book.h"
#include "engine/book/trial.h"

namespace stringline {

struct OpenTrials {
  std::string path;
  const TrialsTree* tree = nullptr;
  TrialSpecs specs;
  std::vector<Trial> trials;  // in the order of the file
};

// `what`: a profile's name, a path, or - for standard input; `house`: its folder, or empty. Null exactly when a mistake was
// reported. Throws WorldError when there is no such file.
[[nodiscard]] std::unique_ptr<const OpenTrials> open_trials(HouseBook& book, const std::string& what,
                                                            const std::string& house, Diagnostics& out);

}  // namespace stringline
