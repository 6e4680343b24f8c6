#include "engine/text/limits.h"

#include <algorithm>

namespace stringline::limits {
namespace {

struct Place {
  std::string_view name;
  std::size_t Limits::*member;
};
constexpr Place places[] = {
#define STRINGLINE_LIMIT(name, usual, most, words) {#name, &Limits::name},
#include "engine/text/limits.def"
#undef STRINGLINE_LIMIT
};

Limits& in_force() {
  static Limits limits;
  return limits;
}

}  // namespace

const Limits& now() { return in_force(); }

const std::vector<LimitInfo>& all() {
  static const std::vector<LimitInfo> infos{
#define STRINGLINE_LIMIT(name, usual, most, words) {#name, usual, most, words},
#include "engine/text/limits.def"
#undef STRINGLINE_LIMIT
  };
  return infos;
}

bool set(std::string_view name, std::size_t number) {
  const auto info = std::find_if(all().begin(), all().end(), [&](const LimitInfo& each) { return each.name == name; });
  if (info == all().end() || number > info->most) return false;
  in_force().*places[info - all().begin()].member = number;
  return true;
}

std::string or_allow_more(std::string_view name) { return "; --limit " + std::string(name) + "=NUMBER allows more"; }

}  // namespace stringline::limits
