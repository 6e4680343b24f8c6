// Which job answers a reading, and what the owner and the log have said about it.
#pragma once

#include <optional>

#include "engine/judge/judge.h"
#include "engine/model/range.h"

namespace stringline {

class Answers {
 public:
  Answers(const Program& program, const Judgement& judgement)
      : program_(program), judgement_(judgement), scene_(program, judgement), evaluator_(program, scene_) {}

  // Done, and nothing that was read since asks for it once more.
  [[nodiscard]] bool is_done(JobId job) const;
  [[nodiscard]] bool is_declined(JobId job) const;
  [[nodiscard]] bool is_agreed(JobId job) const;

  // The phase in which a job comes that is called by name: its own, else that of the first target it answers, else
  // of the first whose table names it, else the last.
  [[nodiscard]] int turn_of(JobId job) const;

  // The job that a low: or high: names for this point; nothing while the table's row is not known, or it says `none`. One of
  // its alternatives that the owner agreed to takes its place.
  [[nodiscard]] std::optional<JobId> answer(const std::optional<JobChoice>& choice, PointId point) const;
  // The other jobs of the same table: those of its graded rows (bands, comparisons of numbers), since a row chosen by what the
  // instrument is or by what was seen on it rules the others out. Without those done or declined.
  [[nodiscard]] std::vector<JobId> alternatives(const std::optional<JobChoice>& choice, PointId point, JobId to) const;
  // Of a job that the owner agreed to: the other job of the same table that the owner agreed to later, where a reading asks
  // for one of them.
  [[nodiscard]] std::optional<JobId> chosen_instead(JobId job) const;
  // All that the rows which are still possible name, without those declined.
  [[nodiscard]] std::vector<JobId> possible(const JobChoice& choice, const Hand& hand = empty_hand) const;
  // What has to be read before it is known which job answers; empty when it is known, or a fact is missing.
  [[nodiscard]] std::vector<PointId> undecided(const std::optional<JobChoice>& choice, PointId point) const;
  // What a reading of `value` asks for: when it is out; when it is not where the player wants it; under `decide: prove` unless
  // it is clearly within. Nothing that a player could not repeat.
  [[nodiscard]] std::optional<JobId> asked(std::size_t target, Verdict verdict,
                                           std::optional<model::Range> value) const;
  // The answer, unless the owner has declined it or would have to say yes first: such a job never follows a reading by itself.
  [[nodiscard]] std::optional<JobId> follows(const std::optional<JobChoice>& choice, PointId point) const;
  // Players repeat a note within 2 cents, one sigma; the mean of n readings is that much surer. Source: Mottola's study of ten
  // players, its abstract.
  [[nodiscard]] bool finer_than_a_player(std::size_t target, std::optional<model::Range> value) const;

 private:
  [[nodiscard]] std::optional<JobId> last_agreed(const std::vector<JobId>& jobs) const;
  void collect(const JobChoice& choice, const Hand& hand, std::vector<JobId>& into) const;
  [[nodiscard]] std::optional<JobId> toward(std::size_t target, model::Range value) const;

  const Program& program_;
  const Judgement& judgement_;
  Scene scene_;
  Evaluator evaluator_;
};

}  // namespace stringline
