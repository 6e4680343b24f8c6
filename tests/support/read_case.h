// Reads a text of any kind of house book file in one step, and writes what was wrong with it as "line:column code".
// A ^ in the text is taken out before it is read: it marks a place where a mistake is expected.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/tree.h"
#include "engine/text/source.h"

namespace stringline::test {

struct ReadCase {
  Sources sources;
  Diagnostics diagnostics;
  std::optional<HouseTree> house;
  std::optional<ProfileTree> profile;
  std::optional<VisitTree> visit;
  std::optional<TrialsTree> trials;

  explicit ReadCase(const std::string& text);

  // "3:5 E301", in reading order.
  [[nodiscard]] std::vector<std::string> mistakes() const;
  // The same for the marked places, in their order, with `codes` ("E301 E302"); several codes at one place: "E301+E303".
  [[nodiscard]] std::vector<std::string> expected(const std::string& codes) const;
  // Message and hint of the only mistake, with " | " between; all of them joined by newlines when there are more.
  [[nodiscard]] std::string said() const;
  // The bytes of the text under a span.
  [[nodiscard]] std::string under(Span span) const;

 private:
  std::vector<std::string> marks_;
};

}  // namespace stringline::test
