// See open_trials.h.
#include "engine/book/open_trials.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "engine/diag/suggest.h"
#include "engine/syntax/parse_expr.h"

namespace stringline {
namespace {

[[noreturn]] void no_trials(const HouseBook& book, const std::string& name) {
  const auto known = book.profile_names();
  if (std::count(known.begin(), known.end(), name) == 0)
    throw WorldError(fmt::format("no profile '{}'{}", name, did_you_mean(name, known)));
  throw WorldError(
      fmt::format("no trials of '{0}'; write them to profiles/{0}.trials.yaml, or let "
                  "'stringline trial {0} --propose' begin them",
                  name));
}

}  // namespace

std::unique_ptr<const OpenTrials> open_trials(HouseBook& book, const std::string& what, const std::string& house,
                                              Diagnostics& out) {
  const bool by_name = is_identifier(what);
  auto open = std::make_unique<OpenTrials>();
  open->specs.house = house.empty() ? book.house_above(by_name ? "." : what) : book.house_in(house);
  open->path = by_name ? book.trials_path(what) : what;
  if (open->path.empty()) no_trials(book, what);
  open->tree = book.trials(open->path);
  if (open->tree == nullptr) return nullptr;
  auto layers = book.layers(open->tree->profile);
  if (!layers) return nullptr;
  open->specs.layers = std::move(*layers);
  auto trials = bind_trials(*open->tree, open->specs, out);
  if (!trials || out.has_errors()) return nullptr;
  open->trials = std::move(*trials);
  return open;
}

}  // namespace stringline
