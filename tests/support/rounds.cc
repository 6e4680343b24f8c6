#include "tests/support/rounds.h"

#include <algorithm>
#include <cstdlib>

namespace stringline::test {
namespace {

#if defined(__SANITIZE_ADDRESS__)
constexpr int divisor = 10;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
constexpr int divisor = 10;
#else
constexpr int divisor = 1;
#endif
#else
constexpr int divisor = 1;
#endif

}  // namespace

int rounds(int usual) {
  const char* more = std::getenv("STRINGLINE_ROUNDS");
  const int times = more == nullptr ? 1 : std::max(1, std::atoi(more));
  return std::max(1, usual / divisor * times);
}

unsigned at_least(unsigned usual) { return usual / divisor / 2; }

}  // namespace stringline::test
