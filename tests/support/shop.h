// A shop in three texts -> its program and judgement, for tests of everything from check onward.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/check/check.h"
#include "engine/diag/render.h"
#include "engine/judge/judge.h"
#include "engine/syntax/tree.h"

struct Shop {
  stringline::Sources sources;
  stringline::Diagnostics diagnostics;
  std::unique_ptr<stringline::HouseTree> house;
  std::vector<std::unique_ptr<stringline::ProfileTree>> layers;  // the root first
  std::unique_ptr<stringline::VisitTree> visit;
  std::optional<stringline::Program> program;  // nothing when a mistake was reported

  // Every diagnostic as people see it.
  [[nodiscard]] std::string told() const { return render(diagnostics, sources, false); }
  [[nodiscard]] stringline::PointId point(const std::string& name) const;
  [[nodiscard]] stringline::JobId job(const std::string& name) const;
};

// An empty text is left out. Files are called house.yaml, profile1.yaml, .., visit.yaml.
[[nodiscard]] std::unique_ptr<Shop> open_shop(const std::vector<std::string>& profiles, const std::string& visit = "",
                                              const std::string& house = "");
