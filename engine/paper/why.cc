#include "engine/paper/why.h"

#include "engine/diag/render.h"
#include "engine/paper/lines.h"

namespace stringline {

std::string why_text(const std::vector<Why>& all) {
  std::string out;
  for (const Why& each : all) {
    out += (out.empty() ? "" : "\n") + folded(each.title) + "\n";
    std::string last;
    for (const WhyFact& fact : each.facts) {
      entry(out, fact.word == last ? "" : fact.word, fact.text);
      last = fact.word;
    }
  }
  return printable(out);
}

}  // namespace stringline
