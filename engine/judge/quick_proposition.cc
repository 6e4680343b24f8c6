// See quick_proposition.h.
#include "engine/judge/quick_proposition.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/check/typed.h"

namespace stringline::quick {
namespace {

constexpr std::uint32_t verdicts = 1U << 20U;  // what hangs on a verdict is numbered from here

constexpr std::uint16_t decided =
    (1U << static_cast<unsigned>(Verdict::within)) | (1U << static_cast<unsigned>(Verdict::high)) |
    (1U << static_cast<unsigned>(Verdict::low)) | (1U << static_cast<unsigned>(Verdict::not_applicable));

bool is_not(const Proposition& a) {
  return a.form == Proposition::Form::fold && a.parts.size() == 1 && a.least <= 0 && a.most == 0;
}

// Both as one; false where they have to stay two: one may be the other's opposite, which decides even what is not read.
bool merge(Proposition& into, const Proposition& other) {
  if (into.form != other.form) return false;
  if (into.form == Proposition::Form::window && into.column == other.column) {
    const double lo = std::max(into.lo, other.lo);
    const double hi = std::min(into.hi, other.hi);
    if (lo > hi) return false;
    into.lo = lo;
    into.hi = hi;
    return true;
  }
  if (into.form == Proposition::Form::verdict && into.at == other.at && (into.mask & other.mask) != 0) {
    into.mask = static_cast<std::uint16_t>(into.mask & other.mask);
    return true;
  }
  return false;
}

bool share(const std::vector<Proposition>& parts) {
  std::set<std::uint32_t> seen;
  for (const Proposition& part : parts) {
    for (const std::uint32_t each : part.mentions()) {
      if (!seen.insert(each).second) return true;
    }
  }
  return false;
}

// Parts that are all negated are counted the other way round.
Proposition turned(Proposition fold) {
  if (fold.parts.empty() || !std::all_of(fold.parts.begin(), fold.parts.end(), is_not)) return fold;
  const auto n = static_cast<std::int32_t>(fold.parts.size());
  for (Proposition& part : fold.parts) part = Proposition(std::move(part.parts.front()));
  const std::int32_t least = n - fold.most;
  fold.most = n - fold.least;
  fold.least = least;
  return fold;
}

}  // namespace

Proposition Proposition::constant(std::uint8_t value) {
  Proposition what;
  what.value = value;
  return what;
}

Proposition Proposition::window(Column column, double lo, double hi, std::set<std::uint32_t> about) {
  Proposition what;
  what.form = Form::window;
  what.column = column;
  what.lo = lo;
  what.hi = hi;
  what.about = std::move(about);
  return what;
}

Proposition Proposition::verdict(Slot verdict, std::uint16_t mask, std::uint32_t target) {
  Proposition what;
  what.form = Form::verdict;
  what.at = verdict;
  what.mask = mask;
  what.about = {verdicts + target};
  return what;
}

Proposition Proposition::choice(Proposition condition, Proposition yes, Proposition no) {
  if (condition.form == Form::constant && condition.value != 1) return condition.value == 2 ? yes : no;
  Proposition what;
  what.form = Form::choice;
  what.parts = {std::move(condition), std::move(yes), std::move(no)};
  return what;
}

Proposition Proposition::count(std::int32_t least, std::int32_t most, std::vector<Proposition> parts) {
  Proposition what;
  what.form = Form::fold;
  what.least = least;
  what.most = most;
  what.parts = std::move(parts);
  return turned(std::move(what));
}

Proposition Proposition::at_least(std::int32_t least, std::vector<Proposition> parts) {
  const auto n = static_cast<std::int32_t>(parts.size());
  return count(least, n, std::move(parts));
}

std::set<std::uint32_t> Proposition::mentions() const {
  std::set<std::uint32_t> all = about;
  for (const Proposition& part : parts) {
    const auto more = part.mentions();
    all.insert(more.begin(), more.end());
  }
  return all;
}

Proposition operator!(Proposition a) {
  using Form = Proposition::Form;
  if (a.form == Form::constant) {
    a.value = static_cast<std::uint8_t>(2 - a.value);
    return a;
  }
  if (a.form == Form::verdict) {
    a.mask = static_cast<std::uint16_t>(decided & ~a.mask);
    return a;
  }
  if (a.form == Form::window && a.hi == endless && std::isfinite(a.lo)) {  // counts are whole
    a.hi = std::exchange(a.lo, -endless) - 1;
    return a;
  }
  if (a.form == Form::window && a.lo == -endless && std::isfinite(a.hi)) {
    a.lo = std::exchange(a.hi, endless) + 1;
    return a;
  }
  if (is_not(a)) return Proposition(std::move(a.parts.front()));
  if (a.form == Form::fold && a.most >= static_cast<std::int32_t>(a.parts.size())) {
    a.most = std::exchange(a.least, -1) - 1;
    return a;
  }
  if (a.form == Form::fold && a.least <= 0) {
    a.least = std::exchange(a.most, static_cast<std::int32_t>(a.parts.size())) + 1;
    return a;
  }
  return Proposition::count(0, 0, {std::move(a)});
}

Proposition all_of(std::vector<Proposition> parts) {
  using Form = Proposition::Form;
  std::vector<Proposition> kept;
  const auto keep = [&kept](Proposition part) {
    for (Proposition& other : kept) {
      if (merge(other, part)) return;
    }
    kept.push_back(std::move(part));
  };
  for (Proposition& part : parts) {
    if (part.form == Form::constant && part.value == 0) return part;
    if (part.form == Form::constant && part.value == 2) continue;
    keep(std::move(part));
  }
  if (kept.empty()) return Proposition::constant(2);
  if (kept.size() == 1) return Proposition(std::move(kept.front()));
  const bool fragile = share(kept);
  const auto n = static_cast<std::int32_t>(kept.size());
  Proposition all = Proposition::count(n, n, std::move(kept));
  all.fragile = fragile;
  return all;
}

Proposition any_of(std::vector<Proposition> parts) {
  for (Proposition& part : parts) part = !std::move(part);
  return !all_of(std::move(parts));
}

}  // namespace stringline::quick
