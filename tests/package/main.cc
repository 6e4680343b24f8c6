// Uses the installed library as a stranger would: reads one bad text and shows what is wrong with it, then makes the work list
// of a visit (PROFILES VISIT).
#include <cstdio>
#include <string>

#include "engine/stringline.h"
#include "engine/syntax/read_yaml.h"

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  stringline::Sources sources;
  stringline::Diagnostics wrong;
  const auto bad = sources.add("bad.yaml", "profile: tenor\nprofile: tenor\n");
  if (stringline::read_yaml(bad, sources, wrong) || !wrong.has_errors()) return 3;
  if (!stringline::render(wrong, sources, false).starts_with("bad.yaml:2:1: error: ")) return 4;

  stringline::Diagnostics diagnostics;
  stringline::HouseBook book({argv[1]}, sources, diagnostics);
  const auto visit = stringline::open_visit(book, {argv[2], {}, {}, {}}, diagnostics);
  std::fputs(stringline::render(diagnostics, sources, false).c_str(), stdout);
  if (!visit) return 5;
  const auto plan = stringline::make_plan(visit->program, visit->judgement);
  const std::string list = stringline::work_text(visit->program, visit->judgement, plan, "as a stranger sees it");
  std::fputs(list.c_str(), stdout);
  return list.find("tighten the truss rod") == std::string::npos ? 6 : 0;
}
