// A visit that was judged -> its work list with what is told before it, and how the command ends.
#pragma once

#include "engine/book/open_visit.h"
#include "engine/diag/diagnostic.h"
#include "engine/paper/json.h"
#include "engine/plan/plan.h"

namespace stringline {

// 0 nothing to do, 1 something can be done now, 4 nothing until something else, 3 a rule in error.
[[nodiscard]] int status_of(const Judgement& judgement, const Plan& plan);

struct Work {
  Plan plan;
  bool asks = false;  // a sum that was agreed would be passed by more than the house goes without asking
  int status = 0;
};

// A sum that was agreed and would be passed is told before the work, and keeps it waiting.
[[nodiscard]] Work work_of(const OpenVisit& visit, Date day, Diagnostics& out);
// With the chords and how low each side can go.
void add_work(Json& document, const OpenVisit& visit, const Work& work, const Sources& sources);

}  // namespace stringline
