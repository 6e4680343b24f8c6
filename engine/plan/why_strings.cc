// How hard the strings pull. See judge/pull.h.
#include <fmt/format.h>

#include "engine/judge/pull.h"
#include "engine/model/string_data.h"
#include "engine/plan/why_facts.h"

namespace stringline {

Why why_strings(const WhyContext& context) {
  WhyFacts facts(context);
  const Pull pull = pull_of(context.program);
  bool any = false;
  for (const StringPull& string : pull.strings) {
    const std::string what = string.what.empty() ? "gauge or pitch not stated" : string.what;
    any = any || string.newton;
    facts.say("string " + string.string, string.newton ? fmt::format("{}: {:.0f} N", what, *string.newton)
                                                       : what + (string.what.empty() ? "" : ": pull not known"));
  }
  if (pull.all)
    facts.say("in all", fmt::format("{:.0f} N ({:.0f} kgf, {:.0f} lbf)", *pull.all, *pull.all / model::newton_per_kgf,
                                    *pull.all / model::newton_per_lbf));
  if (pull.all && pull.of_the_slots && *pull.of_the_slots > 0)
    facts.say("change", change_of_pull(*pull.of_the_slots, *pull.all, "the strings the nut was cut for"));
  const LastVisit* last = context.judgement.last;
  if (pull.all && last != nullptr && last->pull)
    facts.say("change", change_of_pull(*last->pull, *pull.all, "visit " + last->visit + ", " + to_text(last->date)));
  if (!any && !pull.strings.empty()) facts.say("note", "a nylon string's pull can not be told from its gauge");
  if (!pull.assumed.empty()) facts.say("assumed", pull.assumed);
  return {Why::Kind::strings, 0, 0, "the strings", facts.take()};
}

}  // namespace stringline
