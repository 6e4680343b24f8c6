#include "engine/paper/learn.h"

#include <fmt/format.h>

#include "engine/paper/lines.h"

namespace stringline {

std::string learn_text(const std::vector<Learnt>& all) {
  if (all.empty()) return "no rod job in the logs was read before and after with nothing else done between\n";
  std::string out;
  for (const Learnt& learnt : all) {
    out += fmt::format("{}{}\n", out.empty() ? "" : "\n", learnt.profile);
    entry(out, "from",
          fmt::format("{} rod {} in {} {}, {} {} of readings before and after", learnt.jobs,
                      learnt.jobs == 1 ? "job" : "jobs", learnt.visits, learnt.visits == 1 ? "visit" : "visits",
                      learnt.pairs, learnt.pairs == 1 ? "pair" : "pairs"));
    if (!learnt.phi) {
      entry(out, "says", "nothing yet: the reliefs moved too little, or the readings move alike for every shape");
      continue;
    }
    const model::LearntPhi& phi = *learnt.phi;
    entry(out, "says",
          fmt::format("necks bend by phi {:.2f}, give or take {:.2f}; the next rod job by {:.2f} to {:.2f} "
                      "(0: it sags between its ends, 1: an even arc)",
                      phi.phi, phi.u, phi.range.lo, phi.range.hi));
    entry(out, "write",
          fmt::format("facts: {{neck_shape_from: {:.2f}, neck_shape_to: {:.2f}}}", phi.range.lo, phi.range.hi));
    entry(out, "", fmt::format("into profiles/{}.yaml, if you believe it; nothing was changed", learnt.profile));
  }
  return out;
}

}  // namespace stringline
