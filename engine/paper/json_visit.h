// The parts of one visit as JSON: readings with their verdicts, lines of the plan, gates, stops, rules. Keys: output.def.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "engine/paper/json.h"

namespace stringline {

class VisitJson {
 public:
  explicit VisitJson(const JsonContext& context);

  [[nodiscard]] Json line(std::size_t at) const;
  [[nodiscard]] Json lines() const;
  [[nodiscard]] Json left() const;
  [[nodiscard]] Json conflicts() const;
  [[nodiscard]] Json reading(PointId point) const;
  [[nodiscard]] Json gate(std::size_t at) const;
  [[nodiscard]] Json stop(std::size_t at) const;
  [[nodiscard]] Json rule(std::size_t at) const;
  [[nodiscard]] Json rules() const;  // with the counts that add up
  [[nodiscard]] Json readings_named(const std::vector<PointId>& points) const;
  [[nodiscard]] Json jobs_named(const std::vector<JobId>& jobs) const;

 private:
  [[nodiscard]] Json quantity(const std::optional<Ratio>& value, Unit unit, bool difference = false) const;
  [[nodiscard]] Json target(std::size_t at) const;
  [[nodiscard]] Json needs(const std::vector<Need>& needs) const;
  [[nodiscard]] Json job_name(const std::optional<JobId>& job) const;
  [[nodiscard]] Json texts(const std::vector<TypedText>& from) const;
  void about_job(Json& out, const PlanLine& line) const;

  const Program& program_;
  const Judgement& judgement_;
  const Plan& plan_;
  const Sources& sources_;
  Scene scene_;
  Evaluator evaluator_;
};

}  // namespace stringline
