// The public face: what a program that uses the engine includes.
//
//   stringline::Sources sources;                         // owns every text that was read
//   stringline::Diagnostics diagnostics;                 // every mistake that was found, with its place
//   stringline::HouseBook book({"/usr/share/stringline/profiles"}, sources, diagnostics);
//   const auto visit = stringline::open_visit(book, {"visits/2026-0731.yaml", {}, {}, {}}, diagnostics);
//   if (!visit) std::puts(stringline::render(diagnostics, sources, false).c_str());
//   else std::puts(stringline::work_text(visit->program, visit->judgement,
//                                        stringline::make_plan(visit->program, visit->judgement), "today").c_str());
//
// Data flows one way: text -> tree -> program -> judgement -> plan -> paper. A pass takes its input by const reference and
// returns new data. Lengths are exact (value/ratio.h, millimetres); what the model says is an interval of doubles.
// Files that can not be read or written throw WorldError; mistakes in files never throw. The instrument's model alone, which
// knows nothing of files, is engine/model/*.h. Tested by tests/package, which builds this example against an installation.
#pragma once

#include "engine/book/open_visit.h"
#include "engine/diag/render.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"
