// The same as the text papers, for programs. Every document is one object that begins
//   "stringline": {"shape": 1, "command": "work"}, "diagnostics": [...]
// and goes on by command. A shape's keys keep their meaning; new keys may come, a changed meaning is a new shape.
//
//   work   visit, profile, house, instrument, ended_early, charge, told [text], lines [line], left [{what, job, readings, why}],
//          conflicts [{jobs, readings, why}], readings [reading], gates [{name, open, needs}], stops [{name, true, needs}],
//          rules {count, fired, clear, unknown, not_applicable, error, list [{name, state, needs, error}]}, assumed [name],
//          contradicted [{reading, residual_mm, u_mm}], spare_readings, chords [chord], clean [side], done, agreed, declined, asked
//   line   number, form (read_first, read_again, job, offer), job, label, readings, amounts [{reading, travel_mm, text}], because,
//          here, warnings, expected [{reading, lo, hi, verdict}], read_after, if_low, if_high, covered, waits_for_yes, minutes,
//          wait_h, steps, cautions
//   reading  name, status, value, text, unit, lo, hi, entry, at, assumed, method, target {lo, hi, aim, at, overrode, verdict,
//          probability, needs, converted, possible}
//   why    answers [{title, facts [{word, text}]}]
//   learn  learnt [{profile, visits, jobs, pairs, phi, u, from, to}]
//   drift  instrument, house, left_out [text], visits [{visit, from, to}], work [{visit, date, job}]; of two visits: climate [row],
//          circumstances [{what, then, now}], rows [row]; of an instrument: history [{reading, method, values [value or null]}]
//   row    reading, method, then, now (value or null), moved (yes, no, can not tell or null), change {lo, hi}, limit, why_not
//   value  text, unit, lo, hi, converted_from, verdict; in a history also moved, comparable
//   board  house, today, bench_hours_a_day, visits [open visit], count {STATE}, minutes
//   open visit  file, visit, label, due, days, state, what, yes [text], overdue_wait, minutes, untimed, wait_low_h, wait_high_h,
//          too_late, too_late_in_turn, can_be_done_now
//   check  diagnostics alone; sheet, new: text; note: written, line
//
// Numbers are in base units (mm, cents, %RH, s) as doubles beside the exact text; nothing is rounded but by that.
// A mistake in a file leaves `diagnostics` and nothing else. Tested by the golden cases of `json`.
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
void add_work(Json& document, const JsonContext& context, const std::vector<SourChord>& chords,
              const std::vector<CleanSide>& clean);
void add_learnt(Json& document, const std::vector<Learnt>& all);
void add_drift(Json& document, const DriftHead& head, const Drift& drift);
void add_history(Json& document, const DriftHead& head, const History& history);
void add_board(Json& document, const Board& board, const std::string& house);
void add_why(Json& document, const std::vector<Why>& answers);
// With bytes that are no UTF-8 replaced, and a line end.
[[nodiscard]] std::string json_text(const Json& document);

}  // namespace stringline
