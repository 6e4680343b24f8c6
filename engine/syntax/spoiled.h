// What a reader could not use of a file, so that the rest is checked all the same and nobody hears of a mistake twice.
//
// A part is one NAME: {..} of a section, or one entry of a log. A part with a mistake is left out of the tree; its name is
// kept, for whatever names it is no further mistake. Where what is lost could change everything else (facts, a section whose
// name is misspelt), `everything` says so. Tested by the golden cases check/two_stages and check/one_cause.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"

namespace stringline {

struct Spoiled {
  std::vector<Span> parts;
  std::set<std::string> names;
  bool any = false;
  bool everything = false;

  [[nodiscard]] bool holds(Span span) const;
  // True when the message names a part that was left out.
  [[nodiscard]] bool concerns(std::string_view message) const;
  void add(const Spoiled& other);
};

// `mistakes`: those from number `first` on are the reader's.
[[nodiscard]] Spoiled spoiled_parts(const Node& document, const Diagnostics& mistakes, std::size_t first);

}  // namespace stringline
