// The same as the text papers, for programs. Every document is one object that begins
//   "stringline": {"shape": 1, "command": "work"}, "diagnostics": [...]
// and goes on by command with the keys of output.def, which says what each means. A shape's keys keep their meaning; new keys may
// come, a changed meaning is a new shape.
//
// Places are file:line:column. Numbers that are no quantities are the model's, in base units. Nothing is rounded but by that.
// A mistake in a file leaves `diagnostics` and nothing else; a mistake on the command line or a file that can not be read or
// written gives {"stringline", "diagnostics": [], "error": text}. Tested by the golden cases of `json` and tests/schema/output.
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

inline constexpr int json_shape = 1;  // a key with a changed meaning is a new one

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
// The same in one line.
[[nodiscard]] std::string json_line(const Json& document);

}  // namespace stringline
