// Names and reasons in words, as the work list and its papers say them.
#pragma once

#include <string>
#include <vector>

#include "engine/judge/judge.h"

namespace stringline {

// "action", "nut gap (strings 4, 5, 6)", "relief, action (bass)".
[[nodiscard]] std::string name_points(const Program& program, const std::vector<PointId>& points);
// "action (bass, treble), nut gap": as many readings as there are, members left out where all of a reading's are meant.
[[nodiscard]] std::string name_readings(const Program& program, const std::vector<PointId>& points);
// Whether these are the words for a job, rather than a sentence of what else happened.
[[nodiscard]] bool is_job(const Program& program, const std::string& words);
// "string 5", "frets 9 to 22", "bass, treble", "neck bass": members of one reading. Empty where it has none.
[[nodiscard]] std::string name_members(const Program& program, const std::vector<PointId>& points);
// "string" or "fret": what the numbers of a reading's members count; empty where they are no numbers of one kind.
[[nodiscard]] std::string counted_by(const ReadingInfo& reading);
// The same for members in words: ("fret", {"1", "2"}) is "frets 1, 2".
[[nodiscard]] std::string members_text(const std::string& counted, const std::vector<std::string>& members);
// "1, 2, 9 to 22": members in the order given, four or more numbers in a row as their ends.
[[nodiscard]] std::string join_members(const std::vector<std::string>& members);
// The member alone, as the files call it: "bass", "2", "neck.bass"; empty where the reading has none.
[[nodiscard]] std::string member_of(const Program& program, PointId point);

// What is read, in the shop's words, and for a gap where and how; may be empty.
[[nodiscard]] std::string what_and_how(const ReadingInfo& reading);

// A number in the unit the reading was written in (else its tool's): as it was written where the log has it, else at the step of
// its tool.
[[nodiscard]] std::string shown(const Program& program, const Judgement& judgement, PointId point, Ratio value);
[[nodiscard]] std::string shown(const Program& program, const Judgement& judgement, PointId point, model::Range value);

// " (2.81 mm at fret 14, open)": how a reading that is not by its target's method compares, after " at fret 17, held at 1" where it
// was not read the reading's own way. Empty where there is one method.
[[nodiscard]] std::string method_note(const Program& program, const Judgement& judgement, PointId point);
// " at fret 14, open" where the target is stated in another method than the reading's own.
[[nodiscard]] std::string stated_by(const Program& program, PointId point);
// "1.4 mm to 1.9 mm", with the method where the target states another than the reading's own.
[[nodiscard]] std::string wanted_text(const Program& program, const Judgement& judgement, PointId point);

// Whether it reads what the player asks for, to what its tool tells apart.
[[nodiscard]] bool is_as_asked(const Program& program, const Judgement& judgement, std::size_t target);

// " is 1.35 mm, low; the house wants 1.4 mm to 1.9 mm".
[[nodiscard]] std::string reason_of(const Program& program, const Judgement& judgement, std::size_t target);

}  // namespace stringline
