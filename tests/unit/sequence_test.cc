// In which order jobs come that their phase does not name.
#include "engine/check/sequence.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "tests/support/shop.h"

using namespace stringline;

namespace {

// The names of the jobs by place; `lists` are the rules' do: lists.
std::string order(const std::vector<std::string>& lists) {
  std::string profile = "profile: box\nreadings:\n  width: {is: length, of: a board, with: rule}\njobs:\n";
  for (const char* name : {"ask", "bend", "cut", "dye"})
    profile += "  " + std::string(name) + ": {label: x, phase: rod}\n";
  profile += "rules:\n";
  int number = 0;
  for (const std::string& list : lists)
    profile += "  r" + std::to_string(++number) + ": {when: width over 1 mm, do: [" + list + "]}\n";
  const auto shop = open_shop({profile}, "", "house: nook\norder: [rod]\n");
  INFO(shop->told());
  REQUIRE(shop->program);
  std::vector<JobInfo> jobs = shop->program->jobs;
  std::sort(jobs.begin(), jobs.end(), [](const JobInfo& a, const JobInfo& b) { return a.place < b.place; });
  std::string names;
  for (const JobInfo& job : jobs) names += job.name.front();
  return names;
}

}  // namespace

TEST_CASE("jobs come by name where no list says otherwise") {
  CHECK(order({"ask"}) == "abcd");
  CHECK(order({"ask, bend, dye"}) == "abcd");
}

TEST_CASE("a list is the order of its jobs, and lists are joined") {
  CHECK(order({"dye, ask"}) == "bcda");
  CHECK(order({"cut, bend", "dye, cut"}) == "adcb");
}

TEST_CASE("lists that contradict each other are broken at the first by name") {
  CHECK(order({"bend, ask", "ask, bend"}) == "cdab");
  CHECK(order({"bend, ask", "ask, bend"}) == order({"ask, bend", "bend, ask"}));
}
