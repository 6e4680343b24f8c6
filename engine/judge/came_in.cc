// See came_in.h.
#include "engine/judge/came_in.h"

#include <algorithm>

namespace stringline {

std::optional<Judgement> came_in(const Program& program, const LastVisit* last) {
  const auto first = std::find_if(program.log.begin(), program.log.end(),
                                  [](const Entry& entry) { return !entry.struck && !entry.did.empty(); });
  if (first == program.log.end()) return std::nullopt;
  const bool read =
      std::any_of(program.log.begin(), first, [](const Entry& entry) { return !entry.struck && !entry.read.empty(); });
  if (!read) return std::nullopt;
  Program before = program;
  before.log.erase(before.log.begin() + (first - program.log.begin()), before.log.end());
  return judge(before, {std::nullopt, last});
}

}  // namespace stringline
