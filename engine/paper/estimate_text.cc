#include "engine/paper/estimate_text.h"

#include <fmt/format.h>

#include "engine/diag/render.h"
#include "engine/paper/owner_paper.h"

namespace stringline {
namespace {

constexpr std::size_t page_width = 64;

}  // namespace

std::string estimate_text(const Estimate& estimate) {
  Page page(page_width);
  write_estimate(estimate, page);
  return printable(page.text());
}

std::string final_text(const Estimate& final_bill, const std::optional<Estimate>& told,
                       const std::vector<Difference>& differences) {
  Page page(page_width);
  write_final(final_bill, told, differences, page);
  return printable(page.text());
}

std::string ceiling_note(const Estimate& estimate) {
  if (!estimate.ceiling || !estimate.ceiling->passed) return "";
  const Ceiling& ceiling = *estimate.ceiling;
  return fmt::format("the owner agreed to {} and this comes to {}; {}", to_text(ceiling.told, estimate.currency),
                     to_text(ceiling.now.typical, estimate.currency),
                     ceiling.ask_again ? "ask before you go on" : "the house goes that far without asking");
}

}  // namespace stringline
