#include "engine/estimate/cost.h"

#include <algorithm>
#include <optional>

namespace stringline {
namespace {

// Applies `step` to each end; nothing from it means that the result does not fit.
template <class Step>
Cost each_end(const Cost& cost, bool fits, const Step& step) {
  Cost result;
  result.fits = cost.fits && fits;
  const auto put = [&](std::int64_t Cost::*end) {
    const std::optional<std::int64_t> value = step(end);
    result.fits = result.fits && value.has_value();
    result.*end = value.value_or(0);
  };
  put(&Cost::low);
  put(&Cost::typical);
  put(&Cost::high);
  return result;
}

}  // namespace

Cost operator+(const Cost& a, const Cost& b) {
  return each_end(a, b.fits, [&](std::int64_t Cost::*end) { return add_minor(a.*end, b.*end); });
}

Cost operator-(const Cost& a, const Cost& b) { return a + times(b, -1); }

Cost times(const Cost& cost, std::int64_t count) {
  return each_end(cost, true, [&](std::int64_t Cost::*end) { return times_minor(cost.*end, count); });
}

Cost share_of(const Cost& cost, Ratio share, MoneyRounding rounding) {
  return each_end(cost, true, [&](std::int64_t Cost::*end) { return share_of(cost.*end, share, rounding); });
}

Cost lesser(const Cost& a, const Cost& b) {
  return each_end(a, b.fits, [&](std::int64_t Cost::*end) { return std::optional(std::min(a.*end, b.*end)); });
}

Cost at_most(const Cost& cost, std::int64_t most) {
  return each_end(cost, true, [&](std::int64_t Cost::*end) { return std::optional(std::min(cost.*end, most)); });
}

Cost at_least(const Cost& cost, std::int64_t least) {
  return each_end(cost, true, [&](std::int64_t Cost::*end) { return std::optional(std::max(cost.*end, least)); });
}

}  // namespace stringline
