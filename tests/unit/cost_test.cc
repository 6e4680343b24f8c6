#include "engine/estimate/cost.h"

#include <catch2/catch.hpp>
#include <limits>

using namespace stringline;

namespace {

constexpr std::int64_t highest = std::numeric_limits<std::int64_t>::max();
const Cost some{100, 150, 225, true};

}  // namespace

TEST_CASE("the ends of two amounts meet end by end") {
  CHECK(some + Cost::exactly(10) == Cost{110, 160, 235, true});
  CHECK(some - Cost{1, 2, 3, true} == Cost{99, 148, 222, true});
  CHECK(times(some, 3) == Cost{300, 450, 675, true});
  CHECK(at_most(some, 150) == Cost{100, 150, 150, true});
  CHECK(at_least(some, 150) == Cost{150, 150, 225, true});
  CHECK(lesser(some, Cost{120, 120, 120, true}) == Cost{100, 120, 120, true});
  CHECK(share_of(some, *Ratio::make(1, 8), MoneyRounding::half_up) == Cost{13, 19, 28, true});
  CHECK(share_of(some, *Ratio::make(1, 8), MoneyRounding::half_even) == Cost{12, 19, 28, true});
}

TEST_CASE("what does not fit stays marked through everything made from it") {
  const Cost large = Cost::exactly(highest);
  CHECK_FALSE((large + Cost::exactly(1)).fits);
  CHECK_FALSE(times(large, 2).fits);
  CHECK_FALSE(share_of(large, Ratio(2), MoneyRounding::down).fits);
  const Cost marked = large + large;
  CHECK_FALSE((marked - marked).fits);
  CHECK_FALSE((Cost::exactly(1) + marked).fits);
  CHECK_FALSE(lesser(Cost::exactly(1), marked).fits);
  CHECK_FALSE(at_most(marked, 5).fits);
  CHECK((large + Cost::exactly(0)).fits);
}

// [READ] HMRC manual VATREC12030: below half a penny down, from half a penny up; Reg. (EC) 1103/97 art. 5 likewise.
TEST_CASE("a share is rounded half up from the exact product, never from a double") {
  CHECK(share_of(1235, *Ratio::make(1, 10), MoneyRounding::half_up) == 124);  // 123.5
  CHECK(share_of(1234, *Ratio::make(1, 10), MoneyRounding::half_up) == 123);  // 123.4
  CHECK(share_of(27300, *Ratio::make(1, 4), MoneyRounding::half_up) == 6825);
  CHECK(share_of(-1235, *Ratio::make(1, 10), MoneyRounding::half_up) == -124);
  // 2^53 + 1 is no double.
  CHECK(share_of(9'007'199'254'740'993, Ratio(1), MoneyRounding::half_up) == 9'007'199'254'740'993);
}
