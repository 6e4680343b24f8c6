// What the answers of `why` are put together from: facts, where things were written, and what a condition hangs on.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/why.h"

namespace stringline {

class WhyFacts {
 public:
  explicit WhyFacts(const WhyContext& context);

  const Program& program;
  const Judgement& judgement;
  const Plan& plan;
  const Sources& sources;
  Scene scene;
  Evaluator evaluator;

  void say(std::string word, std::string text) { facts_.push_back({std::move(word), std::move(text)}); }
  [[nodiscard]] std::vector<WhyFact> take() { return std::move(facts_); }

  // As it stands in its file, on one line.
  [[nodiscard]] std::string written(Span span) const;
  // "entry 2 of 2026-08-03, visits/s01.yaml:12:9", or that it was assumed.
  [[nodiscard]] std::string source_of(const PointState& state) const;
  // "0.45 mm", "contact", "not read".
  [[nodiscard]] std::string value_of(PointId point) const;
  void needs(const std::vector<Need>& needs);
  // The condition, where it is written, and each fact and reading in it with its value.
  void condition(const char* word, const Typed& expr, const Hand& hand = empty_hand);
  // "1.19 mm - 0.12 mm - 0.05 mm": a sum or a product with its values put in; nothing for other expressions.
  [[nodiscard]] std::optional<std::string> arithmetic(const Typed& expr, const Hand& hand) const;
  // The job with where it stands in the plan: "tighten the truss rod (line 2)".
  [[nodiscard]] std::string job(JobId id) const;
  void jobs(const char* word, const std::vector<JobChoice>& choices);

 private:
  [[nodiscard]] std::string reading(PointId point) const;
  [[nodiscard]] std::string least_and_most(ReadingId id) const;

  std::vector<WhyFact> facts_;
};

[[nodiscard]] const char* to_text(RuleState state);
// Whether the reading of that line may call the job.
[[nodiscard]] bool may_follow(const PlanLine& line, JobId job);

// The other files' parts of why().
[[nodiscard]] Why why_reading(const WhyContext& context, PointId point);
[[nodiscard]] Why why_job(const WhyContext& context, JobId job);
[[nodiscard]] Why why_strings(const WhyContext& context);
[[nodiscard]] Why why_before(const WhyContext& context, JobId first, JobId second);

}  // namespace stringline
