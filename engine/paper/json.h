// The same as the text papers, for programs. Every document is one object that begins
//   "stringline": {"shape": 1, "command": "work"}, "diagnostics": [...]
// and goes on by command. A shape's keys keep their meaning; new keys may come, a changed meaning is a new shape.
//
//   work   visit, profile, house, owner, instrument {id, label}, due, ended_early, charge, told [text], lines [line],
//          left [{what, job, readings, why, open}], conflicts [{jobs, readings, why}], readings [reading], gates [gate], stops [stop],
//          rules {count, fired, clear, unknown, not_applicable, error, list [rule]}: the five add up to count; assumed [name],
//          spare_readings, contradicted [{reading, residual_mm, u_mm}], done, agreed, declined, asked, closed, last_visit,
//          chords [chord], clean [side]
//   why    visit, answers [{title, reading | gate | stop | rule | job {name, lines} | order [job, job], facts [{word, text}]}]
//   note   visit, written (the file), entry (the text added to it), next (line, or null)
//   sheet, new  written (the file, or null), text
//   learn  learnt [{profile, visits, jobs, pairs, phi, u, from, to}]
//   drift  instrument, house, left_out [text], visits [{visit, from, to}], work [{visit, date, job}]; of two visits: climate [row],
//          circumstances [{what, then, now}], rows [row]; of an instrument: history [{reading, method, values [value or null]}]
//   row    reading, method, then, now (value or null), moved (yes, no, can not tell or null), change {lo, hi}, limit, why_not
//   value  text, unit, lo, hi, converted_from, verdict; in a history also moved, comparable
//   board  house, today, bench_hours_a_day, visits [open visit], count {STATE}, minutes
//   open visit  file, visit, label, due, days, state, what, yes [text], overdue_wait, minutes, untimed, wait_low_h, wait_high_h,
//          too_late, too_late_in_turn, can_be_done_now
//   trial  profile, house (or null), count, as_expected, trials [{name, at, as_expected, unexpected [{what, expected, got}]}],
//          coverage {rows, rules, gates, stops, jobs {count, exercised}, parts [{kind, name, at, by (a trial, or null)}], conditions
//          [{name, at, seen_true, seen_false, seen_unknown, can_be_unknown}], complete, runs}; of --propose: written, text
//   check  nothing more
//
//   line     number, form (read_first, read_again, job, offer), job, label, readings, amounts [{reading, travel_mm, text}],
//            because, here, warnings, expected [{reading, lo, hi, verdict}], read_after, if_low, if_high; of a job also covered,
//            waits_for_yes, minutes, wait_h, steps, cautions
//   reading  name, status (not_read, read, stale, not_measurable), text, lo, hi [quantity], entry, date, at, stale_by, assumed,
//            computed_at, method, target {lo, hi, aim [quantity], at, overrode, wish_at, phase, verdict, probability, needs,
//            converted {lo, hi}, possible {lo, hi}}
//   gate     name, open (true, false, null: not known), needs, error, at;   stop likewise with true
//   rule     name, state, instances_fired, needs, error, at
//   quantity text (as people read it), decimal (exact, in the unit it was written in; a/b where no decimal is), unit,
//            base (mm, cents, %RH, s, .. as a double)
//
// Places are file:line:column. Numbers that are no quantities are the model's, in base units. Nothing is rounded but by that.
// A mistake in a file leaves `diagnostics` and nothing else; a mistake on the command line or a file that can not be read or
// written gives {"stringline", "diagnostics": [], "error": text}. Tested by the golden cases of `json`.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "engine/book/board.h"
#include "engine/book/learn.h"
#include "engine/diag/diagnostic.h"
#include "engine/judge/clean.h"
#include "engine/judge/sourness.h"
#include "engine/paper/drift.h"
#include "engine/plan/plan.h"
#include "engine/plan/why.h"
#include "engine/text/source.h"

namespace stringline {

struct JsonContext {
  const Program& program;
  const Judgement& judgement;
  const Plan& plan;
  const Sources& sources;
};

using Json = nlohmann::ordered_json;

// The head that every document has.
[[nodiscard]] Json json_head(const std::string& command, const Diagnostics& diagnostics, const Sources& sources);
// When there is nothing but a reason why.
[[nodiscard]] Json json_error(const std::string& message);
void add_work(Json& document, const JsonContext& context, const VisitTree& tree, const std::vector<SourChord>& chords,
              const std::vector<CleanSide>& clean);
void add_learnt(Json& document, const std::vector<Learnt>& all);
void add_drift(Json& document, const DriftHead& head, const Drift& drift);
void add_history(Json& document, const DriftHead& head, const History& history);
void add_board(Json& document, const Board& board, const std::string& house);
void add_why(Json& document, const JsonContext& context, const std::vector<Why>& answers);
void add_note(Json& document, const JsonContext& context, const std::string& path, const std::string& entry);
// With bytes that are no UTF-8 replaced, and a line end.
[[nodiscard]] std::string json_text(const Json& document);

}  // namespace stringline
