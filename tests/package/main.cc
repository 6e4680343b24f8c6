// Uses the installed library as a stranger would: reads one good and one bad text, and shows what is wrong with the
// latter.
#include <cstdio>
#include <string>

#include "engine/diag/render.h"
#include "engine/syntax/read_yaml.h"

int main() {
  stringline::Sources sources;
  stringline::Diagnostics diagnostics;
  const auto good = sources.add("good.yaml", "profile: tenor\n");
  if (!stringline::read_yaml(good, sources, diagnostics) || diagnostics.has_errors()) return 1;
  const auto bad = sources.add("bad.yaml", "profile: tenor\nprofile: tenor\n");
  if (stringline::read_yaml(bad, sources, diagnostics) || !diagnostics.has_errors()) return 2;
  const std::string shown = stringline::render(diagnostics, sources, false);
  std::fputs(shown.c_str(), stdout);
  return shown.starts_with("bad.yaml:2:1: error: ") ? 0 : 3;
}
